"""What falls due: checks that dated terms, orders and finds ask for, with what answered them.

A check is worked out again whenever it is asked for and keeps its id: term, subject and period. Its
answer is whatever was done in its period, so a late entry answers the week it was made in. A check
that nobody answered stays unanswered; nothing here turns a blank into a nil (rules C-1 to C-8).
"""

from collections.abc import Iterable
from datetime import date
from fractions import Fraction
from math import ceil, floor
from typing import Any, NamedTuple

from nursery.domain import conditions, demands, ordered_acts, rounds, samples, telling
from nursery.domain.book import Book
from nursery.domain.due_check import Check
from nursery.domain.field import due_counts
from nursery.domain.reference import Place
from nursery.domain.terms import Area, Rounding, Traps
from nursery.domain.toughening import due as toughening


def due(book: Book, first: date, last: date) -> tuple[Check, ...]:
    """Return the checks whose time lies, at least in part, within these days, both included.

    What an order, an unreadable trap or a find asks for stays until it is answered. In order of
    `due_by`.
    """
    found = [
        check
        for family in (rounds, demands, ordered_acts, samples, telling, toughening, due_counts)
        for make in family.MAKERS
        for check in make(book, first, last)
    ]
    return tuple(sorted(found, key=lambda check: (check.due_by, check.id)))


def traps_of(book: Book, today: date) -> Iterable[tuple[str, "TrapsWanted", int]]:
    """Yield how many traps each room needs by each of its terms today, and how many it has."""
    traps = book.once(rounds.traps)
    for room in sorted(set(book.rooms.values())):
        row = book.row("place", room)
        for _, rule in conditions.of_room(room, Traps, today, today, book):
            wanted = None if row is None else traps_wanted(row, rule)
            if wanted is not None:
                yield room, wanted, len(traps.get(room, ()))


class TrapsWanted(NamedTuple):
    """How many traps a room needs by a rule, and by which area.

    `by_other_area` is what the other area would give, or None where nobody measured it.
    """

    number: int
    over_plants: int
    at_doors: int
    at_vents: int
    area: Area
    m2: float
    by_other_area: int | None

    def as_json(self) -> dict[str, Any]:
        return {**self._asdict(), "area": self.area.value}


def traps_wanted(place: Place, rule: Traps) -> TrapsWanted | None:
    """Return how many traps a room needs, or None where the area that the rule counts is not known.

    One for each `m2_per_trap`, a share that is not whole rounded as the text says, and more for
    each door and vent (rule C-6).

    >>> from nursery.domain.reference import PlaceKind
    >>> room = Place("r", "Room", PlaceKind.ROOM, floor_m2=24, bench_m2=15, doors=1, vents=2)
    >>> wanted = traps_wanted(room, Traps(15.0, Area.FLOOR, per_door=1, per_vent=1))
    >>> wanted.number, wanted.over_plants, wanted.by_other_area
    (5, 2, 4)
    """
    sizes = {Area.FLOOR: place.floor_m2, Area.BENCH: place.bench_m2}
    m2 = sizes.pop(rule.area)
    if m2 is None:
        return None
    at_doors, at_vents = place.doors * rule.per_door, place.vents * rule.per_vent
    (other,) = sizes.values()
    over_plants = _over(m2, rule)
    by_other = None if other is None else _over(other, rule) + at_doors + at_vents
    number = over_plants + at_doors + at_vents
    return TrapsWanted(number, over_plants, at_doors, at_vents, rule.area, m2, by_other)


def _over(m2: float, rule: Traps) -> int:
    """Return how many traps hang over an area, exactly as the figures are written."""
    shares = Fraction(str(m2)) / Fraction(str(rule.m2_per_trap))
    ways = {
        Rounding.UP: ceil(shares),
        Rounding.NEAREST: floor(shares + Fraction(1, 2)),
        Rounding.DOWN: floor(shares),
    }
    return max(ways[rule.rounding], 1)
