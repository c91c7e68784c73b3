"""What is an entry, and what is none: the envelope, read once at the door."""

import json
from datetime import UTC, datetime
from typing import Any

import pytest

from nursery.domain import entry, kinds
from nursery.domain.entry import Unreadable
from nursery.domain.kinds.common import Unread
from tests.domain.pen import Pen


def sound(**other: Any) -> dict[str, Any]:
    return Pen().raw("lost", {"count": 3, "fate": "died", "saw": "x"}) | other


def test_a_sound_envelope_is_read_whole() -> None:
    read = entry.read(sound(based_on=48_211, skew_ms=-120, by_hand=True))
    assert (read.kind, read.about, read.n, read.offset_min) == ("lost", ("t5",), 1, 600)
    assert (read.based_on, read.skew_ms, read.by_hand, read.confirmed) == (48_211, -120, True, True)
    assert (read.saw, read.corrects, read.line) == ("x", None, read.id)
    assert read.occurred_at == datetime(2031, 3, 3, 8, tzinfo=UTC)


ABSENT: dict[str, Any] = {
    "offset_min": 0,
    "by_hand": False,
    "confirmed": True,
    "based_on": None,
    "skew_ms": None,
    "corrects": None,
}


@pytest.mark.parametrize(("field", "meant"), ABSENT.items(), ids=ABSENT.keys())
def test_what_may_be_absent_has_a_meaning(field: str, meant: Any) -> None:
    raw = sound()
    raw.pop(field, None)
    assert getattr(entry.read(raw), field) == meant


@pytest.mark.parametrize(
    "field", ["id", "v", "kind", "about", "occurred_at", "author", "device", "install", "n", "body"]
)
def test_what_may_not_be_absent_is_named(field: str) -> None:
    raw = sound()
    del raw[field]
    with pytest.raises(Unreadable) as refused:
        entry.read(raw)
    assert refused.value.field == field


ODD: dict[str, tuple[str, Any]] = {
    "an id in capitals": ("id", "0199F2C4-0000-7000-8000-000000000001"),
    "an id that is a number": ("id", 17),
    "version nought": ("v", 0),
    "a version in words": ("v", "1"),
    "a version that is true": ("v", True),
    "a kind with a space": ("kind", "lost it"),
    "about nothing": ("about", []),
    "about a text": ("about", "t5"),
    "about something that is no text": ("about", [5]),
    "about a name with a space": ("about", ["t 5"]),
    "about too much": ("about", [f"t{k}" for k in range(501)]),
    "a moment without its milliseconds": ("occurred_at", "2031-03-03T08:00:00Z"),
    "a moment in another zone": ("occurred_at", "2031-03-03T08:00:00.000+01:00"),
    "a moment on no calendar": ("occurred_at", "2031-02-30T08:00:00.000Z"),
    "the hour twenty-four": ("occurred_at", "2031-03-03T24:00:00.000Z"),
    "a moment in other digits": ("occurred_at", "2031-03-03T08:00:00.00\u0660Z"),
    "a moment that is a number": ("occurred_at", 1),
    "an author of many words": ("author", "w 1"),
    "an author too long": ("author", "w" * 65),
    "number nought": ("n", 0),
    "a number past what a phone can hold": ("n", 2**53),
    "half an offset": ("offset_min", 1.5),
    "a skew in words": ("skew_ms", "much"),
    "a skew past what a phone can hold": ("skew_ms", -(2**53)),
    "a correction of no id": ("corrects", "that one"),
    "a body that is a list": ("body", []),
}


@pytest.mark.parametrize(("field", "value"), ODD.values(), ids=ODD.keys())
def test_an_odd_field_is_named(field: str, value: Any) -> None:
    with pytest.raises(Unreadable) as refused:
        entry.read(sound(**{field: value}))
    assert refused.value.field == field


@pytest.mark.parametrize("raw", [None, [], "entry", 5, True])
def test_what_is_no_object_is_no_entry(raw: object) -> None:
    with pytest.raises(Unreadable, match="entry"):
        entry.read(raw)


def test_a_subject_named_twice_is_one_subject() -> None:
    assert entry.read(sound(about=["t5", "t6", "t5"])).about == ("t5", "t6")


def test_what_stood_on_the_screen_is_a_text_or_nothing() -> None:
    assert entry.read(sound(body={"count": 1, "fate": "died", "saw": 5})).saw is None


