"""The tables of what was recorded: a row for each record, also for those that were corrected.

A column is a field of the record's body; its unit stands in its header. Of a body with a list
(readings, catches, positions) each item is a row of its own.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import orjson

from nursery.paper.export_cells import Cell
from nursery.services import verify
from nursery.store.scope import Scope

COMMON = ("number", "record", "kind", "happened", "written by", "phone", "about", "stands")


@dataclass(frozen=True, slots=True)
class Sheet:
    """One table: the kinds of record in it, the columns by field, the list told item by item."""

    kinds: tuple[str, ...]
    columns: Mapping[str, str]
    items: str | None = None

    @property
    def header(self) -> list[str]:
        return [*COMMON, *self.columns]


SHEETS: Mapping[str, Sheet] = {
    "counts": Sheet(
        ("counted",),
        {
            "method": "method",
            "alive (plants)": "alive",
            "cells": "cells",
            "gaps": "gaps",
            "corrects": "corrects",
        },
    ),
    "losses": Sheet(
        ("lost",),
        {
            "lost (plants)": "count",
            "fate": "fate",
            "cause": "cause",
            "kept for the officer": "kept",
            "by the auditor": "by_auditor",
            "order": "order",
        },
    ),
    "looks": Sheet(
        ("looked", "inspected"),
        {
            "answer": "answer",
            "looked at (plants)": "plants",
            "took (min)": "minutes",
            "due check": "check",
            "why not": "why",
            "inspector": "inspector",
        },
    ),
    "traps": Sheet(
        ("trapped",),
        {
            "answer": "answer",
            "pest": "item.pest",
            "caught (insects)": "item.count",
            "replaced": "replaced",
            "why not": "why",
        },
        "catches",
    ),
    "treatments": Sheet(
        ("treated",),
        {
            "product": "product",
            "active ingredient": "active",
            "registration": "registration",
            "rate": "rate",
            "mix (L)": "litres",
            "area (m2)": "area_m2",
            "began": "started_at",
            "ended": "ended_at",
            "nobody in until": "reentry_until",
            "operator": "operator",
            "licence": "licence",
            "sign posted": "sign_posted_at",
            "order": "order",
        },
    ),
    "readings": Sheet(
        ("read",),
        {
            "figure and unit": "item.what",
            "value": "item.value",
            "instrument": "instrument",
            "pots": "pots",
        },
        "readings",
    ),
    "measurements": Sheet(
        ("measured",),
        {
            "tag": "item.tag",
            "height (cm)": "item.height_cm",
            "collar (mm)": "item.collar_mm",
            "flushes": "item.flushes",
            "leaves": "item.leaves",
            "leaf pairs": "item.leaf_pairs",
            "nodes": "item.nodes",
        },
        "plants",
    ),
    "survivals": Sheet(
        ("surveyed",),
        {
            "block": "block",
            "row": "row",
            "position": "item.position",
            "state": "item.state",
            "cause": "item.cause",
        },
        "seen",
    ),
    "incidents": Sheet(
        ("found", "breached", "repaired", "resulted", "ordered", "accepted", "released"),
        {
            "suspicion": "suspicion",
            "pest": "pest",
            "symptom": "symptom",
            "what": "what",
            "size (cm)": "size_cm",
            "sample": "sample",
            "verdict": "verdict",
            "act": "act",
            "reference": "reference",
            "notice": "notice",
            "plants": "plants",
            "count (plants)": "count",
        },
    ),
}


def standing(book: Scope, until: int) -> Mapping[str, str]:
    """Return for each line of records that has a correction the id that stands (rule B-2)."""
    heads: dict[str, str] = {}
    for _, entry in _entries(book, until):
        original = entry.get("corrects")
        if original is not None:
            heads[original] = max(heads.get(original, original), entry["id"])
    return heads


def rows(
    book: Scope, until: int, sheet: Sheet, heads: Mapping[str, str], names: Mapping[str, str]
) -> Iterator[list[Cell]]:
    """Yield the rows of one table in the order of the feed."""
    for number, entry in _entries(book, until, sheet.kinds):
        body = entry["body"]
        line = entry.get("corrects") or entry["id"]
        common: list[Cell] = [
            number,
            entry["id"],
            entry["kind"],
            entry["occurred_at"],
            names.get(entry["author"], entry["author"]),
            entry["device"],
            " ".join(entry["about"]),
            heads.get(line, line) == entry["id"],
        ]
        for item in _items(body, sheet.items):
            told = {**entry, **body}
            cells = (_field(told, item, path) for path in sheet.columns.values())
            yield [*common, *cells]


def _items(body: Mapping[str, Any], name: str | None) -> Iterable[Mapping[str, Any]]:
    """Return the items of a list; an empty one is told by a row without any."""
    found = body.get(name) if name else None
    some = [one for one in found if isinstance(one, dict)] if isinstance(found, list) else []
    return some or [{}]


def _field(told: Mapping[str, Any], item: Mapping[str, Any], path: str) -> Cell:
    first, _, rest = path.partition(".")
    value = item.get(rest) if rest else told.get(first)
    if value is None or isinstance(value, str | int | float):
        return value
    return orjson.dumps(value).decode()


def _entries(
    book: Scope, until: int, kinds: tuple[str, ...] = ()
) -> Iterator[tuple[int, dict[str, Any]]]:
    """Yield number and content of the entries whose text is there, some at a time."""
    seq, size = 0, verify.PAGE
    found = book.entries.exclude(text="")
    if kinds:
        found = found.filter(what__in=kinds)
    while True:
        some = found.filter(seq__gt=seq, seq__lte=until).order_by("seq")
        page = [*some.values_list("seq", "text")[:size]]
        if not page:
            return
        for seq, text in page:
            yield seq, orjson.loads(text)
