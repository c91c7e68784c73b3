"""The clocks of a consignment: batches of which the same is told share one."""

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from nursery.domain import quarantine
from nursery.domain.batch import Batch
from nursery.domain.book import Book, gone

# Of a notice each batch has its own part; together they have the sum.
PARTS = ("said", "alive", "out")
# What is told of inspections and tests; each batch may have a record of its own of the same visit.
VISITS = ("met", "unmet", "lapses")


def clocks(batches: Sequence[Batch], book: Book, on: date) -> list[dict[str, Any]]:
    """Return the clocks of the plants that are here, each with the batches that share it."""
    living = [one for one in batches if not gone(one)] or list(batches)
    found: dict[str, dict[str, Any]] = {}
    for batch in living:
        clock = quarantine.clock(batch, book, on)
        if clock is None:
            continue
        told = {**clock.as_json(), "batches": [batch.id]}
        same = found.setdefault(_heard(told), told)
        if same is not told:
            same["batches"].append(batch.id)
            same["released"] = _together(same["released"], told["released"])
    return list(found.values())


def _heard(clock: Mapping[str, Any]) -> str:
    """Return what a reader is told of a clock: in which record an inspection stands is not."""
    visits = {
        part: [(one["code"], _without_entry(one["params"])) for one in clock[part]]
        for part in VISITS
    }
    released = clock["released"] and (clock["released"]["notice"], clock["released"]["at"])
    return repr({**clock, "batches": None, **visits, "released": released})


def _without_entry(params: Mapping[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in params.items() if name != "entry"}


def _together(
    one: Mapping[str, Any] | None, other: Mapping[str, Any] | None
) -> Mapping[str, Any] | None:
    if one is None or other is None:
        return one
    return {**one, **{part: _sum(one[part], other[part]) for part in PARTS}}


def _sum(one: int | None, other: int | None) -> int | None:
    return None if one is None or other is None else one + other
