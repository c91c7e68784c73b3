"""What a phone wrote stays what it wrote: byte for byte, and by whoever wrote it."""

import json
from collections.abc import Callable
from datetime import UTC, datetime
from typing import Any

import pytest

from nursery.api.door import COOKIE
from nursery.domain import chain
from tests.phone import Answered, Phone, line
from tests.sync.doors import Door, Office, enrol, open_nursery

pytestmark = pytest.mark.django_db

NOW = datetime(2031, 3, 3, 2, tzinfo=UTC)


@pytest.fixture
def phone(shifted_clock: Callable[[Any], None], sound_books: None) -> Phone:
    shifted_clock(NOW)
    open_nursery()
    return enrol("a", NOW)


def reworded(text: str, **fields: Any) -> str:
    return json.dumps({**json.loads(text), **fields})


# Texts that any other writer of JSON would put differently.
WORDINGS: dict[str, Callable[[str], str]] = {
    "of a newer version": lambda text: reworded(text, v=99),
    "of an unknown kind": lambda text: reworded(text, kind="sung", body={"to": ["whom", 1.50]}),
    "with fields that nobody knows": lambda text: reworded(text, weather={"wind": None}),
    "with blanks between": lambda text: f" \t{text.replace(',', ' , ')}  ",
    "with letters written as numbers": lambda text: text.replace("b-1", "b\\u002d1"),
    "with letters of many scripts": lambda text: reworded(text, body={"text": "Ж—ñ🌱"}, v=99),
    "with figures in other forms": lambda text: reworded(text, v=99).replace(
        '"offset_min": 600', '"offset_min": 600, "ph": 5.600, "ec": 1E-2, "big": 123456789012345678'
    ),
    "with a line's own mark inside": lambda text: reworded(
        text, v=99, body={"text": '"}\n{"t":"end"}, "e":{'}
    ),
}


@pytest.mark.parametrize("wording", WORDINGS.values(), ids=WORDINGS.keys())
def test_requirement_18_what_today_cannot_read_comes_back_byte_for_byte(
    phone: Phone, wording: Callable[[str], str]
) -> None:
    """By the tail of the feed, by a snapshot, and hashing to what the phone hashed."""
    other = enrol("b", NOW, number=2)
    text = wording(phone.writer.write("noted", ["b-1"], {"text": "x"}, NOW))
    [result] = phone.server.push(phone.envelope([text]))["results"]
    assert result["status"] == "stored"
    other.pull_all()
    fresh = enrol("c", NOW, number=3)
    assert [content.text for content in other.copy.values()] == [text]
    assert [content.text for content in fresh.copy.values()] == [text]


@pytest.mark.parametrize("line_break", ["\n", "\r", "\r\n"])
def test_an_entry_of_several_lines_cannot_break_the_feed(phone: Phone, line_break: str) -> None:
    """A pull is told line by line: one such entry would stop every phone of the nursery."""
    text = phone.writer.write("noted", ["b-1"], {"text": "x"}, NOW)
    broken = text.replace(" ", line_break, 1)
    [result] = phone.server.push(phone.envelope([broken]))["results"]
    assert (result["status"], result["code"]) == ("kept_raw", "unreadable")
    [kept] = Office().sign_in().needs_a_look()["kept_raw"]
    assert (kept["raw"], kept["id"]) == (broken, json.loads(text)["id"])
    phone.write("noted", ["b-1"], {"text": "y"}, NOW)
    phone.push()
    phone.pull_all()
    assert len(phone.copy) == 1


def test_requirement_18_what_today_cannot_read_is_shown_and_counted(phone: Phone) -> None:
    phone.write("noted", ["b-1"], {"text": "x"}, NOW, v=99)
    phone.push()
    [about] = Office().sign_in().needs_a_look()["doubts"]
    assert "newer_version" in {doubt["code"] for doubt in about["doubts"]}


def test_requirement_19_whoever_sends_it_an_entry_stays_its_authors(phone: Phone) -> None:
    """A worker records without signal; another signs in on the same phone, and it sends."""
    first = phone.write("noted", ["b-1"], {"text": "x"}, NOW, author="p-w1")
    second = phone.write("noted", ["b-1"], {"text": "y"}, NOW, author="p-w2", confirmed=False)
    phone.push()
    shown = Office().sign_in().ask("get", "batches/b-1")["timeline"]
    authors = {line["entry"]["id"]: line["entry"]["author"] for line in shown}
    assert authors == {first: "p-w1", second: "p-w2"}


def test_requirement_19_a_phone_that_lost_its_secret_keeps_what_it_wrote(phone: Phone) -> None:
    ident = phone.write("noted", ["b-1"], {"text": "x"}, NOW)
    door = phone.server
    assert isinstance(door, Door)
    secret = door.client.cookies.pop(COOKIE)
    with pytest.raises(Answered) as refused:
        phone.push()
    assert (refused.value.status, refused.value.code) == (401, "sign_in")
    assert [*phone.queue] == [ident]
    door.client.cookies[COOKIE] = secret.value
    phone.push()
    assert phone.results[ident]["status"] == "stored"


def test_requirement_19_signing_out_at_the_office_takes_nothing_from_a_phone(phone: Phone) -> None:
    office = Office().sign_in()
    ident = phone.write("noted", ["b-1"], {"text": "x"}, NOW)
    office.ask("delete", "session")
    phone.push()
    assert phone.results[ident]["status"] == "stored"


@pytest.mark.parametrize("limit", [1, 3, 2000])
def test_a_phone_can_prove_that_its_copy_is_the_book(phone: Phone, limit: int) -> None:
    """Each page ends with the link of its last line: numbers, ids and texts are all in it."""
    for _ in range(7):
        phone.write("noted", ["b-1"], {"text": "x"}, NOW)
    phone.push()
    link, seq, more = chain.START, 0, True
    while more:
        *lines, end = phone.server.pull(f"{phone.epoch}:{seq}", limit)
        for raw in lines[1:]:
            seq, content = line(raw)
            link = chain.link(link, seq, content.ident, content.hash)
        assert json.loads(end)["hash"] == link
        more = json.loads(end)["more"]
    [whole_end] = [raw for raw in phone.server.pull("", 1) if b'"t":"end"' in raw]
    assert json.loads(whole_end)["hash"] == link
