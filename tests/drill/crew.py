"""Who works in the nursery of the drill: phones that write, push and photograph, and an office."""

import base64
import http.client
import io
import json
import time
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from http.cookies import SimpleCookie
from typing import Any

from PIL import Image

from nursery.api.door import COOKIE
from tests.bench.histories import ROUND
from tests.phone import Phone, Silence, Writer
from tests.sync.doors import Socket

API = "/api/v1/"
EMAIL, PASSWORD = "orla@veshmere.example", "a long sentence of a password"
# So many entries a batch are in a book that has been kept for some months.
A_BATCH = 50


@dataclass
class Office:
    """The grower at a desk, signed in by a session."""

    port: int
    cookies: SimpleCookie = field(default_factory=SimpleCookie)

    def sign_in(self) -> "Office":
        self.ask("POST", "session", {"email": EMAIL, "password": PASSWORD})
        return self

    def ask(self, method: str, what: str, body: Any) -> dict[str, Any]:
        kept = "; ".join(f"{name}={one.value}" for name, one in self.cookies.items())
        headers = {"Content-Type": "application/json", "Cookie": kept}
        headers["Origin"] = f"http://127.0.0.1:{self.port}"
        if "nursery_csrf" in self.cookies:
            headers["X-CSRFToken"] = self.cookies["nursery_csrf"].value
        link = http.client.HTTPConnection("127.0.0.1", self.port, timeout=60)
        try:
            link.request(method, API + what, json.dumps(body).encode(), headers)
            answer = link.getresponse()
            said = answer.read()
        finally:
            link.close()
        for header in answer.headers.get_all("Set-Cookie") or ():
            self.cookies.load(header)
        assert answer.status < 300, (answer.status, said[:500])
        told: dict[str, Any] = json.loads(said or b"{}")
        return told

    def types_a_product(self, number: int) -> None:
        body = {"name": f"Product {number}"}
        self.ask("PUT", f"rows/product/product-{number}", {"rev": None, "body": body})


@dataclass
class Worker(Phone):
    """A phone with its photos, which notes when each of its records was acknowledged."""

    acknowledged: dict[str, float] = field(default_factory=dict)
    photos: dict[str, bytes] = field(default_factory=dict)

    def take(self, sent: dict[str, str], answer: dict[str, Any]) -> None:
        super().take(sent, answer)
        at = time.time()
        for ident in sent:
            self.acknowledged.setdefault(ident, at)

    def works(self, count: int, prefix: str = "b") -> None:
        """Write what a round writes about some trays, none of it ahead of the clock."""
        for _ in range(count):
            n = self.writer.n
            batch = f"{prefix}-{self.writer.number}-{n // A_BATCH}"
            at = datetime.now(UTC) - timedelta(days=30) + timedelta(seconds=n)
            if n % A_BATCH == 0:
                new = {"id": batch, "label": f"T{self.writer.number}.{n // A_BATCH}"}
                body = {"consignment": "c-1", "batches": [{**new, "stated": 20_000}]}
                self.write("received", [batch], body, at)
            else:
                kind, tell = ROUND[n % len(ROUND)]
                self.write(kind, [batch], tell(n), at)

    def photographs(self) -> None:
        """Take a photo, write its record, and send the picture, as a phone does when it can."""
        drawn = io.BytesIO()
        Image.effect_noise((64, 48), 80).convert("RGB").save(drawn, "JPEG")
        content = drawn.getvalue()
        digest = sha256(content).hexdigest()
        at = datetime.now(UTC) - timedelta(days=30) + timedelta(seconds=self.writer.n)
        body = {"photo": f"f-{self.writer.n}", "sha256": digest, "width": 64, "height": 48}
        self.write("photographed", [f"b-{self.writer.number}-0"], body, at)
        self.photos[digest] = content
        self.sends(digest)

    def sends(self, digest: str) -> bool:
        """Offer a photo, and send it where the office lacks it; return whether it did."""
        content = self.photos[digest]
        named = base64.b64encode(digest.encode()).decode()
        told = f"photo {base64.b64encode(b'photo').decode()},sha256 {named}"
        asked = {"Upload-Metadata": told, "Upload-Length": str(len(content))}
        begun = self._tus("POST", "uploads", asked)
        if begun.get("Upload-Offset") == str(len(content)):
            return False
        piece = base64.b64encode(sha256(content).digest()).decode()
        headers = {"Upload-Offset": "0", "Upload-Checksum": f"sha256 {piece}"}
        self._tus("PATCH", f"uploads/{digest}", headers, content)
        return True

    def _tus(
        self, method: str, what: str, told: dict[str, str], content: bytes = b""
    ) -> http.client.HTTPMessage:
        assert isinstance(self.server, Socket)
        headers = {"X-Sync": "1", "Cookie": f"{COOKIE}={self.server.secret}", **told}
        headers |= {"Tus-Resumable": "1.0.0"}
        headers |= {"Content-Type": "application/offset+octet-stream"} if content else {}
        link = http.client.HTTPConnection("127.0.0.1", self.server.port, timeout=60)
        try:
            link.request(method, API + what, content, headers)
            answer = link.getresponse()
            said = answer.read()
        except (OSError, http.client.HTTPException) as error:
            raise Silence from error
        finally:
            link.close()
        assert answer.status < 300, (answer.status, said[:500])
        return answer.headers


def joins(office: Office, number: int) -> Worker:
    """Let a phone join by a code, and take its first snapshot."""
    code = office.ask("POST", "invites", {"device_name": f"phone {number}"})["code"]
    link = http.client.HTTPConnection("127.0.0.1", office.port, timeout=60)
    headers = {"X-Sync": "1", "Content-Type": "application/json"}
    body = json.dumps({"code": code, "install": f"i-w{number}"}).encode()
    link.request("POST", f"{API}sync/enrol", body, headers)
    answer = link.getresponse()
    assert answer.status < 300, answer.read()[:500]
    cookie = SimpleCookie(answer.headers["Set-Cookie"])[COOKIE].value
    link.close()
    phone = Worker(Writer(f"w{number}", number=number), Socket(office.port, cookie))
    phone.snapshot()
    return phone
