"""The darkroom itself: a program that draws photos anew, each in a process that ends with it.

Started by `darkroom`, and by nobody else. It loads the library once and forks for each photo, so
that a photo costs no start, and one that breaks the library harms none that comes after it. The
fork holds itself to its limits before it looks at a byte: memory, time, no file, no way out but
one pipe. It imports nothing of ours and knows no setting and no secret.

It reads requests and writes answers, each as: 4 bytes of a length, so many bytes of JSON, and the
bytes that the JSON announces.
"""

import io
import json
import os
import resource
import signal
import struct
import sys
import warnings
from typing import Any, BinaryIO

from PIL import Image, JpegImagePlugin, PngImagePlugin, WebPImagePlugin

Told = dict[str, Any]

# An answer is three small pictures; one who sends more has been taken over.
MOST_ANSWERED = 16 * 1024 * 1024
ORIENTATION, CAMERA, TAKEN, OFFSET = 0x0112, 0x8769, 0x9003, 0x9011
UPRIGHT = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}
HEIC = "HEIF"
WHITE = (255, 255, 255)
LOADED = (JpegImagePlugin, PngImagePlugin, WebPImagePlugin)


class Unfit(Exception):
    """A photo that is not drawn, and why."""


def main() -> None:
    requests, answers = sys.stdin.buffer, sys.stdout.buffer
    while len(length := requests.read(4)) == 4:
        asked = json.loads(requests.read(struct.unpack(">I", length)[0]))
        content = requests.read(asked["bytes"])
        _write(answers, *apart(asked, content))


def apart(asked: Told, content: bytes) -> tuple[Told, bytes]:
    """Have a process of its own draw the photo; return what it told, with what it took."""
    out, into = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(out)
        _draw_and_end(asked, content, into)
    os.close(into)
    with os.fdopen(out, "rb") as pipe:
        answer = pipe.read(MOST_ANSWERED + 1)
        if len(answer) > MOST_ANSWERED:
            os.kill(child, signal.SIGKILL)
    _, status, used = os.wait4(child, 0)
    took = {"seconds": used.ru_utime + used.ru_stime, "peak": used.ru_maxrss * _UNIT}
    if status == 0 and 4 <= len(answer) <= MOST_ANSWERED:
        length = struct.unpack(">I", answer[:4])[0]
        return json.loads(answer[4 : 4 + length]) | took, answer[4 + length :]
    slow = os.WIFSIGNALED(status) and os.WTERMSIG(status) in (signal.SIGALRM, signal.SIGXCPU)
    return {"fault": "too_slow" if slow else "broke", "files": []} | took, b""


# Kilobytes, but bytes on one system.
_UNIT = 1 if sys.platform == "darwin" else 1024


def _draw_and_end(asked: Told, content: bytes, into: int) -> None:
    code = 1
    try:
        _confine(asked)
        told, files = _drawn(asked, content)
        with os.fdopen(into, "wb") as pipe:
            _write(pipe, told, files)
        code = 0
    finally:
        os._exit(code)


def _confine(asked: Told) -> None:
    """Give away what a picture needs none of: time, memory, files, the ways to others."""
    signal.signal(signal.SIGALRM, signal.SIG_DFL)
    signal.setitimer(signal.ITIMER_REAL, asked["seconds"])
    nothing = os.open(os.devnull, os.O_RDWR)
    for end in (0, 1, 2):
        os.dup2(nothing, end)
    if asked["form"] == HEIC:
        _with_heic()
    for limit, value in (
        (resource.RLIMIT_AS, asked["memory"]),
        (resource.RLIMIT_CPU, int(asked["seconds"]) + 1),
        (resource.RLIMIT_FSIZE, 0),
        (resource.RLIMIT_CORE, 0),
    ):
        resource.setrlimit(limit, (value, value))
    warnings.simplefilter("ignore")
    Image.MAX_IMAGE_PIXELS = asked["most_dots"]


