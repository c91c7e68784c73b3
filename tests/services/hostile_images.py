"""Pictures that somebody made to hurt, each generated here, with what is to become of it.

What is known of such files is from the formats' own texts and from memory: decompression bombs,
files that are two things at once, parts that say more than they have, and the odd but honest ones
(turned, grey, sixteen bits, of inks) that must not be lost by being careful.
"""

import io
import struct
import zipfile
import zlib
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import pillow_heif
from PIL import Image, PngImagePlugin

SECRET = b"Orrin, behind the third screen house"
PLACE = {1: "S", 2: (17.0, 30.0, 0.0), 3: "E", 4: (150.0, 0.0, 0.0)}
TAKEN = "2031:03:03 07:14:15"
KEPT, UNREADABLE, TURNED_DOWN = "kept", "unreadable", "turned down"


def opened(content: bytes) -> Image.Image:
    image = Image.open(io.BytesIO(content))
    image.load()
    return image


pillow_heif.register_heif_opener()


def saved(image: Image.Image, form: str, **more: Any) -> bytes:
    file = io.BytesIO()
    image.save(file, form, **more)
    return file.getvalue()


def scene(size: tuple[int, int] = (640, 480), mode: str = "RGB") -> Image.Image:
    """A picture with its left half black and its right half white."""
    image = Image.new("L", size, 255)
    image.paste(0, (0, 0, size[0] // 2, size[1]))
    return image.convert(mode)


def camera(turned: int = 1) -> Image.Exif:
    exif = Image.Exif()
    exif[0x0112], exif[0x010F], exif[0x010E] = turned, "A camera's maker", SECRET.decode()
    exif.get_ifd(0x8769).update({0x9003: TAKEN, 0x9286: SECRET})
    exif.get_ifd(0x8825).update(PLACE)
    return exif


def photograph(size: tuple[int, int] = (640, 480), turned: int = 1) -> bytes:
    """A JPEG as a camera makes it: with the place, the maker, words and a profile."""
    more = {"comment": SECRET, "icc_profile": b"a profile of a screen", "xmp": xmp()}
    return saved(scene(size), "JPEG", exif=camera(turned), **more)


def xmp() -> bytes:
    return (
        b'<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf='
        b'"http://www.w3.org/1999/02/22-rdf-syntax-ns#"><rdf:Description '
        b'xmlns:exif="http://ns.adobe.com/exif/1.0/" exif:GPSLatitude="17,30S">'
        + SECRET
        + b"</rdf:Description></rdf:RDF></x:xmpmeta>"
    )


# JPEG, part by part


def part(kind: int, content: bytes) -> bytes:
    return bytes((0xFF, kind)) + struct.pack(">H", len(content) + 2) + content


def with_parts(*parts: bytes) -> bytes:
    plain = saved(scene(), "JPEG")
    return plain[:2] + b"".join(parts) + plain[2:]


def iptc() -> bytes:
    words = b"\x1c\x02\x78" + struct.pack(">H", len(SECRET)) + SECRET
    block = b"8BIM\x04\x04\x00\x00" + struct.pack(">I", len(words)) + words
    return with_parts(part(0xED, b"Photoshop 3.0\x00" + block))


def exif_bomb() -> bytes:
    """EXIF whose directory claims sixty thousand lines and leads back to itself."""
    head = b"Exif\x00\x00II*\x00\x08\x00\x00\x00" + struct.pack("<H", 60_000)
    line = struct.pack("<HHII", 0x8769, 4, 1, 8)
    return with_parts(part(0xE1, head + line * 5000))


def exif_of_lengths() -> bytes:
    """EXIF whose one value claims four thousand million bytes."""
    head = b"Exif\x00\x00II*\x00\x08\x00\x00\x00\x01\x00"
    return with_parts(part(0xE1, head + struct.pack("<HHII", 0x9286, 7, 0xFFFFFFFF, 26)))


def many_parts() -> bytes:
    return with_parts(*[part(0xEF, SECRET)] * 4000)


def giant_profile() -> bytes:
    return saved(scene(), "JPEG", icc_profile=SECRET * 100_000)


def many_scans(times: int, size: tuple[int, int]) -> bytes:
    """A progressive JPEG that goes over all its dots so many times; each scan refines nothing."""
    plain = saved(scene(size), "JPEG", progressive=True, quality=50)
    last = plain.rfind(b"\xff\xda")
    return plain[:last] + plain[last:-2] * times + plain[-2:]


def scans_of(count: int) -> bytes:
    return many_scans(count, (6000, 6000))


def declared_jpeg(width: int, height: int) -> bytes:
    plain = bytearray(photograph())
    at = plain.index(b"\xff\xc0")
    plain[at + 5 : at + 9] = struct.pack(">HH", height, width)
    return bytes(plain)


# PNG, chunk by chunk


def chunk(kind: bytes, content: bytes) -> bytes:
    sum_ = struct.pack(">I", zlib.crc32(kind + content))
    return struct.pack(">I", len(content)) + kind + content + sum_


def png(
    width: int, height: int, data: bytes, *more: bytes, bits: int = 8, colour: int = 0
) -> bytes:
    head = chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, bits, colour, 0, 0, 0))
    body = b"".join(more) + chunk(b"IDAT", data)
    return b"\x89PNG\r\n\x1a\n" + head + body + chunk(b"IEND", b"")


