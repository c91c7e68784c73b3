"""Histories for generated tests: plausible entries, odd ones, and any JSON at all."""

from dataclasses import MISSING, fields, is_dataclass
from datetime import UTC, date, datetime
from enum import StrEnum
from types import UnionType
from typing import Any, Union, get_args, get_origin, get_type_hints

from hypothesis import strategies as st

from nursery.domain import kinds
from nursery.domain.entry import write_instant
from nursery.domain.kinds.shape import Count, Name

SUBJECTS = ("b1", "b2", "b3", "room")
# Few ids, moments and names, so that corrections, ties and references meet.
IDS = tuple(f"01c16e89-2e80-7{k:03x}-8001-{k:012x}" for k in range(24))
MOMENTS = tuple(
    write_instant(datetime(2031, 3, 3, hour, minute, second, tzinfo=UTC))
    for hour in (7, 20)
    for minute in (0, 45)
    for second in (0, 9)
)

json_values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8),
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner, max_size=3)
    ),
    max_leaves=12,
)

names = st.sampled_from((*SUBJECTS, *IDS[:6], "Q-1", "Q-2", "S-1"))
PLAIN: dict[Any, st.SearchStrategy[Any]] = {
    Count: st.integers(0, 60),
    Name: names,
    int: st.integers(-5, 60),
    float: st.floats(0, 100, allow_nan=False),
    bool: st.booleans(),
    str: st.sampled_from(("", "said so", *(f"suspicion:{name}" for name in IDS[:6])))
    | st.builds("{}:{}".format, st.sampled_from(("difference", "disagreement")), names)
    | st.builds("unconfirmed:{}".format, st.sampled_from(IDS)),
    date: st.sampled_from(("2031-03-03", "2031-08-30")),
    datetime: st.sampled_from(MOMENTS),
}


def of_type(kind: Any) -> st.SearchStrategy[Any]:
    """Return JSON that fits a field's type, as the reader of bodies takes it."""
    origin = get_origin(kind)
    if origin in (Union, UnionType):
        return st.none() | of_type(next(arm for arm in get_args(kind) if arm is not type(None)))
    if origin is tuple:
        return st.lists(of_type(get_args(kind)[0]), max_size=3)
    if is_dataclass(kind):
        return body_of(kind)
    if isinstance(kind, type) and issubclass(kind, StrEnum):
        return st.sampled_from([member.value for member in kind])
    return PLAIN[kind]


def body_of(cls: Any) -> st.SearchStrategy[dict[str, Any]]:
    hints = get_type_hints(cls)
    must = {f.name: of_type(hints[f.name]) for f in fields(cls) if f.default is MISSING}
    may = {f.name: of_type(hints[f.name]) for f in fields(cls) if f.default is not MISSING}
    return st.fixed_dictionaries(must, optional=may)


BODIES = {kind: body_of(cls) for kind, cls in kinds.KINDS.items()}


@st.composite
def raw_entries(draw: st.DrawFn) -> dict[str, Any]:
    """A sound envelope; its body fits its kind, or is anything."""
    kind = draw(
        st.sampled_from((*BODIES, *("counted", "lost", "withdrawn", "split") * 6, "hummed"))
    )
    fits = draw(st.integers(0, 9)) > 0 and kind in BODIES
    body = draw(
        BODIES[kind] if fits else st.dictionaries(st.text(max_size=5), json_values, max_size=3)
    )
    saw = draw(st.none() | st.sampled_from(IDS))
    return {
        "id": draw(st.sampled_from(IDS)),
        "v": draw(st.sampled_from((1, 1, 1, 1, 2))),
        "kind": kind,
        "about": draw(st.lists(st.sampled_from(SUBJECTS), min_size=1, max_size=3)),
        "occurred_at": draw(st.sampled_from(MOMENTS)),
        "author": draw(st.sampled_from(("w1", "w2"))),
        "confirmed": draw(st.booleans()),
        "device": draw(st.sampled_from(("d-1", "d-2"))),
        "install": "i-1",
        "n": draw(st.integers(1, 99)),
        "skew_ms": draw(st.none() | st.integers(-400_000, 400_000)),
        "corrects": draw(st.none() | st.none() | st.sampled_from(IDS)),
        "body": {**body, "saw": saw},
    }


histories = st.lists(raw_entries(), max_size=18)
# One content for each id: what the store hands to a fold.
admitted = st.lists(raw_entries(), max_size=18, unique_by=lambda raw: raw["id"])