def test_an_instant_is_written_as_it_was_read() -> None:
    """Rule B-13."""
    for text in ("2031-03-03T08:00:00.007Z", "1999-12-31T23:59:59.999Z"):
        assert entry.write_instant(entry.instant(text, "at")) == text


def test_an_old_version_is_brought_up_to_the_newest(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(kinds.VERSIONS, "moved", 3)
    steps = {("moved", 1): ("where", "place"), ("moved", 2): ("place", "to")}
    for step, (old, new) in steps.items():
        change = lambda raw, old=old, new=new: {new: raw[old]}  # noqa: E731  # bound in this turn
        monkeypatch.setitem(kinds.UPCASTS, step, change)
    assert kinds.read("moved", 1, {"where": "house-1"}).to == "house-1"
    assert kinds.read("moved", 3, {"to": "house-1"}).to == "house-1"
    assert kinds.read("moved", 4, {"to": "house-1"}) == Unread("version")


BODIES: dict[str, tuple[str, dict[str, Any], str]] = {
    "a field missing": ("moved", {}, "to"),
    "a null is missing": ("moved", {"to": None}, "to"),
    "an empty name": ("moved", {"to": ""}, "to"),
    "a name too long": ("moved", {"to": "x" * 65}, "to"),
    "a name with half a character": ("moved", {"to": "\ud800"}, "to"),
    "a text with a NUL": ("noted", {"text": "a\x00b"}, "text"),
    "a text too long": ("noted", {"text": "x" * 4001}, "text"),
    "a text that is a number": ("noted", {"text": 5}, "text"),
    "a count below nought": ("lost", {"count": -1, "fate": "died"}, "count"),
    "a count with a part": ("lost", {"count": 1.0, "fate": "died"}, "count"),
    "a count that is true": ("lost", {"count": True, "fate": "died"}, "count"),
    "a count past all plants": ("lost", {"count": 10**9, "fate": "died"}, "count"),
    "an unknown choice": ("lost", {"count": 1, "fate": "eaten"}, "fate"),
    "a choice that is a list": ("lost", {"count": 1, "fate": []}, "fate"),
    "a flag in words": ("lost", {"count": 1, "fate": "died", "kept": "yes"}, "kept"),
    "a whole number with a part": (
        "settled",
        {"doubt": "d", "reason": "r", "plants": 1.5},
        "plants",
    ),
    "a number in words": ("fed", {"product": "p", "litres": "2"}, "litres"),
    "a number without end": ("fed", {"product": "p", "litres": float("inf")}, "litres"),
    "a number that is none": ("fed", {"product": "p", "litres": float("nan")}, "litres"),
    "a day in weeks": ("opened", {"on": "2031-W01-1", "permit": "p"}, "on"),
    "a day on no calendar": ("opened", {"on": "2031-02-30", "permit": "p"}, "on"),
    "a day that is a number": ("opened", {"on": 20310303, "permit": "p"}, "on"),
    "an instant in another form": (
        "breached",
        {"what": "w", "last_good_at": "08:00"},
        "last_good_at",
    ),
    "an instant on no calendar": (
        "breached",
        {"what": "w", "last_good_at": "2031-02-30T08:00:00.000Z"},
        "last_good_at",
    ),
    "a list that is a text": ("measured", {"plants": "many"}, "plants"),
    "a list too long": ("planted", {"block": "b", "positions": ["p"] * 20_001}, "positions"),
    "a record that is a list": ("sown", {"batch": [], "seeds": 5}, "batch"),
    "a field of a record": ("sown", {"batch": {"id": "s1"}, "seeds": 5}, "batch.label"),
    "a field of a record in a list": ("measured", {"plants": [{"tag": 1}]}, "plants.tag"),
}


@pytest.mark.parametrize(("kind", "body", "path"), BODIES.values(), ids=BODIES.keys())
def test_a_body_that_does_not_fit_names_its_field(
    kind: str, body: dict[str, Any], path: str
) -> None:
    """Rule B-9."""
    assert kinds.read(kind, 1, body) == Unread(path)


def test_fields_that_this_version_does_not_know_are_passed_over() -> None:
    assert kinds.read("moved", 1, {"to": "house-1", "mood": "calm"}).to == "house-1"


def test_a_whole_number_is_read_as_a_number_with_a_part() -> None:
    assert json.dumps(kinds.read("fed", 1, {"product": "p", "litres": 2}).litres) == "2.0"