def zeros(count: int) -> bytes:
    """So many bytes of nothing, packed, without ever having them all."""
    packer = zlib.compressobj(9)
    packed = [packer.compress(bytes(1 << 20)) for _ in range(count >> 20)]
    return b"".join((*packed, packer.compress(bytes(count & 0xFFFFF)), packer.flush()))


def full_png() -> bytes:
    """As many dots as may be, in four channels: the most that must be borne."""
    return png(8000, 5000, zeros((4 * 8000 + 1) * 5000), colour=6)


def overfull_png() -> bytes:
    """A small picture whose data unpack to four hundred million bytes."""
    return png(64, 64, zeros(400_000_000))


def text_bomb() -> bytes:
    packed = chunk(b"zTXt", b"words\x00\x00" + zeros(200_000_000))
    return png(64, 64, zeros(65 * 64), packed)


def profile_bomb() -> bytes:
    packed = chunk(b"iCCP", b"profile\x00\x00" + zeros(200_000_000))
    return png(64, 64, zeros(65 * 64), packed)


def many_texts() -> bytes:
    words = [chunk(b"tEXt", b"w%d\x00" % at + SECRET) for at in range(20_000)]
    return png(64, 64, zeros(65 * 64), *words)


def corrupt_chunk() -> bytes:
    whole = bytearray(saved(Image.effect_noise((320, 240), 80), "PNG"))
    at = whole.index(b"IDAT") + 4
    whole[at : at + 200] = b"\xff" * 200
    return bytes(whole)


def told_png() -> bytes:
    words = PngImagePlugin.PngInfo()
    words.add_text("Comment", SECRET.decode())
    words.add_itxt("XML:com.adobe.xmp", xmp().decode())
    return saved(scene(), "PNG", pnginfo=words, exif=camera(), icc_profile=SECRET)


def clear_palette() -> bytes:
    image = scene().convert("P")
    return saved(image, "PNG", transparency=image.getpixel((0, 0)))


def sixteen_bits() -> bytes:
    image = Image.new("I;16", (64, 48), 0x8000)
    return saved(image, "PNG")


# Others


def gif_bomb() -> bytes:
    return b"GIF89a" + struct.pack("<HH", 65535, 65535) + saved(Image.new("P", (8, 8)), "GIF")[10:]


def tiff_bomb() -> bytes:
    """A TIFF of four thousand million dots in a few bytes."""
    tags = [(256, 4, 65535), (257, 4, 65535), (258, 3, 8), (259, 3, 1), (262, 3, 1), (273, 4, 8)]
    lines = b"".join(struct.pack("<HHII", tag, kind, 1, value) for tag, kind, value in tags)
    return b"II*\x00\x08\x00\x00\x00" + struct.pack("<H", len(tags)) + lines + bytes(4)


