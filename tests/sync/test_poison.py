"""Requirement 11: one bad item among many never holds back the good ones, wherever it stands."""

import json
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from django.db import DataError, OperationalError

from nursery.domain import batch_steps
from nursery.domain.kinds.common import Noted
from nursery.services import log
from nursery.services.installs import Outbox
from nursery.store import lines
from tests.phone import Phone, Writer
from tests.sync.doors import NURSERY, Office, enrol, open_nursery

pytestmark = pytest.mark.django_db

NOW = datetime(2031, 3, 3, 2, tzinfo=UTC)
POSITIONS = (0, 1, 99, 199)


@pytest.fixture
def phone(shifted_clock: Callable[[Any], None], sound_books: None) -> Phone:
    shifted_clock(NOW)
    open_nursery()
    return enrol("a", NOW)


def good(writer: Writer) -> str:
    at = NOW + timedelta(seconds=writer.n)
    return writer.write("lost", [f"b-{writer.n % 7}"], {"count": 1, "fate": "died"}, at)


def too_long(writer: Writer) -> str:
    return writer.write("noted", ["b-1"], {"text": "x" * 70_000}, NOW)


def unlike(writer: Writer, **fields: Any) -> str:
    return json.dumps({**json.loads(good(writer)), **fields})


# What each is answered with: outcome, code.
BAD: dict[str, tuple[Callable[[Writer], str], tuple[str, str | None]]] = {
    "no JSON": (lambda w: good(w)[:-1], ("kept_raw", "unreadable")),
    "nothing": (lambda w: "", ("kept_raw", "unreadable")),
    "bytes of another world": (lambda w: "\x00\x01\u202e", ("kept_raw", "unreadable")),
    "deeper than any entry": (lambda w: "[" * 5000, ("kept_raw", "unreadable")),
    "no envelope": (lambda w: '{"n": 7}', ("kept_raw", "unreadable")),
    "a number beyond all": (lambda w: unlike(w, n=10**30), ("kept_raw", "unreadable")),
    "more than 64 KB": (too_long, ("kept_raw", "too_long")),
    "of another nursery": (lambda w: unlike(w, nursery="x"), ("kept_raw", "wrong_nursery")),
    "an unknown kind": (lambda w: unlike(w, kind="sung"), ("stored", None)),
    "a body that fits no kind": (lambda w: unlike(w, body={"count": "many"}), ("stored", None)),
    "text that a database cannot keep": (
        lambda w: unlike(w, body={"count": 1, "fate": "died", "cause": "\x00"}),
        ("stored", None),
    ),
    "from the year 2041": (
        lambda w: unlike(w, occurred_at="2041-01-01T00:00:00.000Z"),
        ("set_aside", "future"),
    ),
}


# Every bad text in the middle, and at every position those that differ in the way they are taken.
PLACED = {
    f"{name} at {position}": (*BAD[name], position)
    for name in BAD
    for position in (POSITIONS if name in ("no JSON", "more than 64 KB") else (99,))
}


@pytest.mark.parametrize(("bad", "told", "position"), PLACED.values(), ids=PLACED.keys())
def test_requirement_11_one_bad_text_among_two_hundred_holds_nothing_back(
    phone: Phone, bad: Callable[[Writer], str], told: tuple[str, str | None], position: int
) -> None:
    texts = [good(phone.writer) for _ in range(199)]
    texts.insert(position, bad(phone.writer))
    answer = phone.server.push(phone.envelope(texts))
    results = answer["results"]
    assert (results[position]["status"], results[position].get("code")) == told
    rest = results[:position] + results[position + 1 :]
    assert {result["status"] for result in rest} == {"stored"}
    if told[0] == "kept_raw":
        [kept] = Office().sign_in().needs_a_look()["kept_raw"]
        assert (kept["code"], kept["raw"]) == (told[1], texts[position])


class Poison(Exception):
    pass


@pytest.mark.parametrize("position", POSITIONS)
def test_requirement_11_an_entry_that_breaks_the_fold_is_kept_for_a_person(
    phone: Phone, position: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """No such entry is known; if there is one, the others pass in the very same call."""

    def choke(_state: object, _entry: object) -> None:
        raise Poison

    monkeypatch.setitem(batch_steps.STEPS, Noted, choke)
    texts = [good(phone.writer) for _ in range(199)]
    texts.insert(position, phone.writer.write("noted", ["b-1"], {"text": "x"}, NOW))
    results = phone.server.push(phone.envelope(texts))["results"]
    assert results[position]["status"] == "kept_raw"
    assert results[position]["code"] == "not_taken_in"
    assert [r["status"] for r in results].count("stored") == 199
    [kept] = Office().sign_in().needs_a_look()["kept_raw"]
    assert kept["raw"] == texts[position]


@pytest.mark.parametrize("position", POSITIONS)
def test_requirement_11_an_entry_that_the_database_cannot_hold_is_kept_for_a_person(
    phone: Phone, position: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    texts = [good(phone.writer) for _ in range(200)]
    bad = json.loads(texts[position])["id"]
    write = lines.write

    def turn_down(book: Any, some: list[lines.Line]) -> None:
        if any(line.ident == bad for line in some):
            raise DataError
        write(book, some)

    monkeypatch.setattr(lines, "write", turn_down)
    results = phone.server.push(phone.envelope(texts))["results"]
    assert [number for number, r in enumerate(results) if r["status"] != "stored"] == [position]
    assert results[position]["code"] == "not_taken_in"


def test_a_database_that_is_away_is_no_fault_of_an_entry(
    phone: Phone, monkeypatch: pytest.MonkeyPatch
) -> None:
    def away(*_: object) -> None:
        raise OperationalError

    box = Outbox("i-a", "d-a")
    with monkeypatch.context() as broken:
        broken.setattr(lines, "write", away)
        with pytest.raises(OperationalError):
            log.receive(NURSERY, box, [good(phone.writer)], NOW)
    assert Office().sign_in().needs_a_look()["kept_raw"] == []


# What a phone says beside its entries may be odd as well.
ODD = {
    "a moment before the calendar": {"oldest": "0001-01-01T00:00:00+14:00"},
    "a moment after the calendar": {"oldest": "9999-12-31T23:59:59-14:00"},
    "more than can be": {"unsent": 2**53 - 1, "n_max": 2**53 - 1, "photos": 2**53 - 1},
}


@pytest.mark.parametrize("odd", ODD.values(), ids=ODD.keys())
def test_an_odd_word_about_the_outbox_holds_back_no_entry(
    phone: Phone, odd: dict[str, Any]
) -> None:
    body = phone.envelope([good(phone.writer)])
    body["phone_time"] = odd.get("oldest")
    body["outbox"] |= odd
    for _ in range(2):
        [result] = phone.server.push(body)["results"]
        assert result["status"] in ("stored", "known")
    assert Office().sign_in().needs_a_look()["kept_raw"] == []
