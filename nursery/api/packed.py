"""Pack a streamed answer for those who take gzip, without holding it back."""

import zlib
from collections.abc import Iterable, Iterator

from django.http import HttpRequest, StreamingHttpResponse

CHUNK = 32 * 1024


def stream(request: HttpRequest, lines: Iterable[bytes]) -> StreamingHttpResponse:
    """Return lines of JSON as a stream, packed if the client takes that."""
    takes = "gzip" in request.headers.get("Accept-Encoding", "")
    answer = StreamingHttpResponse(
        _gzip(lines) if takes else _chunks(lines), content_type="application/x-ndjson"
    )
    if takes:
        answer["Content-Encoding"] = "gzip"
    answer["Vary"] = "Accept-Encoding"
    answer["Cache-Control"] = "no-store"
    return answer


def _chunks(lines: Iterable[bytes]) -> Iterator[bytes]:
    held: list[bytes] = []
    size = 0
    for line in lines:
        held.append(line)
        size += len(line)
        if size >= CHUNK:
            yield b"".join(held)
            held, size = [], 0
    if held:
        yield b"".join(held)


def _gzip(lines: Iterable[bytes]) -> Iterator[bytes]:
    packer = zlib.compressobj(level=6, wbits=31)
    for chunk in _chunks(lines):
        # A full flush with every chunk lets a phone show the first rows before the last arrive.
        packed = packer.compress(chunk) + packer.flush(zlib.Z_SYNC_FLUSH)
        if packed:
            yield packed
    yield packer.flush()