def webp_canvas() -> bytes:
    """A canvas of 16 383 by 16 383 dots around a picture of eight."""
    inner = saved(Image.new("RGB", (8, 8)), "WEBP")[12:]
    side = (16_382).to_bytes(3, "little")
    body = b"WEBPVP8X" + struct.pack("<I", 10) + bytes(4) + side + side + inner
    return b"RIFF" + struct.pack("<I", len(body)) + body


def webp_full() -> bytes:
    """As many dots as may be, in a format that unpacks them more than once."""
    return saved(Image.new("RGB", (8000, 5000), "white"), "WEBP", quality=1, method=0)


def animated(form: str) -> bytes:
    frames = [scene(), *(Image.new("RGB", (640, 480), shade) for shade in ("red", "blue"))]
    return saved(frames[0], form, save_all=True, append_images=frames[1:], duration=100)


def mpo() -> bytes:
    second = Image.new("RGB", (640, 480), "red")
    return saved(scene(), "MPO", save_all=True, append_images=[second], exif=camera())


def heic(size: tuple[int, int] = (320, 240)) -> bytes:
    return saved(scene(size), "HEIF", quality=50, exif=camera())


def declared_heic() -> bytes:
    whole = heic((64, 48))
    at = whole.index(b"ispe") + 8
    return whole[:at] + struct.pack(">II", 60_000, 60_000) + whole[at + 8 :]


def broken_heic() -> bytes:
    whole = bytearray(heic())
    at = whole.index(b"mdat") + 8
    whole[at:] = bytes(len(whole) - at)
    return bytes(whole)


SVG = b'<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>'
PAGE = b"<!doctype html><script>alert(1)</script>"


def with_zip() -> bytes:
    file = io.BytesIO(photograph())
    file.seek(0, io.SEEK_END)
    with zipfile.ZipFile(file, "a") as pack:
        pack.writestr("run.exe", SECRET)
    return file.getvalue()


def script_and_picture() -> bytes:
    """A JPEG that a browser would read as a script: its first part begins a comment."""
    return with_parts(part(0xFE, b"=1;/*"), part(0xFE, b"*/alert(1);/*" + SECRET + b"*/"))


def without_tables() -> bytes:
    """A JPEG that tells by nothing how coarse its dots are."""
    whole = photograph()
    while (at := whole.find(b"\xff\xdb")) > 0:
        whole = whole[:at] + whole[at + 2 + struct.unpack(">H", whole[at + 2 : at + 4])[0] :]
    return whole


@dataclass(frozen=True)
class Hostile:
    """A picture and what is to become of it: why nobody sees it, or how large it is seen."""

    make: Callable[[], bytes]
    end: str
    fault: str = ""
    size: tuple[int, int] = (640, 480)


def down(make: Callable[[], bytes]) -> Hostile:
    return Hostile(make, TURNED_DOWN)


def unread(make: Callable[[], bytes], fault: str = "unreadable") -> Hostile:
    return Hostile(make, UNREADABLE, fault)


def kept(make: Callable[[], bytes], size: tuple[int, int] = (640, 480)) -> Hostile:
    return Hostile(make, KEPT, size=size)


