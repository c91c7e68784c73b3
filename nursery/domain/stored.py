"""Kept states read back: what the rules across subjects take, without folding a book anew.

A state is kept in the JSON of `Batch.as_json` and `Place.as_json`. What is read back decides every
clock, gate, check and exposed set exactly as the fold's own value does; it is no state to fold on
from, since a fold always begins at the first entry.
"""

from collections.abc import Iterable, Mapping
from dataclasses import fields
from datetime import datetime
from typing import Any

from nursery.domain import kept_record
from nursery.domain.batch import Batch, Stay
from nursery.domain.doubts import Doubt
from nursery.domain.ledger import Ledger
from nursery.domain.place import Inside, Place

_PLAIN: tuple[str, ...] = (
    "id",
    "label",
    "old_labels",
    "stage",
    "parents",
    "estimated",
    "estimate",
    "holds",
    "crop",
)
_PLAIN += ("consignment", "permit", "container", "stated", "seeds", "cells", "one_of_parents")
_PLAIN += ("gave_uncounted", "opened_on", "bag", "bag_at", "released", "settled", "facts", "out")
_MOMENTS = ("reentry_until", "cleaned_at", "emptied_at", "readied_at", "dosed_at", "watered_at")
_LEDGER = tuple(f.name for f in fields(Ledger) if f.name != "came_in")


def batch(raw: Mapping[str, Any]) -> Batch:
    """Return the batch that `Batch.as_json` wrote, as far as later rules ask for it."""
    ledger = raw["ledger"]
    return Batch(
        **{name: raw[name] for name in _PLAIN},
        ledger=Ledger(came_in=ledger["in"], **{name: ledger[name] for name in _LEDGER}),
        counted=raw["alive"] is not None,
        open_finds=raw["finds"],
        began_at=_moment(raw["began_at"]),
        # A state that an older version kept lacks it.
        contained_at=_moment(raw.get("contained_at")),
        last_looked_at=_moment(raw["last_looked_at"]),
        last_at=_moment(raw["last_at"]),
        gone_at=_moment(raw["gone_at"]),
        bag_until=_moment(raw["bag_until"]),
        stays=[
            Stay(
                stay["place"],
                datetime.fromisoformat(stay["since"]),
                _moment(stay["until"]),
                stay["plants"],
            )
            for stay in raw["stays"]
        ],
        record=kept_record.read(raw["record"]),
        doubts=_doubts(raw["doubts"]),
    )


def place(raw: Mapping[str, Any]) -> Place:
    """Return the place that `Place.as_json` wrote, as far as later rules ask for it."""
    visits = [
        Inside(v["who"], v["visitor"], datetime.fromisoformat(v["since"]), _moment(v["until"]))
        for v in raw["visits"]
    ]
    plain = {name: raw[name] for name in ("holds", "breaches", "readings", "trap", "facts")}
    moments: dict[str, Any] = {name: _moment(raw[name]) for name in _MOMENTS}
    return Place(
        raw["id"],
        **plain,
        **moments,
        visits=visits,
        here={(visit.who, visit.visitor): visit for visit in visits if visit.until is None},
        settled=raw["settled"],
        record=kept_record.read(raw["record"]),
        doubts=_doubts(raw["doubts"]),
    )


def _moment(text: str | None) -> datetime | None:
    return None if text is None else datetime.fromisoformat(text)


def _doubts(raw: Iterable[Mapping[str, Any]]) -> tuple[Doubt, ...]:
    return tuple(
        Doubt(one["code"], tuple(one["entries"]), one["params"], one["settled_by"]) for one in raw
    )
