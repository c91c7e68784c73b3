"""What a push service gets and a browser reads, and what comes of each answer."""

import stat
import subprocess
import sys
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import http_ece
import pytest
from cryptography.hazmat.primitives.asymmetric import ec

from config import folder
from nursery.services import clock, nurseries, people, push, push_key, rows
from nursery.services.errors import PushAddressUnfit, PushNotSetUp, Unknown
from nursery.services.nurseries import Newcomer
from nursery.services.outcome import Banner, Outcome
from nursery.services.rows import Row
from tests.product import plain_environment
from tests.push_service import Browser, PushService, packed, unpacked
from tests.steps import ROOT

NOW = datetime(2031, 3, 3, 2, tzinfo=UTC)
BOOK = "veshmere"
TOLD = Banner(BOOK, "p-1", "Look-over", "Six trays", "/#/reminders/r-1", "look", 3600, "high")
pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def book(settings: Any, tmp_path: Path) -> None:
    folder.prepare(tmp_path)
    settings.PUSH_KEY, settings.PUSH_FILE = "", folder.push_file(tmp_path)
    settings.PUSH_CONTACT, settings.PUSH_LOOPBACK = "mailto:ana@veshmere.example", True
    nurseries.begin(BOOK, "Veshmere", "Etc/GMT-10")
    for ident in ("p-1", "p-2"):
        rows.put(BOOK, Row("person", ident, None, {"name": ident, "role": "worker"}), NOW)


@pytest.fixture
def service() -> Iterator[PushService]:
    with PushService() as running:
        yield running


def phone(name: str = "blue") -> str:
    code, _ = people.invite(BOOK, name, NOW)
    return people.enrol(code, f"i-{name}", NOW).device


def subscribed(
    service: PushService, person: str = "p-1", device: str = "", path: str = "/a"
) -> Browser:
    browser = Browser()
    told = push.Browser(service.origin + path, **browser.keys())
    push.subscribe(BOOK, device or phone(), person, told, NOW)
    return browser


def test_the_browser_alone_reads_what_was_sent(service: PushService) -> None:
    browser = subscribed(service)
    assert push.send(TOLD) is Outcome.SENT
    (got,) = service.got
    assert browser.read(got) == {
        "title": "Look-over",
        "body": "Six trays",
        "url": "/#/reminders/r-1",
        "tag": "look",
    }
    assert b"Six trays" not in got.body
    with pytest.raises(http_ece.ECEException):
        Browser().read(got)


def test_the_headers_are_those_of_the_standards(service: PushService) -> None:
    """RFC 8030, 5.2-5.4; RFC 8291, 4; RFC 8292, 2 and 3.1."""
    subscribed(service)
    push.send(TOLD)
    (got,) = service.got
    assert (got.headers["ttl"], got.headers["urgency"]) == ("3600", "high")
    assert got.headers["topic"] == "look"
    assert got.headers["content-encoding"] == "aes128gcm"
    claims = got.token
    assert (claims["aud"], claims["sub"]) == (service.origin, "mailto:ana@veshmere.example")
    ends = datetime.fromtimestamp(claims["exp"], UTC) - clock.unshifted()
    assert timedelta(0) < ends <= timedelta(hours=24)
    assert got.key == push_key.public()


def test_no_message_is_dropped_for_a_phone_that_is_off(service: PushService) -> None:
    subscribed(service)
    push.send(TOLD._replace(ttl=0, urgency="normal"))
    assert int(service.got[0].headers["ttl"]) > 0


def test_a_long_text_is_cut_to_what_every_service_takes(service: PushService) -> None:
    browser = subscribed(service)
    push.send(TOLD._replace(body="ñ" * 9000))
    assert len(service.got[0].body) <= 4096
    assert browser.read(service.got[0])["body"].endswith("ñ…")


