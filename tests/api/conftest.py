"""Who asks, and why each exists.

Ana grows at Veshmere; her phone has joined; a second phone of hers was shut out. Cleo grows at
another nursery and must never see Veshmere's rows; nor does a phone that
joined there. Nobody has no credential at all.
"""

import json
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from functools import cached_property
from typing import Any

import pytest
from django.test import Client

from nursery.api.door import COOKIE
from nursery.services import clock, links, nurseries, people, refold, verify
from nursery.services.nurseries import Newcomer
from tests.phone import Writer

NOW = datetime(2031, 3, 3, 2, tzinfo=UTC)
PASSWORD = "three tall kettles"


class Phone(Client):
    """A browser whose app has joined: it sends the secret and the header that no form can send."""

    def __init__(self, secret: str, epoch: str, **defaults: Any) -> None:
        super().__init__(headers={"X-Sync": "1"}, **defaults)
        self.cookies[COOKIE] = secret
        self.epoch = epoch

    def push(self, *texts: str, **more: Any) -> Any:
        body = {"epoch": self.epoch, "install": "i-a", "entries": list(texts), **more}
        return self.post("/api/v1/sync/push", json.dumps(body), content_type="application/json")

    def pull(self, after: str = "", **query: Any) -> list[dict[str, Any]]:
        answer = self.get("/api/v1/sync/pull", {"after": after, **query})
        assert answer.status_code == 200, answer.content
        return [json.loads(line) for line in b"".join(answer).splitlines()]


@pytest.fixture(autouse=True)
def fixed_clock(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(clock, "now", lambda: NOW)


@pytest.fixture(autouse=True)
def quick_hashes(settings: Any) -> None:
    """A slow hash is what a password needs, and what a thousand sign-ins of a test do not."""
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


def joined(nursery: str, name: str) -> tuple[Phone, str]:
    code, _ = people.invite(nursery, name, NOW)
    found = people.enrol(code, f"i-{name}", NOW)
    return Phone(found.secret, found.epoch), found.device


def signed_in(nursery: str, email: str) -> Client:
    nurseries.add_account(nursery, Newcomer(email, PASSWORD, "Ana", people.GROWER, "p-g"))
    client = Client()
    answer = client.post(
        "/api/v1/session",
        json.dumps({"email": email, "password": PASSWORD}),
        content_type="application/json",
    )
    assert answer.status_code == 200, answer.content
    return client


def reading(nursery: str, *, ended: bool = False) -> Client:
    """Return a browser in which a link was opened; one that was ended since, if so asked."""
    ident, secret = links.make(nursery, "Dacio Brill", NOW + timedelta(days=30), NOW)
    client = Client()
    answer = client.post(
        "/api/v1/reading", json.dumps({"secret": secret}), content_type="application/json"
    )
    assert answer.status_code == 200, answer.content
    if ended:
        links.end(nursery, ident, NOW)
    return client


class Cast:
    """Everybody who may knock, each there once a test asks for them.

    Two inspectors read by a link: one is good, one was ended.
    """

    @cached_property
    def grower(self) -> Client:
        return signed_in("veshmere", "ana@veshmere.invalid")

    @cached_property
    def phone(self) -> Phone:
        return joined("veshmere", "a")[0]

    @cached_property
    def revoked(self) -> Phone:
        phone, device = joined("veshmere", "lost")
        people.revoke("veshmere", device, NOW)
        return phone

    @cached_property
    def stranger(self) -> Client:
        return signed_in("elsewhere", "cleo@elsewhere.invalid")

    @cached_property
    def nobody(self) -> Client:
        return Client()

    @cached_property
    def inspector(self) -> Client:
        return reading("veshmere")

    @cached_property
    def ended(self) -> Client:
        return reading("veshmere", ended=True)

    @cached_property
    def other_phone(self) -> Phone:
        return joined("elsewhere", "theirs")[0]


CALLERS = [name for name, made in vars(Cast).items() if isinstance(made, cached_property)]


@pytest.fixture
def cast(db: None) -> Iterator[Cast]:
    for ident in ("veshmere", "elsewhere"):
        nurseries.begin(ident, ident.title(), "Etc/GMT-10")
    yield Cast()
    for ident in ("veshmere", "elsewhere"):
        assert refold.differences(ident) == []
        assert verify.chain(ident) == []


def all_of(cast: Cast) -> Cast:
    """Have all of them there: for tests of who there is, and of what others must not find."""
    for name in CALLERS:
        getattr(cast, name)
    return cast


@pytest.fixture
def everybody(cast: Cast) -> None:
    all_of(cast)


@pytest.fixture
def writer() -> Writer:
    return Writer("a")


@pytest.fixture
def tray(cast: Cast, writer: Writer) -> str:
    """One tray of 54 that Ana's phone has brought in and counted."""
    batch = {"id": "b-1", "label": "T1", "stated": 54}
    cast.phone.push(
        writer.write("received", ["b-1"], {"consignment": "c-1", "batches": [batch]}, NOW),
        writer.write("counted", ["b-1"], {"method": "full", "alive": 54, "saw": None}, NOW),
    )
    return "b-1"
