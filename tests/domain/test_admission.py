"""What becomes of a text that a phone sends: it is stored, set aside or kept raw, never refused."""

import json
from datetime import UTC, datetime
from typing import Any

import pytest

from nursery.domain import admission, chain, numbers
from nursery.domain.admission import Admitted, Kept
from tests.domain.pen import Pen

NOW = datetime(2031, 3, 3, 9, tzinfo=UTC)


def admit(text: str, raw: object) -> Admitted | Kept:
    return admission.admit(text, raw, "n-1", NOW)


def sound(**other: Any) -> dict[str, Any]:
    return Pen().raw("lost", {"count": 3, "fate": "died"}) | other


AHEAD = {
    "yesterday": ("2031-03-02T09:00:00.000Z", False),
    "a day ahead to the millisecond": ("2031-03-04T09:00:00.000Z", False),
    "more than a day ahead": ("2031-03-04T09:00:00.001Z", True),
    "ten years ahead": ("2041-03-03T09:00:00.000Z", True),
}


@pytest.mark.parametrize(("moment", "aside"), AHEAD.values(), ids=AHEAD.keys())
def test_only_what_lies_more_than_a_day_ahead_is_set_aside(moment: str, aside: bool) -> None:
    raw = sound(occurred_at=moment)
    text = json.dumps(raw)
    told = admit(text, raw)
    assert isinstance(told, Admitted)
    assert (told.text, told.hash, told.set_aside) == (text, chain.text_hash(text), aside)


def test_an_entry_may_name_the_nursery_that_it_is_for() -> None:
    raw = sound(nursery="n-1")
    assert isinstance(admit(json.dumps(raw), raw), Admitted)


IDENT = str(sound()["id"])
KEPT: dict[str, tuple[Any, str | None, str, str, str, int | None]] = {
    "no JSON": (None, "{", "unreadable", "entry", "", None),
    "no envelope": ({"id": "x", "n": 3}, None, "unreadable", "body", "x", 3),
    "an id that is no text": ({"id": 5, "n": True}, None, "unreadable", "body", "", None),
    "an id with a bell": ({"id": "a\x07"}, None, "unreadable", "body", "", None),
    "another nursery's": (sound(nursery="n-2"), None, "wrong_nursery", "nursery", IDENT, 1),
    "more than 64 KB": (sound(salt="é" * 40_000), None, "too_long", "entry", IDENT, 1),
    "several lines": (sound(), "{\n}", "unreadable", "line_break", IDENT, 1),
    "a carriage return": (sound(), "{\r}", "unreadable", "line_break", IDENT, 1),
}


@pytest.mark.parametrize(("raw", "text", "code", "field", "ident", "n"), KEPT.values(), ids=KEPT)
def test_what_is_no_entry_is_kept_with_its_reason(
    raw: Any, text: str | None, code: str, field: str, ident: str, n: int | None
) -> None:
    text = json.dumps(raw, ensure_ascii=False) if text is None else text
    assert admit(text, raw) == Kept(text, chain.text_hash(text), code, field, ident, n)


def test_an_entry_that_cannot_be_taken_in_is_kept_whole() -> None:
    raw = sound()
    item = admit("{}", raw)
    assert isinstance(item, Admitted)
    for kept, code in (
        (admission.reused(item), "id_reused"),
        (admission.crashed(item), "not_taken_in"),
    ):
        assert (kept.text, kept.hash, kept.code) == (item.text, item.hash, code)
        assert (kept.ident, kept.n) == (IDENT, 1)


def test_a_link_rests_on_everything_before_it() -> None:
    first = chain.link(chain.START, 1, "a", chain.text_hash("one"))
    assert len(first) == 64
    others = {
        chain.link(first, 1, "a", chain.text_hash("one")),
        chain.link(chain.START, 2, "a", chain.text_hash("one")),
        chain.link(chain.START, 1, "b", chain.text_hash("one")),
        chain.link(chain.START, 1, "a", chain.text_hash("two")),
    }
    assert len(others | {first}) == 5


NUMBERS: dict[str, tuple[int, list[list[int]], list[int], tuple[int, list[list[int]]]]] = {
    "nothing": (0, [], [], (0, [])),
    "in order": (0, [], [1, 2, 3], (3, [])),
    "a hole": (3, [], [6], (6, [[4, 5]])),
    "a hole filled at its start": (6, [[4, 5]], [4], (6, [[5, 5]])),
    "a hole filled at its end": (6, [[4, 5]], [5], (6, [[4, 4]])),
    "a hole split": (9, [[2, 8]], [5], (9, [[2, 4], [6, 8]])),
    "a hole closed": (6, [[4, 4]], [4], (6, [])),
    "what came before comes again": (6, [[4, 5]], [1, 6], (6, [[4, 5]])),
    "two holes at once, in any order": (0, [], [9, 3, 3, 5], (9, [[1, 2], [4, 4], [6, 8]])),
}


@pytest.mark.parametrize(("highest", "holes", "came", "then"), NUMBERS.values(), ids=NUMBERS.keys())
def test_a_hole_in_the_numbers_of_an_install_is_named(
    highest: int, holes: list[list[int]], came: list[int], then: tuple[int, list[list[int]]]
) -> None:
    """Sync requirement 9."""
    assert numbers.take(highest, holes, came) == then