def _with_heic() -> None:
    import pillow_heif  # noqa: PLC0415  an extra; whoever asks has looked that it is there

    pillow_heif.options.DECODE_THREADS = 1
    pillow_heif.options.THUMBNAILS = False
    pillow_heif.register_heif_opener(disable_security_limits=False)


def _drawn(asked: Told, content: bytes) -> tuple[Told, bytes]:
    try:
        told, files = drawn(content, asked["form"], asked["sizes"], asked["most_dots"])
    except Unfit as why:
        return {"fault": str(why), "files": []}, b""
    except MemoryError:
        return {"fault": "too_much_memory", "files": []}, b""
    except Exception as error:
        return {"fault": "unreadable", "why": type(error).__name__, "files": []}, b""
    return told, files


def drawn(
    content: bytes, form: str, sizes: list[tuple[int, int]], most_dots: int
) -> tuple[Told, bytes]:
    """Return what was told of a photo, and its copies one after the other.

    Args:
        content: the photo as it came.
        form: the one format that it is read as.
        sizes: longest side in dots and JPEG quality of each copy, the largest first.
        most_dots: what it may have at most.
    """
    with Image.open(io.BytesIO(content), formats=(form,)) as found:
        if found.width * found.height > most_dots:
            raise Unfit("too_many_dots")
        first = plain(found, sizes[0][0])
        # Only now: to look for it, some formats load the picture, and a broken one only once.
        turned, taken = beside(found)
    small = first.transpose(UPRIGHT[turned]) if turned in UPRIGHT else first
    files, told = [], []
    for longest, quality in sizes:
        small = small if max(small.size) <= longest else _shrunk(small, longest)
        file = io.BytesIO()
        small.save(file, "JPEG", quality=quality, optimize=True)
        files.append(file.getvalue())
        told.append({"longest": longest, "bytes": len(files[-1]), "size": small.size})
    return {"fault": "", "taken": taken, "files": told}, b"".join(files)


def beside(found: Image.Image) -> tuple[int, list[str]]:
    """Return how a photo lies and when it was taken; what cannot be read says nothing."""
    try:
        exif = found.getexif()
        camera = exif.get_ifd(CAMERA)
        taken = [str(camera.get(tag, ""))[:40] for tag in (TAKEN, OFFSET)]
        return int(exif.get(ORIENTATION, 1)), taken
    except MemoryError:
        raise
    except Exception:
        return 1, ["", ""]


def plain(found: Image.Image, longest: int) -> Image.Image:
    """Return the first frame of a photo, small, in plain colours, and nothing beside it."""
    if found.format == "JPEG":
        found.draft("RGB", (longest, longest))
    found.load()
    image: Image.Image = found
    if image.mode in ("P", "PA", "1"):
        image = image.convert("RGBA" if "transparency" in image.info else "RGB")
    elif image.mode.startswith("I"):
        # Sixteen bits a dot: the upper eight are what a screen shows.
        image = image.convert("I").point(lambda level: level * (1 / 256)).convert("L")
    if max(image.size) > longest:
        image = _shrunk(image, longest)
    clear = image.mode in ("RGBA", "LA", "La", "RGBa") or "transparency" in image.info
    bare = Image.new("RGB", image.size, WHITE)
    if clear:
        seen = image.convert("RGBA")
        bare.paste(seen, mask=seen.getchannel("A"))
    else:
        bare.paste(image.convert("RGB"))
    return bare


def _shrunk(image: Image.Image, longest: int) -> Image.Image:
    share = longest / max(image.size)
    width, height = (max(1, round(side * share)) for side in image.size)
    return image.resize((width, height), Image.Resampling.BICUBIC, reducing_gap=2.0)


def _write(pipe: BinaryIO, told: Told, content: bytes) -> None:
    text = json.dumps({**told, "bytes": len(content)}).encode()
    pipe.write(struct.pack(">I", len(text)) + text + content)
    pipe.flush()


if __name__ == "__main__":
    main()
