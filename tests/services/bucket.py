"""A stand-in for object storage: as much of the S3 protocol as a bucket of photos needs, in memory.

It answers the real client over the wire: objects by PUT, GET and HEAD, names by ListObjects.
"""

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from hashlib import md5
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import cast
from urllib.parse import parse_qs, unquote, urlsplit
from xml.sax.saxutils import escape

NAME, KEY_ID, KEY = "leaves", "an-id", "a-secret-of-these-tests"
XMLNS = "http://s3.amazonaws.com/doc/2006-03-01/"


class Bucket:
    """What lies in it, which calls came, and with which status each is turned down, if any."""

    def __init__(self) -> None:
        self.objects: dict[str, bytes] = {}
        self.calls: list[str] = []
        self.fails = 0
        self.address = ""


@contextmanager
def running() -> Iterator[Bucket]:
    bucket = Bucket()
    server = Server(("127.0.0.1", 0), Handler)
    server.bucket = bucket
    bucket.address = f"http://127.0.0.1:{server.server_address[1]}"
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        yield bucket
    finally:
        server.shutdown()
        server.server_close()
        thread.join()


class Server(ThreadingHTTPServer):
    bucket: Bucket


class Handler(BaseHTTPRequestHandler):
    protocol_version = "HTTP/1.1"

    @property
    def bucket(self) -> Bucket:
        return cast("Server", self.server).bucket

    def log_message(self, *_args: object) -> None:
        """Tests say what they saw."""

    def do_PUT(self) -> None:
        content = self.rfile.read(int(self.headers["Content-Length"]))
        if self._opens():
            self.bucket.objects[self._name()] = content
            self._say(200, b"", ETag=f'"{md5(content).hexdigest()}"')

    def do_GET(self) -> None:
        if self._opens():
            name = self._name()
            self._list() if not name else self._give(name)

    def do_HEAD(self) -> None:
        if self._opens():
            self._give(self._name())

    def _opens(self) -> bool:
        self.bucket.calls.append(self.command)
        signed = f"Credential={KEY_ID}/" in self.headers.get("Authorization", "")
        if self.bucket.fails or not signed or not self.path.startswith(f"/{NAME}"):
            self._say(self.bucket.fails or 403, b"<Error><Code>Shut</Code></Error>")
            return False
        return True

    def _name(self) -> str:
        return unquote(urlsplit(self.path).path).removeprefix(f"/{NAME}").strip("/")

    def _give(self, name: str) -> None:
        content = self.bucket.objects.get(name)
        if content is None:
            self._say(404, b"<Error><Code>NoSuchKey</Code></Error>")
            return
        about = {"ETag": f'"{md5(content).hexdigest()}"'}
        self._say(200, content, **about, Last_Modified="Mon, 03 Mar 2031 02:00:00 GMT")

    def _list(self) -> None:
        asked = {key: values[0] for key, values in parse_qs(urlsplit(self.path).query).items()}
        prefix = asked.get("prefix", "")
        below = [name[len(prefix) :] for name in self.bucket.objects if name.startswith(prefix)]
        files = sorted(name for name in below if "/" not in name)
        folders = sorted({name.split("/")[0] + "/" for name in below if "/" in name})
        told = "".join(f"<Contents><Key>{escape(prefix + one)}</Key></Contents>" for one in files)
        told += "".join(
            f"<CommonPrefixes><Prefix>{escape(prefix + one)}</Prefix></CommonPrefixes>"
            for one in folders
        )
        whole = f"<IsTruncated>false</IsTruncated>{told}"
        page = f'<ListBucketResult xmlns="{XMLNS}">{whole}</ListBucketResult>'
        self._say(200, page.encode())

    def _say(self, status: int, content: bytes, **headers: str) -> None:
        self.send_response(status)
        for name, value in headers.items():
            self.send_header(name.replace("_", "-"), value)
        self.send_header("Content-Length", str(len(content)))
        self.end_headers()
        if self.command != "HEAD":
            self.wfile.write(content)
