"""Which holes of a block get a new plant (rules F-7, F-8).

Twin: `frontend/src/log/filling.ts`; `tests/vectors/filling.json` keeps the two alike.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from nursery.domain.occupants import Field
from nursery.domain.reference.layouts import Rule

# From so many losses on a forest is filled at all. (ILO/UNDP 1993, Planting Trees, 1.6.)
FOREST_SHARE = 0.2
# A plant with two neighbours that died stands in a group of three. (The same.)
CLUSTER = 3


@dataclass(frozen=True, slots=True)
class Place:
    """Where a position lies: the row counted across the block, and its number along the row."""

    row: int
    number: int


@dataclass(frozen=True, slots=True)
class Filling:
    """`holes` are to be filled, `left` are not; `short` plants are missing for it."""

    holes: tuple[str, ...]
    left: tuple[str, ...]
    reserve: int

    @property
    def short(self) -> int:
        return max(0, len(self.holes) - self.reserve)


def filling(field: Field, places: Mapping[str, Place], rule: Rule, reserve: int) -> Filling:
    """Return which holes a rule fills, in walking order.

    `reserve` are the plants that may be planted: those that a hold touches are not among them.
    A position that `places` does not know has no neighbours.
    """
    standing = field.standing
    gone = {name for name, one in standing.items() if not one.lives}
    # A hole that was filled since was lost all the same: half of a group that is filled leaves
    # the other half in its group.
    lost = gone | {name for name, one in standing.items() if not one.first}
    chosen = _chosen(lost, len(field.positions), places, rule)
    walk = sorted(gone, key=lambda name: _turn(name, places))
    return Filling(
        tuple(name for name in walk if name in chosen),
        tuple(name for name in walk if name not in chosen),
        reserve,
    )


def _chosen(lost: set[str], all_of: int, places: Mapping[str, Place], rule: Rule) -> set[str]:
    if rule is Rule.ALL:
        return lost
    if rule is Rule.FOREST and len(lost) <= FOREST_SHARE * all_of:
        return set()
    return {name for group in clusters(lost, places) if len(group) >= CLUSTER for name in group}


def clusters(gone: set[str], places: Mapping[str, Place]) -> list[set[str]]:
    """Return holes in groups of neighbours: the next in the row, and those beside it across."""
    at = {places[name]: name for name in gone if name in places}
    rest, found = set(gone), []
    while rest:
        group, ahead = set(), [rest.pop()]
        while ahead:
            name = ahead.pop()
            group.add(name)
            beside = [at[place] for place in _around(places.get(name)) if place in at]
            ahead += [one for one in beside if one in rest]
            rest.difference_update(beside)
        found.append(group)
    return sorted(found, key=min)


def _around(place: Place | None) -> Iterator[Place]:
    if place is None:
        return
    for across in (-1, 0, 1):
        for along in (-1, 0, 1):
            if (across, along) != (0, 0):
                yield Place(place.row + across, place.number + along)


def _turn(name: str, places: Mapping[str, Place]) -> tuple[int, int, str]:
    place = places.get(name)
    return (0, 0, name) if place is None else (place.row, place.number, name)