ANSWERS = [
    ([201], Outcome.SENT, True),
    ([404], Outcome.GONE, False),
    ([410], Outcome.GONE, False),
    ([429], Outcome.FAILED, True),
    ([500], Outcome.FAILED, True),
    ([403], Outcome.FAILED, True),
    ([301], Outcome.FAILED, True),
]


@pytest.mark.parametrize(("statuses", "outcome", "live"), ANSWERS)
def test_what_comes_of_an_answer(
    service: PushService, statuses: list[int], outcome: Outcome, live: bool
) -> None:
    subscribed(service)
    service.answers = [(status, {}) for status in statuses]
    assert push.send(TOLD) is outcome
    assert push.has_live(BOOK, "p-1") is live
    assert len(service.got) == 1  # nothing is tried twice


def test_of_two_phones_one_that_took_it_is_enough_and_the_other_is_forgotten(
    service: PushService,
) -> None:
    subscribed(service, device=phone("blue"), path="/a")
    subscribed(service, device=phone("red"), path="/b")
    service.answers = [(410, {}), (201, {})]
    assert push.send(TOLD) is Outcome.SENT
    assert [one["device_name"] for one in push.every(BOOK, "p-1")] == ["red"]


def test_without_a_browser_there_is_nothing_to_tell_by() -> None:
    assert push.has_live(BOOK, "p-1") is False
    assert push.send(TOLD) is Outcome.GONE


def test_a_phone_that_was_shut_out_shows_nothing(service: PushService) -> None:
    device = phone()
    subscribed(service, device=device)
    people.revoke(BOOK, device, NOW)
    assert push.has_live(BOOK, "p-1") is False
    assert push.send(TOLD) is Outcome.GONE
    assert service.got == []


def test_a_phone_that_two_people_share_shows_what_each_is_told(service: PushService) -> None:
    device, browser = phone(), Browser()
    told = push.Browser(f"{service.origin}/a", **browser.keys())
    for person in ("p-1", "p-2", "p-1"):
        push.subscribe(BOOK, device, person, told, NOW)
    assert [one["person"] for one in push.every(BOOK)] == ["p-1", "p-2"]
    push.unsubscribe(BOOK, device, "p-1", NOW)
    assert (push.has_live(BOOK, "p-1"), push.has_live(BOOK, "p-2")) == (False, True)


def test_a_browser_that_subscribes_anew_is_told_once(service: PushService) -> None:
    device = phone()
    subscribed(service, device=device, path="/old")
    subscribed(service, device=device, path="/new")
    push.send(TOLD)
    assert [got.path for got in service.got] == ["/new"]
    subscribed(service, device=device, path="/old")
    assert len(push.every(BOOK)) == 1


def test_a_service_that_is_away_is_no_fault_of_the_subscription(service: PushService) -> None:
    subscribed(service)
    service.stop()
    assert push.send(TOLD) is Outcome.FAILED
    assert push.has_live(BOOK, "p-1") is True


def test_an_address_that_leads_inside_since_is_never_asked(
    service: PushService, settings: Any
) -> None:
    subscribed(service)
    settings.PUSH_LOOPBACK = False
    assert push.send(TOLD) is Outcome.FAILED
    assert service.got == []


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("endpoint", "http://push.example/a"),
        ("endpoint", "https://192.168.1.1/a"),
        ("p256dh", packed(b"\x04" + bytes(64))),
        ("p256dh", packed(bytes(65))),
        ("p256dh", "no key!"),
        ("p256dh", ""),
        ("auth", packed(bytes(15))),
        ("auth", "@@"),
    ],
)
def test_what_no_push_can_be_sent_to_is_turned_down(field: str, value: str) -> None:
    told = {"endpoint": "https://push.example/a", **Browser().keys(), field: value}
    with pytest.raises(PushAddressUnfit):
        push.subscribe(BOOK, "d-1", "p-1", push.Browser(**told), NOW)


