"""A push service on loopback, and a browser's keys: what a server sends is kept and can be read.

Reading is done by `http_ece`, the library of RFC 8188 and 8291, and the signature is checked by
`py_vapid` (RFC 8292): neither is code of the product.
"""

import json
import threading
from base64 import urlsafe_b64decode, urlsafe_b64encode
from collections.abc import Mapping
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from secrets import token_bytes
from types import TracebackType
from typing import Any, Self

import http_ece
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat
from py_vapid import Vapid02


def packed(raw: bytes) -> str:
    return urlsafe_b64encode(raw).rstrip(b"=").decode()


def unpacked(text: str) -> bytes:
    return urlsafe_b64decode(text + "=" * (-len(text) % 4))


@dataclass(frozen=True)
class Got:
    """One message as the service got it; the names of headers are in lower case."""

    path: str
    headers: Mapping[str, str]
    body: bytes

    @property
    def token(self) -> dict[str, Any]:
        """What the server claims, once its signature held."""
        assert Vapid02.verify(self.headers["authorization"])
        token = self.headers["authorization"].removeprefix("vapid t=").split(",")[0]
        claims: dict[str, Any] = json.loads(unpacked(token.split(".")[1]))
        return claims

    @property
    def key(self) -> str:
        return self.headers["authorization"].rpartition("k=")[2]


@dataclass(frozen=True)
class Browser:
    """The keys of one subscription, as a browser makes them."""

    key: ec.EllipticCurvePrivateKey = field(
        default_factory=lambda: ec.generate_private_key(ec.SECP256R1())
    )
    auth: bytes = field(default_factory=lambda: token_bytes(16))

    def keys(self) -> dict[str, str]:
        point = self.key.public_key().public_bytes(Encoding.X962, PublicFormat.UncompressedPoint)
        return {"p256dh": packed(point), "auth": packed(self.auth)}

    def read(self, got: Got) -> dict[str, Any]:
        text = http_ece.decrypt(
            got.body, private_key=self.key, auth_secret=self.auth, version="aes128gcm"
        )
        told: dict[str, Any] = json.loads(text)
        return told


class PushService:
    """Takes messages on loopback and answers 201, or what `answers` has in store."""

    def __init__(self) -> None:
        self.got: list[Got] = []
        self.answers: list[tuple[int, dict[str, str]]] = []
        service = self

        class Handler(BaseHTTPRequestHandler):
            def do_POST(self) -> None:
                body = self.rfile.read(int(self.headers.get("Content-Length", 0)))
                headers = {name.lower(): value for name, value in self.headers.items()}
                service.got.append(Got(self.path, headers, body))
                status, more = service.answers.pop(0) if service.answers else (201, {})
                self.send_response(status)
                for name, value in {"Content-Length": "0", **more}.items():
                    self.send_header(name, value)
                self.end_headers()

            def log_message(self, *_words: Any) -> None:
                pass

        self._server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
        self._server.daemon_threads = True
        self.origin = f"http://127.0.0.1:{self._server.server_address[1]}"

    def __enter__(self) -> Self:
        threading.Thread(target=self._server.serve_forever, args=(0.05,), daemon=True).start()
        return self

    def __exit__(
        self, _kind: type[BaseException] | None, _e: BaseException | None, _t: TracebackType | None
    ) -> None:
        self.stop()

    def stop(self) -> None:
        self._server.shutdown()
        self._server.server_close()
