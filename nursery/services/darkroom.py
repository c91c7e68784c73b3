"""Where photos are drawn anew: in a process apart, with limits that no picture can talk away.

A picture is the one thing from outside that is decoded by a library written in C, so that happens
neither in the process that answers people nor in the one that does jobs. `darkroom_child` is
started once and forks for each photo; a photo that takes too much ends its own fork alone.
"""

import atexit
import json
import os
import struct
import subprocess
import sys
import threading
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime, tzinfo
from importlib.util import find_spec
from pathlib import Path
from typing import IO, Any

from nursery.services import photo_head

MOST_BYTES = 12 * 1024 * 1024
# A file of a few bytes can claim to be a picture of any size.
MOST_DOTS = 40_000_000
MEMORY = 512 * 1024 * 1024
# With starting and answering, no photo takes twenty.
SECONDS = 18.0
# Longest side in dots, and JPEG quality: 1600 is what a phone keeps, so nothing of its photo is
# lost; 800 fills a phone's width at two dots a pixel; 320 is a stamp in a list. The smaller, the
# less does a coarser grid show (common practice, no source).
SIZES = ((1600, 82), (800, 80), (320, 75))
LONGEST = tuple(longest for longest, _ in SIZES)
# After so long without a photo the process ends; the next photo starts it again.
IDLE_SECONDS = 60.0
# The child ends by itself; this is for the case that it does not.
GRACE_SECONDS = 1.5

_CHILD = Path(__file__).with_name("darkroom_child.py")
# What the library needs to be found and to run, and none of our settings.
_PASSED_ON = ("PATH", "PYTHONPATH", "PYTHONHOME", "HOME", "LD_LIBRARY_PATH", "TMPDIR", "SYSTEMROOT")
# Each thread's own heap would count against the memory.
_ADDED = {"MALLOC_ARENA_MAX": "1", "LC_ALL": "C.UTF-8"}


@dataclass(frozen=True, slots=True)
class Copy:
    """One JPEG with nothing beside the picture, its longest side at most `longest` dots."""

    longest: int
    width: int
    height: int
    content: bytes


@dataclass(frozen=True, slots=True)
class Drawn:
    """What became of a photo: its copies, largest first; or `fault`, why there are none.

    A fault is `unreadable`, `too_many_dots`, `too_much_memory`, `too_slow`, `broke` (the library
    did), or `no_heic` (the extra that reads HEIC is not installed). `taken` is when and with which
    offset the camera says that it was taken, in its own words. `peak` are bytes, `seconds` those
    of the processor.
    """

    copies: tuple[Copy, ...] = ()
    fault: str = ""
    taken: tuple[str, str] = ("", "")
    peak: int = 0
    seconds: float = 0.0

    def taken_at(self, zone: tzinfo) -> datetime | None:
        """Return when it was taken; a camera that knows no offset is of the nursery's zone."""
        when, offset = self.taken
        try:
            taken = datetime.strptime(when, "%Y:%m:%d %H:%M:%S").replace(tzinfo=zone)
        except ValueError:
            return None
        try:
            told = datetime.strptime(offset, "%z").tzinfo
        except ValueError:
            told = None
        try:
            return taken.replace(tzinfo=told or zone).astimezone(UTC)
        except OverflowError:
            return None


class Darkroom:
    """One process that draws, started when it is needed; one photo at a time."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._process: subprocess.Popen[bytes] | None = None
        self._idle: threading.Timer | None = None

    def draw(self, content: bytes, *, seconds: float = SECONDS) -> Drawn:
        """Return the copies of a photo, or why there are none. Never raises for a photo's sake."""
        head = photo_head.read(content)
        if head is None or len(content) > MOST_BYTES:
            return Drawn(fault="unreadable")
        if head.dots > MOST_DOTS:
            return Drawn(fault="too_many_dots")
        if head.form == photo_head.HEIC and not reads_heic():
            return Drawn(fault="no_heic")
        asked = {
            "bytes": len(content),
            "form": head.form,
            "sizes": SIZES,
            "most_dots": MOST_DOTS,
            "memory": MEMORY,
            "seconds": seconds,
        }
        with self._lock:
            return self._ask(asked, content, seconds)

    def close(self) -> None:
        """End the process; the next photo starts another."""
        with self._lock:
            self._end()

    def _ask(self, asked: dict[str, Any], content: bytes, seconds: float) -> Drawn:
        process = self._started()
        watch = threading.Timer(seconds + GRACE_SECONDS, process.kill)
        watch.daemon = True
        watch.start()
        try:
            requests, answers = _ends(process)
            text = json.dumps(asked).encode()
            requests.write(struct.pack(">I", len(text)) + text)
            requests.write(content)
            requests.flush()
            told = json.loads(answers.read(struct.unpack(">I", answers.read(4))[0]))
            return _drawn(told, answers.read(told["bytes"]))
        except (OSError, struct.error, ValueError, KeyError):
            self._end()
            return Drawn(fault="broke")
        finally:
            watch.cancel()
            self._rest()

    def _started(self) -> subprocess.Popen[bytes]:
        if self._idle is not None:
            self._idle.cancel()
        if self._process is None or self._process.poll() is not None:
            self._end()
            passed = {name: os.environ[name] for name in _PASSED_ON if name in os.environ}
            self._process = subprocess.Popen(  # noqa: S603  no shell, and every word is ours
                [sys.executable, "-P", str(_CHILD)],
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                env=passed | _ADDED,
                start_new_session=True,
            )
        return self._process

    def _rest(self) -> None:
        self._idle = threading.Timer(IDLE_SECONDS, self.close)
        self._idle.daemon = True
        self._idle.start()

    def _end(self) -> None:
        process, self._process = self._process, None
        if process is None:
            return
        process.kill()
        process.communicate()


def reads_heic() -> bool:
    """Whether the extra is installed that reads photos in HEIC."""
    return find_spec("pillow_heif") is not None


def _ends(process: subprocess.Popen[bytes]) -> tuple[IO[bytes], IO[bytes]]:
    if process.stdin is None or process.stdout is None:
        raise OSError("the process has no pipes")
    return process.stdin, process.stdout


def _drawn(told: dict[str, Any], content: bytes) -> Drawn:
    peak, seconds = int(told["peak"]), float(told["seconds"])
    if told["fault"]:
        return Drawn(fault=str(told["fault"]), peak=peak, seconds=seconds)
    when, offset = told["taken"]
    copies = tuple(_copies(told["files"], content))
    return Drawn(copies, taken=(str(when), str(offset)), peak=peak, seconds=seconds)


def _copies(files: Iterable[dict[str, Any]], content: bytes) -> Iterable[Copy]:
    at = 0
    for file in files:
        (width, height), piece = file["size"], content[at : at + file["bytes"]]
        at += file["bytes"]
        yield Copy(file["longest"], width, height, piece)


_ours = Darkroom()
atexit.register(_ours.close)


def draw(content: bytes) -> Drawn:
    """Return the copies of a photo, drawn in this process' own darkroom."""
    return _ours.draw(content)