def test_nobody_is_told_who_is_none_of_the_nurserys_people() -> None:
    told = push.Browser("https://push.example/a", **Browser().keys())
    with pytest.raises(Unknown):
        push.subscribe(BOOK, "d-1", "p-9", told, NOW)


def test_the_key_is_made_once_and_is_the_owners_alone(settings: Any, tmp_path: Path) -> None:
    place = folder.push_file(tmp_path)
    made = place.read_text()
    assert stat.S_IMODE(place.stat().st_mode) == 0o600
    folder.prepare(tmp_path)
    assert place.read_text() == made
    point = unpacked(push_key.public())
    assert (len(point), point[0]) == (65, 4)
    key = ec.derive_private_key(int.from_bytes(unpacked(made)), ec.SECP256R1())
    assert key.curve.key_size == 256


def test_the_numbers_of_keys_are_those_of_the_curve() -> None:
    """By the library: the last private key is one, and the next number is none."""
    last = ec.derive_private_key(folder.P256_ORDER - 1, ec.SECP256R1())
    assert last.private_numbers().private_value == folder.P256_ORDER - 1
    with pytest.raises(ValueError, match=r".*"):
        ec.derive_private_key(folder.P256_ORDER, ec.SECP256R1())


def test_a_key_may_come_from_outside_and_must_be_one(settings: Any, tmp_path: Path) -> None:
    mine = push_key.public()
    settings.PUSH_KEY = packed(bytes(31) + b"\x01")
    assert push_key.public() != mine
    for wrong in ("short", packed(bytes(32)), packed(b"\xff" * 32)):
        settings.PUSH_KEY = wrong
        with pytest.raises(PushNotSetUp):
            push_key.public()
    settings.PUSH_KEY, settings.PUSH_FILE = "", tmp_path / "none"
    with pytest.raises(PushNotSetUp):
        push_key.public()


def test_a_push_service_may_write_to_the_grower_where_nobody_else_is_set(
    settings: Any, service: PushService
) -> None:
    settings.PUSH_CONTACT = ""
    subscribed(service)
    assert push.send(TOLD) is Outcome.FAILED
    assert service.got == []
    nurseries.add_account(
        BOOK, Newcomer("ana@veshmere.example", "three tall kettles", "Ana", people.GROWER, "p-g")
    )
    assert push.send(TOLD) is Outcome.SENT
    assert service.got[0].token["sub"] == "mailto:ana@veshmere.example"


CONTACTS = {
    "mailto:ana@veshmere.example": True,
    "https://veshmere.example/help": True,
    "ana@veshmere.example": False,
    "mailto:ana@localhost": False,
    "mailto: <ana@veshmere.example>": False,
    "http://veshmere.example": False,
    "https://localhost": False,
}


@pytest.mark.parametrize(("contact", "good"), CONTACTS.items())
def test_a_contact_that_services_turn_down_ends_every_command(
    contact: str, good: bool, tmp_path: Path
) -> None:
    """One of them answers 403 to every message with another subject (RFC 8292, 2.1)."""
    environment = {"NURSERY_DATA": str(tmp_path), "NURSERY_PUSH_CONTACT": contact}
    done = subprocess.run(
        [sys.executable, "-m", "config", "check"],
        env=plain_environment() | environment,
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert (done.returncode == 0) is good, done.stderr
    assert good or "Give mailto:NAME@HOST or https://HOST." in done.stderr


def test_the_web_process_does_not_load_the_http_client() -> None:
    code = (
        "import django; from django.conf import settings; django.setup();"
        "import sys; from nursery.api import push; print('pywebpush' in sys.modules)"
    )
    environment = plain_environment() | {"DJANGO_SETTINGS_MODULE": "config.settings"}
    done = subprocess.run(
        [sys.executable, "-c", code], env=environment, cwd=ROOT, capture_output=True, text=True,
        check=True,
    )  # fmt: skip
    assert done.stdout.strip() == "False"
