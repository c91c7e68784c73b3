"""How a block stands, as the office reads it: counts, gaps, shelter (F-5 to F-12, F-30, F-32)."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import asdict, dataclass
from datetime import date
from itertools import chain
from math import isnan
from typing import Any

from nursery.domain.assembled import of_book
from nursery.domain.book import Book
from nursery.domain.field import counting, due_counts, gaps, plan, survival, trees
from nursery.domain.field.survival import Counted
from nursery.domain.occupants import Field, Occupant
from nursery.domain.reference.layouts import Layout
from nursery.domain.toughening import course
from nursery.science.row_sample import Estimate

NOBODY = Field({})


@dataclass(frozen=True, slots=True)
class Told:
    """One plant of the first planting, with what it may be grouped by."""

    block: str
    row: str
    plant: Occupant


def blocks_of(ident: str, book: Book) -> tuple[Layout, ...]:
    """Return the layouts of a place and of the places in it, in the order of their names."""
    inside = {ident, *book.subtree(ident)}
    return tuple(row for name, row in sorted(book.rows_of("layout")) if name in inside)


def of_place(ident: str, book: Book, today: date) -> dict[str, Any] | None:
    """Return how the plants of a block, or of all blocks in a place, stand; None without layout."""
    layouts = blocks_of(ident, book)
    if not layouts:
        return None
    fields_of = grown(book)
    some = [(layout, fields_of.get(layout.id, NOBODY)) for layout in layouts]
    told = [one for layout, field in some for one in _told(layout, field)]
    standing = [one for _, field in some for one in field.standing.values()]
    return {
        "id": ident,
        "today": today.isoformat(),
        "first": _counted(survival.count(one.plant for one in told)),
        "standing": _counted(survival.count(standing)),
        "filled": sum(not one.first for one in standing),
        "harmed": sum(one.lives and one.cause is not None for one in standing),
        "curve": _curve(one.plant for one in told),
        "groups": {name: _grouped(told, key) for name, key in _keys(book).items()},
        "blocks": [_block(layout, field, book, today) for layout, field in some],
    }


def grown(book: Book) -> Mapping[str, Field]:
    """Return who stands where in each block that was planted, worked out once for a book."""
    return book.once(of_book)


def _told(layout: Layout, field: Field) -> Iterable[Told]:
    rows = {name: str(row.number) for row in layout.rows for name in plan.names(row)}
    for name, some in field.positions.items():
        if some[0].first:
            yield Told(layout.id, rows.get(name, ""), some[0])


def _keys(book: Book) -> dict[str, Callable[[Told], str]]:
    """Return what plants are grouped by, each with how a plant's group is told."""

    def crop(told: Told) -> str:
        return course.crop_of(book.batches[told.plant.batch], book) or ""

    return {
        "block": lambda told: told.block,
        "row": lambda told: f"{told.block}.{told.row}",
        "batch": lambda told: told.plant.batch,
        "crop": crop,
        "day": lambda told: told.plant.on.isoformat(),
    }


def _grouped(told: Iterable[Told], key: Callable[[Told], str]) -> dict[str, Any]:
    groups: dict[str, list[Occupant]] = {}
    for one in told:
        groups.setdefault(key(one), []).append(one.plant)
    found = survival.compare(groups)
    items = [
        {"key": name, **_counted(survival.count(some)), "curve": _curve(some)}
        for name, some in sorted(groups.items())
    ]
    test = None if found is None else {"chi_square": found.chi_square, "p": found.p}
    return {"items": items, "test": test}


def _counted(found: Counted) -> dict[str, Any]:
    return {
        "planted": found.planted,
        "alive": found.alive,
        "dead": found.dead,
        "missing": found.missing,
        "rootstock_only": found.rootstock_only,
        "causes": dict(found.causes),
    }


def _curve(plants: Iterable[Occupant]) -> dict[str, Any]:
    """Return the curve by days since planting, and up to which day plants were looked at."""
    some = [one for one in plants if one.first and one.seen]
    until = max(((one.seen[-1].on - one.on).days for one in some), default=None)
    found = survival.curve(some)
    points = zip(found.times, found.survival, found.low, found.high, strict=True)
    return {
        "looked_at": len(some),
        "until": until,
        "points": [
            [int(day), share, _known(low), _known(high)] for day, share, low, high in points
        ],
    }


def _known(value: float) -> float | None:
    return None if isnan(value) else value


def _block(layout: Layout, field: Field, book: Book, today: date) -> dict[str, Any]:
    rows = counting.row_counts(field, layout)
    days = counting.last_count(field, counting.spell(layout))
    row = book.row("place", layout.id)
    return {
        "id": layout.id,
        "name": layout.id if row is None else row.name,
        "short": None if row is None else row.short,
        "fill": layout.fill.value,
        "count_every": layout.count_every,
        "count": None if days is None else dict(zip(("first", "last"), _days(days), strict=True)),
        "turn": _turn(layout, field, book, today),
        "rows": [asdict(one) for one in rows],
        "estimate": _estimate(counting.estimate(rows)),
        "meant": _meant(layout, field),
        "filling": gaps.of_block(layout, field, book),
        "shelter": {
            "rows": [one.as_json() for one in trees.of_block(layout, book)],
            "crop": trees.crop_harmed(field),
        },
        "doubts": [doubt.as_json() for doubt in field.doubts],
    }


def _days(days: Iterable[date]) -> list[str]:
    return [day.isoformat() for day in days]


def _turn(layout: Layout, field: Field, book: Book, today: date) -> dict[str, Any] | None:
    """Return the count that is due or comes next; one that was skipped is not due (rule F-30)."""
    planted = min((one.on for one in field.first if one.first), default=None)
    if planted is None:
        return None
    within = counting.spell(layout)
    days = counting.last_count(field, within)
    found = counting.turn(planted, layout.count_months, days and days[1], today, within)
    if found is None:
        return None
    skip = due_counts.skipped(layout, found.months, found.on, book) if found.due else None
    return {
        "months": found.months,
        "on": found.on.isoformat(),
        "due": found.due and skip is None,
        "skipped": None if skip is None else skip.reason,
    }


def _estimate(found: Estimate | None) -> dict[str, Any] | None:
    return None if found is None else found._asdict()


def _meant(layout: Layout, field: Field) -> dict[str, Any]:
    """Return what was planted beside what was planned: what stands elsewhere is named (F-12)."""
    meant = plan.meant(layout)
    planted = {name: some[0].batch for name, some in field.positions.items() if some[0].first}
    walk = list(chain(plan.places(layout)))
    return {
        "planned": len(meant),
        "as_planned": sum(planted.get(name) == batch for name, batch in meant.items()),
        "others": [
            {"position": name, "meant": meant[name], "planted": planted[name]}
            for name in walk
            if name in meant and name in planted and planted[name] != meant[name]
        ],
        "empty": [name for name in walk if name in meant and name not in planted],
        "unplanned": [name for name in walk if name not in meant and name in planted],
    }
