"""The page on which a phone learns to trust this computer: plain http, and nothing else there.

A phone cannot take https on trust before it knows the authority, so this page alone is served
without. It reads the authority's certificate and knows no book: no table, no route of the API.
Whoever sits between phone and computer could change it, so the page sends people to compare the
fingerprint that the phone itself shows with the office computer's screen.
"""

import os
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from http import HTTPStatus
from pathlib import Path
from typing import Any

from cryptography import x509
from cryptography.hazmat.primitives.serialization import Encoding
from cryptography.x509.oid import NameOID
from django.conf import settings
from django.template import Context, Engine
from django.utils.safestring import mark_safe

from config import address, certificates, office, serving
from config.address import Address
from config.errors import CannotRun
from nursery.services import qr, words

HERE = Path(__file__).absolute().parent
CERTIFICATE, CERTIFICATE_TEXT = "/lathhouse.crt", "/lathhouse.pem"
POLICY = "; ".join(
    (
        "default-src 'none'",
        "style-src 'self'",
        "font-src 'self'",
        "base-uri 'none'",
        "form-action 'none'",
        "frame-ancestors 'none'",
    )
)
HEADERS = (
    ("Content-Security-Policy", POLICY),
    ("X-Content-Type-Options", "nosniff"),
    ("Referrer-Policy", "no-referrer"),
    ("Cache-Control", "no-cache"),
)
FACES = "assets/atkinson*-latin-wght-normal*.woff2"
# What a language calls itself needs no translation.
LANGUAGES = {"en": "English", "es": "Español"}

Start = Callable[[str, list[tuple[str, str]]], object]
Environ = dict[str, Any]
Answer = tuple[HTTPStatus, str, bytes]


class NotYet(CannotRun):
    """There is no certificate of the office's own."""

    def __init__(self) -> None:
        super().__init__("No certificate was made here yet. Run: nursery up --tls")


@dataclass(frozen=True)
class Trust:
    """The page, as a WSGI application.

    Attributes:
        root: the certificate that phones are to trust.
        app: where the app answers by https.
        host: the address that this page listens on.
        port: where this page answers.
        web: the folder of the built app, which has the typeface.
    """

    root: x509.Certificate
    app: Address
    host: str
    port: int
    web: Path | None = None

    def __call__(self, environ: Environ, start: Start) -> Iterable[bytes]:
        status, kind, body = self._answer(environ)
        told = [("Content-Type", kind), ("Content-Length", str(len(body))), *HEADERS]
        start(f"{status.value} {status.phrase}", told)
        return [b"" if environ["REQUEST_METHOD"] == "HEAD" else body]

    def own_address(self) -> str:
        """Return where a phone finds this page: by number, since no name needs to be known yet."""
        hosts = [*serving.on_the_network(self.host), self.app.name]
        return f"http://{hosts[0]}:{self.port}/"

    def _answer(self, environ: Environ) -> Answer:
        path, wished = environ["PATH_INFO"], environ.get("HTTP_ACCEPT_LANGUAGE")
        if environ["REQUEST_METHOD"] not in ("GET", "HEAD"):
            return HTTPStatus.METHOD_NOT_ALLOWED, "text/plain; charset=utf-8", b""
        asked = path.removeprefix("/")
        language = asked if asked in words.languages() else words.choose(wished)
        if path in ("/", f"/{asked}") and asked in ("", language):
            return HTTPStatus.OK, "text/html; charset=utf-8", self._page(language).encode()
        found = self._file(path)
        if found is not None:
            return HTTPStatus.OK, *found
        nothing = words.say(language, "trust.nothing_here").encode()
        return HTTPStatus.NOT_FOUND, "text/plain; charset=utf-8", nothing

    def _file(self, path: str) -> tuple[str, bytes] | None:
        if path == CERTIFICATE:
            return "application/x-x509-ca-cert", self.root.public_bytes(Encoding.DER)
        if path == CERTIFICATE_TEXT:
            return "application/x-pem-file", self.root.public_bytes(Encoding.PEM)
        if path == "/trust.css":
            return "text/css; charset=utf-8", (HERE / "trust.css").read_bytes()
        if path == "/face.woff2" and self.web is not None:
            faces = sorted(self.web.glob(FACES))
            return ("font/woff2", faces[0].read_bytes()) if faces else None
        return None

    def _page(self, language: str) -> str:
        own, origin = self.own_address(), f"{self.app.origin}/"
        vouched = certificates.vouched_for(self.root)
        context = {
            "language": language,
            "languages": [(code, LANGUAGES.get(code, code)) for code in words.languages()],
            "say": self._sentences(language, vouched),
            "name": self.app.name,
            "own": own,
            "own_square": mark_safe(qr.svg(own)),  # noqa: S308  drawn of lines alone
            "app": origin,
            "app_square": mark_safe(qr.svg(origin)),  # noqa: S308  as above
            "others": [
                f"{Address(n, self.app.port).origin}/" for n in vouched if n != self.app.name
            ],
            "fingerprint": certificates.fingerprint(self.root),
            "certificate": CERTIFICATE,
            "certificate_text": CERTIFICATE_TEXT,
        }
        return str(self._template.render(Context(context)))

    def _sentences(self, language: str, vouched: Sequence[str]) -> dict[str, str]:
        """Return every sentence of the page by the end of its key."""
        params = {
            "name": self.app.name,
            "names": vouched,
            "title": str(self.root.subject.get_attributes_for_oid(NameOID.COMMON_NAME)[0].value),
        }
        family = "trust."
        keys = [key for key in words.catalogue(language) if key.startswith(family)]
        return {key.removeprefix(family): words.say(language, key, params) for key in keys}

    @cached_property
    def _template(self) -> Any:
        return Engine().from_string((HERE / "trust.html").read_text(encoding="utf-8"))


def application() -> Trust:
    """Return the page of this data folder, as the web server's process asks for it.

    Raises:
        NotYet: there is nothing to trust.
    """
    host, port = os.environ["NURSERY_CHILD_PAGE"].rsplit(" ", 1)
    app, root = address.kept(settings.DATA), office.root(settings.DATA)
    if app is None or root is None:
        raise NotYet
    return Trust(root, app, host, int(port), settings.WEB_ROOT)
