"""What stands between a phone and the office: a proxy that plays a bad link, and a newer build.

It passes everything through to the office at another port, unless it is told to be a portal, to
swallow answers, to keep a call waiting, or to let only so many bytes a second through.
"""

import gzip
import http.client
import json
import mimetypes
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from time import monotonic, sleep
from typing import Any

from tests.servers import free_port

PORTAL = b"<!doctype html><title>Welcome to the guest network</title>"
CHUNK = 4096


@dataclass
class Call:
    """One call of the API that passed."""

    method: str
    path: str
    begun: float
    body: bytes = b""
    ended: float = 0.0
    """When the last of its answer was at hand: a phone that has read it all waits no longer."""
    status: int = 0
    passed: int = 0
    """Bytes of its answer, packed as they went, without headers."""

    def told(self) -> Any:
        """Return the JSON that was sent."""
        packed = self.body.startswith(b"\x1f\x8b")
        return json.loads(gzip.decompress(self.body) if packed else self.body)


@dataclass
class Front:
    """The proxy. Its fields may be changed at any moment."""

    office: int
    port: int = field(default_factory=free_port)
    portal: bool = False
    swallows: str = ""
    """Calls of this path are done, and their answers lost."""
    stalls: str = ""
    """The next call of this path gets an answer that never ends; then this is empty again."""
    build: Path | None = None
    """Files of another build of the app, in the place of the office's own."""
    bits_per_second: float = 0.0
    """Of the link that all connections share."""
    delay: float = 0.0
    """Seconds before each answer begins."""
    greeting: float = 0.0
    """Seconds that each new connection costs before anything is asked."""
    calls: list[Call] = field(default_factory=list)
    stalled: threading.Event = field(default_factory=threading.Event)
    over: threading.Event = field(default_factory=threading.Event)
    passed: int = 0
    """Bytes of all answers, as they went."""
    _link: threading.Lock = field(default_factory=threading.Lock)
    _free_at: float = 0.0

    @property
    def url(self) -> str:
        return f"http://localhost:{self.port}"

    def of(self, path: str) -> list[Call]:
        return [call for call in self.calls if call.path.split("?")[0].endswith(path)]

    @contextmanager
    def running(self) -> Iterator["Front"]:
        front = self

        class Handler(BaseHTTPRequestHandler):
            protocol_version = "HTTP/1.1"

            def setup(self) -> None:
                sleep(front.greeting)
                super().setup()

            def handle(self) -> None:
                with suppress(ConnectionError):  # a browser that went away between two questions
                    super().handle()

            def log_message(self, *words: Any) -> None:
                """Say nothing."""

            def _serve(self) -> None:
                with suppress(ConnectionError):  # a browser that went away
                    front.serve(self)

            do_GET = do_POST = do_PUT = do_PATCH = do_DELETE = do_HEAD = _serve  # noqa: N815

        server = ThreadingHTTPServer(("127.0.0.1", self.port), Handler)
        server.daemon_threads = True
        thread = threading.Thread(target=server.serve_forever, daemon=True)
        thread.start()
        try:
            yield self
        finally:
            self.over.set()
            server.shutdown()
            server.server_close()

    def serve(self, request: BaseHTTPRequestHandler) -> None:
        path = request.path.split("?")[0]
        body = request.rfile.read(int(request.headers.get("Content-Length") or 0))
        if path.startswith("/api/"):
            self._api(request, path, body)
        elif self.build is not None and (file := self._file(path)) is not None:
            self._static(request, file)
        else:
            self._through(request, body, Call(request.command, path, monotonic()))

    def _api(self, request: BaseHTTPRequestHandler, path: str, body: bytes) -> None:
        if self.portal:
            _answer(request, 200, {"Content-Type": "text/html"}, PORTAL)
            return
        if self.stalls and path.endswith(self.stalls):
            self.stalls = ""
            self.stalled.set()
            self._trickle(request)
            return
        call = Call(request.command, request.path, monotonic(), body)
        self.calls.append(call)
        drop = bool(self.swallows) and self.swallows in path
        self._through(request, body, call, drop=drop)

    def _trickle(self, request: BaseHTTPRequestHandler) -> None:
        """Keep a caller waiting for ever, who is patient as long as anything comes."""
        request.send_response(200)
        request.send_header("Content-Type", "application/x-ndjson")
        request.send_header("Transfer-Encoding", "chunked")
        request.end_headers()
        request.close_connection = True
        while not self.over.wait(1):
            request.wfile.write(b"1\r\n \r\n")
            request.wfile.flush()

    def _file(self, path: str) -> Path | None:
        assert self.build is not None
        file = self.build / ("index.html" if path == "/" else path.lstrip("/"))
        return file if file.is_file() else None

    def _static(self, request: BaseHTTPRequestHandler, file: Path) -> None:
        kind = mimetypes.guess_type(file.name)[0] or "application/octet-stream"
        headers = {"Content-Type": kind, "Cache-Control": "no-cache"}
        _answer(request, 200, headers, file.read_bytes())

    def _through(
        self, request: BaseHTTPRequestHandler, body: bytes, call: Call, *, drop: bool = False
    ) -> None:
        office = http.client.HTTPConnection("127.0.0.1", self.office, timeout=60)
        try:
            headers = {k: v for k, v in request.headers.items() if k.lower() != "connection"}
            office.request(request.command, request.path, body or None, headers)
            answer = office.getresponse()
            call.status, call.ended = answer.status, monotonic()
            if drop:
                answer.read()
                request.close_connection = True
                return
            self._pass_on(request, answer, call)
        finally:
            office.close()

    def _pass_on(
        self, request: BaseHTTPRequestHandler, answer: http.client.HTTPResponse, call: Call
    ) -> None:
        sleep(self.delay)
        request.send_response(answer.status)
        for name, value in answer.getheaders():
            if name.lower() not in ("transfer-encoding", "connection", "content-length"):
                request.send_header(name, value)
        empty = answer.status in (204, 304) or request.command == "HEAD"
        if empty:
            request.send_header("Content-Length", "0")
            request.end_headers()
            return
        request.send_header("Transfer-Encoding", "chunked")
        request.end_headers()
        # On a good link all is at hand before any of it goes on, so that it is known when it ended.
        slowly = iter(lambda: answer.read1(CHUNK), b"")
        for piece in slowly if self.bits_per_second else filter(None, [answer.read()]):
            self._get_through(len(piece))
            call.ended = monotonic()
            call.passed += len(piece)
            self.passed += len(piece)
            request.wfile.write(f"{len(piece):x}\r\n".encode() + piece + b"\r\n")
            request.wfile.flush()
        request.wfile.write(b"0\r\n\r\n")

    def _get_through(self, size: int) -> None:
        """Wait until the link has taken so many bytes after all that were given to it before."""
        with self._link:
            if not self.bits_per_second:
                return
            self._free_at = max(self._free_at, monotonic()) + size * 8 / self.bits_per_second
            until = self._free_at
        sleep(max(0.0, until - monotonic()))


def _answer(
    request: BaseHTTPRequestHandler, status: int, headers: dict[str, str], body: bytes
) -> None:
    request.send_response(status)
    for name, value in headers.items():
        request.send_header(name, value)
    request.send_header("Content-Length", str(len(body)))
    request.end_headers()
    if request.command != "HEAD":
        request.wfile.write(body)
