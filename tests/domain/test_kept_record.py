"""What is read back of a kept record is what was kept, in whichever order one asks for it."""

import json
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nursery.domain import kept_record, kinds
from nursery.domain.kinds import kept
from nursery.domain.kinds.common import Unread
from nursery.domain.kinds.field import Planted, Surveyed
from nursery.domain.kinds.life import Fed, Stepped
from nursery.domain.kinds.place import Watered
from nursery.domain.record import Happening, Record
from tests.domain.house import instant
from tests.domain.test_record import told_of_everything
from tests.properties.strategies import BODIES

AT = instant("2031-03-03 08:00")
CLASSES = (Planted, Surveyed, Fed, Stepped, Watered)
NAMES = {cls: kind for kind, cls in kinds.KINDS.items()}


def written(some: Record) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(json.dumps(some.as_json()))
    return found


def as_at_the_door(raw: dict[str, Any]) -> Happening:
    """Read a happening and ask whether it fits: nothing that is needed may be empty."""
    body = kinds.read(raw["kind"], kinds.VERSIONS[raw["kind"]], raw["body"])
    return Happening(raw["entry"], AT, raw["by"], raw["kind"], body)


@st.composite
def happenings(draw: st.DrawFn, kinds_of: tuple[str, ...] = tuple(kinds.KINDS)) -> list[Happening]:
    some = draw(st.lists(st.sampled_from(kinds_of), max_size=6))
    read = [(kind, kinds.read(kind, kinds.VERSIONS[kind], draw(BODIES[kind]))) for kind in some]
    return [Happening(f"e{n}", AT, "w1", kind, body) for n, (kind, body) in enumerate(read)]


@given(happenings())
def test_a_body_is_read_back_as_the_door_would_read_it(some: list[Happening]) -> None:
    """What was kept of an older version may lack what this one asks for: it is unread."""
    for raw in written(Record(happenings=some)).get("happenings", ()):
        assert kept.read(raw["kind"], raw["body"]) == as_at_the_door(raw).body


@given(happenings(tuple(NAMES[cls] for cls in CLASSES)), st.lists(st.sampled_from(CLASSES)))
def test_happenings_are_told_by_their_classes_in_order_before_all_are_read_and_after(
    some: list[Happening], asked: list[type]
) -> None:
    raw = written(Record(happenings=some))
    whole = Record(happenings=[as_at_the_door(one) for one in raw.get("happenings", ())])
    again = kept_record.read(raw)
    for cls in asked:
        assert again.told(cls) == whole.told(cls)
    assert again.told(*CLASSES) == whole.told(*CLASSES)
    assert again.happenings == whole.happenings
    assert again.told(*asked) == whole.told(*asked)


def test_a_happening_whose_body_cannot_be_read_is_told_of_no_class() -> None:
    raw = {"entry": "e", "at": "2031-03-03T08:00:00.000Z", "by": "g", "kind": "planted", "body": {}}
    record = kept_record.read({"happenings": [raw]})
    assert record.told(Planted) == []
    assert isinstance(record.happenings[0].body, Unread)
    assert record.told(Planted) == []


def test_what_is_made_of_a_kept_record_holds_what_it_was_told() -> None:
    book = told_of_everything().book()
    whole = book.batches["t1"].record
    made = replace(kept_record.read(written(whole)), happenings=[])
    assert made == replace(whole, happenings=[])
    assert made.told(Stepped) == []


def test_a_kept_record_is_no_other_and_has_no_other_shelf() -> None:
    whole = told_of_everything().book().batches["t1"].record
    assert kept_record.read(written(whole)) == whole
    assert kept_record.read({}) != whole
    other: object = "a record"
    assert kept_record.read({}) != other
    with pytest.raises(AttributeError, match="leaves"):
        kept_record.read({}).leaves  # type: ignore[attr-defined]  # noqa: B018
