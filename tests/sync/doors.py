"""Servers for `Phone` behind the real API: in this process, and over a socket to another one."""

import http.client
import json
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from django.test import Client

from nursery.api.door import COOKIE
from nursery.services import nurseries, people
from nursery.services.nurseries import Newcomer
from nursery.services.people import GROWER
from tests.phone import Answered, Phone, Silence, Writer

NURSERY = "veshmere"
EMAIL, PASSWORD = "orla@veshmere.example", "a long sentence of a password"


def open_nursery() -> None:
    nurseries.begin(NURSERY, "Veshmere Terraces", "Etc/GMT-10")
    nurseries.add_account(NURSERY, Newcomer(EMAIL, PASSWORD, "Orla", GROWER, "p-g"))


def enrol(name: str, now: datetime, number: int = 1, device_name: str = "") -> Phone:
    """Let a phone join by a code, and take its first snapshot through the API."""
    code, _ = people.invite(NURSERY, device_name or f"phone {name}", now)
    door = Door()
    answer = door.ask("post", "enrol", {"code": code, "install": f"i-{name}"})
    phone = Phone(Writer(name, number=number), door)
    assert answer["epoch"]
    phone.snapshot()
    return phone


@dataclass
class Door:
    """The API in this process, asked by a phone with its cookie."""

    client: Client = field(default_factory=lambda: Client(SERVER_NAME="localhost"))
    statuses: list[int] = field(default_factory=list)

    def ask(self, method: str, what: str, body: Any = None) -> dict[str, Any]:
        answer = getattr(self.client, method)(
            f"/api/v1/sync/{what}",
            None if body is None else json.dumps(body),
            content_type="application/json",
            headers={"X-Sync": "1"},
        )
        self.statuses.append(answer.status_code)
        said: dict[str, Any] = json.loads(answer.content)
        if answer.status_code >= 300:
            raise Answered(answer.status_code, said)
        return said

    def push(self, body: dict[str, Any]) -> dict[str, Any]:
        return self.ask("post", "push", body)

    def pull(self, after: str, limit: int) -> Iterable[bytes]:
        answer = self.client.get(
            "/api/v1/sync/pull", {"after": after, "limit": str(min(limit, 10_000))}
        )
        if answer.status_code != 200:
            raise Answered(answer.status_code, json.loads(answer.content))
        return b"".join(answer).splitlines()

    def check(self, ids: list[str]) -> list[str]:
        lack: list[str] = self.ask("post", "check", {"ids": ids})["lack"]
        return lack


@dataclass
class Socket:
    """Another process that speaks HTTP; where it does not answer, there is silence."""

    port: int
    secret: str

    def _ask(self, method: str, path: str, body: Any = None) -> bytes:
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=20)
        headers = {"X-Sync": "1", "Cookie": f"{COOKIE}={self.secret}"}
        if body is not None:
            headers["Content-Type"] = "application/json"
        try:
            connection.request(
                method, path, None if body is None else json.dumps(body).encode(), headers
            )
            answer = connection.getresponse()
            said = answer.read()
        except (OSError, http.client.HTTPException) as error:
            raise Silence from error
        finally:
            connection.close()
        if answer.status >= 500:
            raise Silence
        if answer.status >= 300:
            raise Answered(answer.status, json.loads(said))
        return said

    def push(self, body: dict[str, Any]) -> dict[str, Any]:
        said: dict[str, Any] = json.loads(self._ask("POST", "/api/v1/sync/push", body))
        return said

    def pull(self, after: str, limit: int) -> Iterable[bytes]:
        path = f"/api/v1/sync/pull?after={after}&limit={min(limit, 10_000)}"
        return self._ask("GET", path).splitlines()

    def check(self, ids: list[str]) -> list[str]:
        lack: list[str] = json.loads(self._ask("POST", "/api/v1/sync/check", {"ids": ids}))["lack"]
        return lack


@dataclass
class Office:
    """The grower at the office: signed in, over the API."""

    client: Client = field(default_factory=lambda: Client(SERVER_NAME="localhost"))

    def sign_in(self) -> "Office":
        self.ask("post", "session", {"email": EMAIL, "password": PASSWORD})
        return self

    def ask(self, method: str, what: str, body: Any = None) -> dict[str, Any]:
        answer = getattr(self.client, method)(
            f"/api/v1/{what}",
            None if body is None else json.dumps(body),
            content_type="application/json",
        )
        said: dict[str, Any] = json.loads(answer.content or b"{}")
        if answer.status_code >= 300:
            raise Answered(answer.status_code, said)
        return said

    def needs_a_look(self) -> dict[str, Any]:
        return self.ask("get", "needs-a-look")
