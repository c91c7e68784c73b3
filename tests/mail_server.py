"""A small SMTP server on loopback (RFC 5321, 3207, 4954), which answers as a test wants.

Only what the tests need, written by hand: one thread for each connection, answers by a script.
"""

import socketserver
import ssl
import threading
from base64 import b64decode
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from ipaddress import ip_address
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import NameOID

SILENT = "silent"


@dataclass
class Letters:
    """What came: letters as they were sent, commands with whether they came under TLS, sign-ins."""

    answers: Mapping[str, str] = field(default_factory=dict)
    starttls: ssl.SSLContext | None = None
    wrapped: ssl.SSLContext | None = None
    taken: list[bytes] = field(default_factory=list)
    heard: list[tuple[str, bool]] = field(default_factory=list)
    signed_in: list[tuple[str, str]] = field(default_factory=list)
    port: int = 0
    over: threading.Event = field(default_factory=threading.Event)


class Talk(socketserver.StreamRequestHandler):
    """One connection."""

    letters: Letters

    def handle(self) -> None:
        self.secure = False
        if self.letters.wrapped is not None:
            self._under(self.letters.wrapped)
        if not self._says("connect", "220 here"):
            return
        while line := self.rfile.readline():
            words = line.decode().split()
            word = words[0].upper()
            self.letters.heard.append((word, self.secure))
            if not self._answer(word, words):
                return

    def finish(self) -> None:
        super().finish()
        self.connection.close()

    def _answer(self, word: str, words: list[str]) -> bool:
        if word == "EHLO":
            return self._says(word, self._offers())
        if word == "STARTTLS" and self.letters.starttls is not None:
            self._says(word, "220 go on")
            self._under(self.letters.starttls)
            return True
        if word == "AUTH":
            _, name, password = b64decode(words[2]).decode().split("\0")
            self.letters.signed_in.append((name, password))
        if word == "DATA" and "DATA" not in self.letters.answers:
            return self._takes()
        self._says(word, "221 bye" if word == "QUIT" else "250 ok" if word != "AUTH" else "235 ok")
        return word != "QUIT"

    def _offers(self) -> str:
        secret = self.secure or (self.letters.starttls is None)
        more = ["250-AUTH PLAIN"] if secret else ["250-STARTTLS"]
        return "\r\n".join(["250-here", *more, "250 8BITMIME"])

    def _takes(self) -> bool:
        self.wfile.write(b"354 go on\r\n")
        lines: list[bytes] = []
        while (line := self.rfile.readline()) not in (b".\r\n", b""):
            # A dot that begins a line was doubled on the way (RFC 5321, 4.5.2).
            lines.append(line.removeprefix(b"."))
        if not self._says("body", "250 taken"):
            return False
        if "body" not in self.letters.answers:
            self.letters.taken.append(b"".join(lines))
        return True

    def _says(self, word: str, usual: str) -> bool:
        text = self.letters.answers.get(word, usual)
        if text == SILENT:
            self.letters.over.wait(30)
            return False
        self.wfile.write(f"{text}\r\n".encode())
        return True

    def _under(self, context: ssl.SSLContext) -> None:
        self.connection = context.wrap_socket(self.connection, server_side=True)
        self.rfile = self.connection.makefile("rb", -1)
        self.wfile = socketserver._SocketWriter(self.connection)  # type: ignore[attr-defined]
        self.secure = True


class Server(socketserver.ThreadingTCPServer):
    daemon_threads = True
    block_on_close = False

    def handle_error(self, *_: object) -> None:
        """Whoever hangs up in the middle is part of the tests."""


@contextmanager
def serving(letters: Letters) -> Iterator[Letters]:
    """Let it listen at a port of its own."""
    with Server(("127.0.0.1", 0), type("Bound", (Talk,), {"letters": letters})) as server:
        letters.port = server.server_address[1]
        thread = threading.Thread(target=server.serve_forever, daemon=True)
        thread.start()
        try:
            yield letters
        finally:
            letters.over.set()
            server.shutdown()


def certificate(folder: Path) -> tuple[ssl.SSLContext, Path]:
    """Make a certificate of `localhost` that signs itself; return its server side and its file."""
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "localhost")])
    now = datetime.now(UTC)
    names = [x509.DNSName("localhost"), x509.IPAddress(ip_address("127.0.0.1"))]
    made = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - timedelta(days=1))
        .not_valid_after(now + timedelta(days=1))
        .add_extension(x509.SubjectAlternativeName(names), critical=False)
        .add_extension(x509.BasicConstraints(ca=True, path_length=None), critical=True)
        .sign(key, hashes.SHA256())
    )
    whole = folder / "mail.pem"
    file = folder / "mail.crt"
    public = made.public_bytes(serialization.Encoding.PEM)
    secret = key.private_bytes(
        serialization.Encoding.PEM,
        serialization.PrivateFormat.PKCS8,
        serialization.NoEncryption(),
    )
    whole.write_bytes(secret + public)
    file.write_bytes(public)
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.load_cert_chain(whole)
    return context, file
