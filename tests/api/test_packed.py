"""What a phone pulls comes packed as it takes it, and each part can be unpacked as it arrives."""

import zlib
from collections.abc import Callable

import brotli
import pytest
from django.http import StreamingHttpResponse
from django.test import RequestFactory

from nursery.api import packed

LINES = [b'{"line":%d,"text":"%s"}\n' % (n, b"x" * 700) for n in range(150)]


def answer(takes: str | None) -> StreamingHttpResponse:
    headers = {} if takes is None else {"Accept-Encoding": takes}
    return packed.stream(RequestFactory().get("/", headers=headers), LINES)


@pytest.mark.parametrize(
    ("takes", "coding"),
    [
        ("gzip, deflate, br, zstd", "br"),
        ("br", "br"),
        ("BR;q=0.8, gzip", "br"),
        ("gzip", "gzip"),
        ("gzip;q=0.5, deflate", "gzip"),
        ("br;q=0, gzip", "gzip"),
        ("br; q=0.000, gzip;q=0", None),
        ("brand, gzipped", None),
        ("deflate", None),
        ("", None),
        (None, None),
    ],
)
def test_the_best_coding_that_a_client_takes(takes: str | None, coding: str | None) -> None:
    told = answer(takes)
    assert told.headers.get("Content-Encoding") == coding
    assert told["Vary"] == "Accept-Encoding"


def gzip() -> Callable[[bytes], bytes]:
    return zlib.decompressobj(wbits=31).decompress


def br() -> Callable[[bytes], bytes]:
    unpacker = brotli.Decompressor()

    def unpack(part: bytes) -> bytes:
        """It gives 32 kB at a time, and the rest when it is asked again."""
        read = b""
        while more := unpacker.process(part):
            read, part = read + more, b""
        return read

    return unpack


@pytest.mark.parametrize(("takes", "unpacker"), [("gzip", gzip), ("br", br)])
def test_each_part_is_whole_as_it_comes_and_all_of_them_are_what_was_told(
    takes: str, unpacker: Callable[[], Callable[[bytes], bytes]]
) -> None:
    unpack, read, parts = unpacker(), b"", 0
    for part in answer(takes):
        assert isinstance(part, bytes)
        read += unpack(part)
        assert read.endswith(b"\n"), "a line waits for the next part"
        parts += 1
    assert read == b"".join(LINES)
    assert parts >= 3


def test_nothing_at_all_is_packed_as_well() -> None:
    told = packed.stream(RequestFactory().get("/", headers={"Accept-Encoding": "br"}), [])
    assert brotli.decompress(b"".join(told)) == b""
