"""Two ways to the public API: inside this process, or over HTTP. Both send the same requests."""

import urllib.error
import urllib.request
from dataclasses import dataclass
from datetime import datetime
from http.cookies import SimpleCookie
from typing import Any, Protocol

import orjson
from django.test import Client

from nursery.services import clock

JSON = "application/json"
PATIENCE_SECONDS = 60


class ServerSays(Exception):
    """An answer that the story does not expect, with what the server said."""

    def __init__(self, method: str, path: str, status: int, body: bytes) -> None:
        super().__init__(f"{method} {path}: {status} {body.decode(errors='replace')[:400]}")
        self.status = status


class ServerAway(Exception):
    """Nobody answers there."""


@dataclass(frozen=True, slots=True)
class Answer:
    """Status, body and the cookies that were set."""

    status: int
    body: bytes
    cookies: dict[str, str]

    def json(self) -> Any:
        return orjson.loads(self.body)


class Wire(Protocol):
    """Carries one request; `set_clock` says what time it is in the story."""

    def send(self, method: str, path: str, body: bytes, headers: dict[str, str]) -> Answer: ...

    def set_clock(self, instant: datetime) -> None: ...


class Inside:
    """The product in this process: its clock follows the story."""

    def __init__(self) -> None:
        self._client = Client(enforce_csrf_checks=True, SERVER_NAME="localhost")

    def send(self, method: str, path: str, body: bytes, headers: dict[str, str]) -> Answer:
        # Whoever asks carries their own cookies: several phones share this client.
        self._client.cookies = SimpleCookie()
        got: Any = self._client.generic(method, path, body, content_type=JSON, headers=headers)
        content = b"".join(got.streaming_content) if got.streaming else got.content
        return Answer(got.status_code, content, _morsels(got.cookies))

    def set_clock(self, instant: datetime) -> None:
        clock.start_at(instant)


class Http:
    """A running server. Its clock is its own: it must have come to the end of what is told."""

    def __init__(self, address: str) -> None:
        self._address = address.rstrip("/")

    def send(self, method: str, path: str, body: bytes, headers: dict[str, str]) -> Answer:
        given = {"Content-Type": JSON, **headers} if body else headers
        asked = urllib.request.Request(  # noqa: S310  an address that the caller gave
            f"{self._address}{path}", body or None, given, method=method
        )
        try:
            with urllib.request.urlopen(asked, timeout=PATIENCE_SECONDS) as got:  # noqa: S310
                return Answer(got.status, got.read(), _set_cookies(got.headers))
        except urllib.error.HTTPError as error:
            return Answer(error.code, error.read(), _set_cookies(error.headers))
        except OSError as error:
            raise ServerAway(f"{self._address} does not answer: {error}") from error

    def set_clock(self, instant: datetime) -> None:
        """Nothing to do: what was written earlier arrives late, as from any phone."""


def _set_cookies(headers: Any) -> dict[str, str]:
    jar: SimpleCookie = SimpleCookie()
    for header in headers.get_all("Set-Cookie") or ():
        jar.load(header)
    return _morsels(jar)


def _morsels(jar: SimpleCookie) -> dict[str, str]:
    return {name: morsel.value for name, morsel in jar.items()}


class Asker:
    """Somebody with cookies of their own who asks the server."""

    def __init__(self, wire: Wire, headers: dict[str, str]) -> None:
        self._wire = wire
        self._headers = headers
        self.cookies: dict[str, str] = {}

    def ask(
        self, method: str, path: str, body: Any = None, *, expect: tuple[int, ...] = (200,)
    ) -> Any:
        """Return the decoded answer; lines of JSON come as a list.

        Raises:
            ServerSays: the status is not among those expected.
        """
        answer = self.send(method, path, body)
        if answer.status not in expect:
            raise ServerSays(method, path, answer.status, answer.body)
        if answer.status == 204 or not answer.body:
            return None
        if path.startswith("/api/v1/sync/pull"):
            return [orjson.loads(line) for line in answer.body.splitlines()]
        return answer.json()

    def send(self, method: str, path: str, body: Any = None) -> Answer:
        headers = {"Accept": JSON, **self._headers}
        if self.cookies:
            headers["Cookie"] = "; ".join(f"{k}={v}" for k, v in self.cookies.items())
        token = self.cookies.get("nursery_csrf")
        if token:
            headers["X-CSRFToken"] = token
        text = body if isinstance(body, bytes) else b"" if body is None else orjson.dumps(body)
        answer = self._wire.send(method, path, text, headers)
        self.cookies.update(answer.cookies)
        return answer