CORPUS: dict[str, Hostile] = {
    # Of more dots than may be.
    "PNG that claims 81 million dots": down(lambda: png(9000, 9000, zeros(1000))),
    "PNG that claims 4 thousand million": down(lambda: png(2**31 - 1, 2, zeros(1000))),
    "JPEG that claims 65 535 by 65 535": down(lambda: declared_jpeg(65535, 65535)),
    "WebP with a huge canvas": down(webp_canvas),
    "HEIC that claims 60 000 by 60 000": down(declared_heic),
    "GIF bomb": down(gif_bomb),
    "TIFF bomb": down(tiff_bomb),
    # No pictures, or of formats that nobody asked for.
    "nothing": down(bytes),
    "words": down(lambda: b"a letter, not a leaf"),
    "zero bytes": down(lambda: bytes(5000)),
    "SVG": down(lambda: SVG),
    "SVG behind the first bytes of a JPEG": down(lambda: b"\xff\xd8\xff\xe0" + SVG + b"\xff\xd9"),
    "page": down(lambda: PAGE),
    "PDF": down(lambda: b"%PDF-1.7\n" + photograph()),
    "FITS": down(lambda: b"SIMPLE  =                    T".ljust(2880) + photograph()),
    "PSD": down(lambda: b"8BPS\x00\x01" + bytes(6) + photograph()),
    "ICNS": down(lambda: b"icns" + struct.pack(">I", 100) + bytes(92)),
    "BMP": down(lambda: saved(scene(), "BMP")),
    "GIF that moves": down(lambda: animated("GIF")),
    "AVIF by its brand": down(lambda: b"\x00\x00\x00\x18ftypavif" + bytes(12)),
    # Cut off or bent.
    "JPEG cut off": down(lambda: photograph()[:4000]),
    "PNG cut off": down(lambda: saved(scene(), "PNG")[:-20]),
    "WebP cut off": down(lambda: saved(scene(), "WEBP")[:-200]),
    "JPEG without dots": down(lambda: declared_jpeg(0, 0)),
    "PNG with a bent chunk": unread(corrupt_chunk),
    "PNG with a short row": unread(lambda: png(600, 600, zeros(1000))),
    "JPEG whose tables are gone": unread(without_tables),
    "HEIC of nothing": unread(broken_heic),
    # Within what is declared, and meant to cost.
    "JPEG of 3000 scans": unread(lambda: scans_of(3000), "too_slow"),
    "PNG of 40 million dots in four channels": kept(full_png, (1600, 1000)),
    "PNG with more data than dots": kept(overfull_png, (64, 64)),
    "PNG with packed words": unread(text_bomb),
    "PNG with a packed profile": unread(profile_bomb),
    "PNG with 20 000 words": kept(many_texts, (64, 64)),
    "WebP of 40 million dots": unread(webp_full, "too_much_memory"),
    "JPEG with 60 000 lines of EXIF": kept(exif_bomb),
    "JPEG with EXIF of 4 GB": kept(exif_of_lengths),
    "JPEG with 4000 parts": down(many_parts),
    "JPEG with a giant profile": kept(giant_profile),
    # Two things at once.
    "JPEG with a page behind it": kept(lambda: photograph() + PAGE),
    "JPEG with a zip behind it": kept(with_zip),
    "JPEG that is a script": kept(script_and_picture),
    "PNG with a page in it": kept(
        lambda: png(64, 64, zeros(65 * 64), chunk(b"tEXt", b"a\x00" + PAGE)), (64, 64)
    ),
    # Saying more than the picture.
    "JPEG with the place in EXIF": kept(photograph),
    "JPEG with IPTC": kept(iptc),
    "PNG with words, EXIF and XMP": kept(told_png),
    "WebP with EXIF and XMP": kept(
        lambda: saved(scene(), "WEBP", exif=camera(), xmp=xmp(), icc_profile=SECRET)
    ),
    # Odd and honest.
    **{
        f"JPEG that lies as {turned}": kept(
            lambda turned=turned: photograph(turned=turned),  # type: ignore[misc]
            (480, 640) if turned > 4 else (640, 480),
        )
        for turned in range(2, 9)
    },
    "JPEG of inks": kept(lambda: saved(scene(mode="CMYK"), "JPEG")),
    "grey JPEG": kept(lambda: saved(scene(mode="L"), "JPEG")),
    "progressive JPEG": kept(lambda: saved(scene(), "JPEG", progressive=True)),
    "PNG of sixteen bits": kept(sixteen_bits, (64, 48)),
    "PNG of one bit": kept(lambda: saved(scene(mode="1"), "PNG")),
    "PNG with a clear palette": kept(clear_palette),
    "PNG with alpha": kept(lambda: saved(scene(mode="RGBA"), "PNG")),
    "PNG that moves": kept(lambda: animated("PNG")),
    "WebP that moves": kept(lambda: animated("WEBP")),
    "two JPEGs in one": kept(mpo),
    "one dot high": kept(lambda: saved(scene((30_000, 1)), "JPEG"), (1600, 1)),
    "one dot wide": kept(lambda: saved(scene((1, 30_000)), "PNG"), (1, 1600)),
    "one dot": kept(lambda: saved(Image.new("RGB", (1, 1)), "PNG"), (1, 1)),
    "HEIC": kept(heic, (320, 240)),
}
