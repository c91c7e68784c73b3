"""Whoever guesses is stopped, learns nothing by it, and keeps nobody from recording."""

import json
from typing import Any

import pytest
from django.contrib.auth import hashers
from django.test import Client

from nursery.services import access, limits, people
from nursery.store.models import Account
from tests.api.conftest import NOW, PASSWORD, Cast
from tests.phone import Writer

JSON = "application/json"


def tried(client: Client, path: str, said: dict[str, str], **more: Any) -> Any:
    return client.post(f"/api/v1/{path}", json.dumps(said), JSON, **more)


WRONG: dict[str, tuple[str, dict[str, str], limits.Limit]] = {
    "links": ("reading", {"secret": "guess"}, limits.LINK),
    "codes to join by": ("sync/enrol", {"code": "guess", "install": "i-9"}, limits.INVITE),
}


@pytest.mark.parametrize(("path", "said", "limit"), WRONG.values(), ids=WRONG)
def test_wrong_ones_from_one_house_are_shut(
    cast: Cast, path: str, said: dict[str, str], limit: limits.Limit
) -> None:
    here, there = {"REMOTE_ADDR": "198.51.100.7"}, {"REMOTE_ADDR": "198.51.100.8"}
    answers = [tried(cast.nobody, path, said, **here) for _ in range(limit.most + 1)]
    assert [one.status_code for one in answers] == [403] * limit.most + [429]
    assert int(answers[-1]["Retry-After"]) <= 15 * 60
    assert tried(cast.nobody, path, said, **there).status_code == 403


def test_of_ipv6_a_house_is_a_whole_network() -> None:
    assert limits.house_of("2606:2800::1", None) == limits.house_of("2606:2800::ffff", None)
    assert limits.house_of("2606:2800::1", None) != limits.house_of("2606:2800:0:1::1", None)
    assert limits.house_of("::ffff:198.51.100.7", None) != limits.house_of("::ffff:1.2.3.4", None)
    assert limits.house_of("nothing", None) == ""


def test_no_header_makes_somebody_come_from_elsewhere(cast: Cast, settings: Any) -> None:
    """Only a proxy that was named is believed, and of what it says only its own word."""
    wrong = {"email": "nobody@veshmere.invalid", "password": "wrong"}
    for n in range(limits.SIGN_IN_FROM.most):
        said = wrong | {"email": f"n{n}@veshmere.invalid"}
        tried(cast.nobody, "session", said, headers={"X-Forwarded-For": f"198.51.100.{n}"})
    assert tried(cast.nobody, "session", wrong).status_code == 429
    settings.USE_X_FORWARDED_HOST = True
    assert limits.house_of("10.0.0.1", "1.1.1.1, 198.51.100.7") == "198.51.100.7"
    assert limits.house_of("10.0.0.1", None) == "10.0.0.1"


def test_an_account_that_nobody_has_is_answered_as_one_that_somebody_has(cast: Cast) -> None:
    def answers(email: str) -> list[Any]:
        said = [tried(cast.nobody, "session", {"email": email, "password": "x"}) for _ in range(9)]
        return [(one.status_code, one.content.decode().replace(email, "EMAIL")) for one in said]

    assert answers("ana@veshmere.invalid") == answers("nobody@veshmere.invalid")


def test_an_account_that_nobody_has_costs_as_long(
    cast: Cast, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What takes time is the hash; so hashes are counted, since a clock would tell of the machine.

    The line that a nursery's list gets for a known account takes some milliseconds of the hash's
    three hundred, and eight tries a quarter of an hour are too few to see them.
    """
    made: list[str] = []
    slow = hashers.MD5PasswordHasher.encode

    def encode(self: Any, password: str, *more: Any) -> str:
        made.append(password)
        return slow(self, password, *more)

    monkeypatch.setattr(hashers.MD5PasswordHasher, "encode", encode)
    for email in ("ana@veshmere.invalid", "nobody@veshmere.invalid"):
        made.clear()
        tried(cast.nobody, "session", {"email": email, "password": "x" * 9})
        assert len(made) == 1, email


def test_a_shut_account_keeps_no_phone_and_no_session_from_its_work(
    cast: Cast, tray: str, writer: Writer
) -> None:
    said = {"email": "ana@veshmere.invalid", "password": "wrong"}
    for _ in range(limits.SIGN_IN.most + 1):
        tried(cast.nobody, "session", said)
    assert tried(cast.nobody, "session", said | {"password": PASSWORD}).status_code == 429
    text = writer.write("noted", [tray], {"text": "still green"}, NOW)
    assert cast.phone.push(text).json()["results"][0]["status"] == "stored"
    assert cast.grower.get("/api/v1/batches").status_code == 200


def test_wrong_pins_on_a_phone_are_told_and_hold_back_no_record(
    cast: Cast, tray: str, writer: Writer
) -> None:
    """The phone itself shuts the tile; the office counts and lets every record in."""
    text = writer.write("noted", [tray], {"text": "still green"}, NOW)
    answer = cast.phone.push(text, wrong_pins={"p-1": 10_000})
    assert answer.json()["results"][0]["status"] == "stored"
    told = access.page("veshmere", access.Asked(person="p-1"))["items"]
    assert [(one["did"], one["of"]) for one in told] == [("wrong_pin", "10000")]


def test_what_is_guessed_at_is_longer_than_any_guess(cast: Cast) -> None:
    """256 bits, or 192 of a code that lasts a day; so wrong calendars need no count."""
    code = people.invite("veshmere", "late", NOW)[0]
    made = cast.grower.post("/api/v1/calendars", '{"name": "x", "language": "en"}', JSON).json()
    secret = made["link"].rpartition("/")[2].removesuffix(".ics")
    assert (len(code), len(secret)) == (32, 43)
    assert cast.nobody.get(f"/api/v1/calendar/{secret}.ics").status_code == 200
    for wrong in (secret[:-1], secret.swapcase(), "", "%25", f"{secret}."):
        assert cast.nobody.get(f"/api/v1/calendar/{wrong}.ics").status_code == 404


def test_a_password_stands_nowhere_and_is_never_said_again(
    cast: Cast, caplog: pytest.LogCaptureFixture
) -> None:
    word = "lantern-quay-otter"
    with caplog.at_level("DEBUG"):
        answer = tried(cast.nobody, "session", {"email": "ana@veshmere.invalid", "password": word})
    assert word not in answer.content.decode() + caplog.text
    assert word not in str(list(Account.objects.values()))


def test_on_a_server_a_password_is_hashed_slowly() -> None:
    """PBKDF2 with SHA-256, at least as often as OWASP's cheat sheet says (600 000; from memory)."""
    assert hashers.PBKDF2PasswordHasher.iterations >= 600_000
