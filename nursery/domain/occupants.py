"""Who stands in the positions of a block, and who stood there before (rules F-1 to F-4)."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any, NamedTuple

from nursery.domain.doubts import Doubt
from nursery.domain.entry import Entry, write_instant
from nursery.domain.kinds.field import (
    SHELTER,
    LeftEmpty,
    Placing,
    Planted,
    Refilled,
    Standing,
    Surveyed,
    seat,
)

GONE = frozenset((Standing.DEAD, Standing.MISSING, Standing.ROOTSTOCK_ONLY))


@dataclass(frozen=True, slots=True)
class Sight:
    """How one plant was seen to stand on a day."""

    on: date
    state: Standing
    cause: str | None
    entry: str


@dataclass(frozen=True, slots=True)
class Occupant:
    """One plant in a position; `first` where nobody stood there before it."""

    position: str
    batch: str
    on: date
    entry: str
    first: bool
    at: datetime
    seen: tuple[Sight, ...] = ()

    @property
    def state(self) -> Standing:
        """How it stands by the last look; a plant that nobody looked at since lives."""
        return self.seen[-1].state if self.seen else Standing.ALIVE

    @property
    def cause(self) -> str | None:
        return self.seen[-1].cause if self.seen else None

    @property
    def lives(self) -> bool:
        """A graft whose scion died is not alive, though its rootstock is."""
        return self.state not in GONE

    @property
    def gone_on(self) -> date | None:
        """The day on which it was first seen to be gone, and was never seen alive again."""
        found: date | None = None
        for sight in self.seen:
            found = (found or sight.on) if sight.state in GONE else None
        return found


@dataclass(frozen=True, slots=True)
class Field:
    """The occupants of each position, the first one first, and what is odd about them."""

    positions: Mapping[str, tuple[Occupant, ...]]
    doubts: tuple[Doubt, ...] = ()
    left_empty: frozenset[str] = frozenset()

    @property
    def standing(self) -> dict[str, Occupant]:
        """The plant that was put into each position last, alive or not."""
        return {name: told[-1] for name, told in sorted(self.positions.items())}

    @property
    def first(self) -> tuple[Occupant, ...]:
        """The plants of the first planting; those that came to fill gaps are none of them."""
        return tuple(told[0] for _, told in sorted(self.positions.items()))


class Told(NamedTuple):
    """What one entry tells of positions; `batch` is whose plants they are, where it plants."""

    entry: str
    at: datetime
    batch: str
    body: Placing


def told_by(entry: Entry) -> Told:
    """Return what an entry tells of positions, and whose plants it puts there."""
    body: Placing = entry.body
    subject = seat(body.block, body.row)
    batch = next((name for name in entry.about if name not in (subject, body.block)), "")
    return Told(entry.id, entry.occurred_at, batch, body)


def occupants(block: str, some: Iterable[Told], day: Callable[[datetime], date]) -> Field:
    """Return who stands where in a block.

    `some` is what the standing entries tell, oldest first; `day` tells the nursery's day of an
    instant. Never raises: what cannot be is kept and doubted.
    """
    found = Seats(day)
    for told in some:
        if told.body.block == block:
            found.take(told)
    return found.field


@dataclass(slots=True)
class _Seated:
    """One plant while its looks still come in: a block has thousands of them."""

    batch: str
    on: date
    entry: str
    first: bool
    at: datetime
    seen: list[Sight] = field(default_factory=list)

    @property
    def lives(self) -> bool:
        return not self.seen or self.seen[-1].state not in GONE

    def in_position(self, position: str) -> Occupant:
        seen = tuple(self.seen)
        return Occupant(position, self.batch, self.on, self.entry, self.first, self.at, seen)


@dataclass(slots=True)
class Seats:
    """Positions as they fill, entry by entry, oldest first."""

    day: Callable[[datetime], date] = datetime.date
    told: dict[str, list[_Seated]] = field(default_factory=dict)
    empty: set[str] = field(default_factory=set)
    doubts: list[Doubt] = field(default_factory=list)

    def take(self, told: Told) -> None:
        """Let one more entry have happened."""
        body = told.body
        if isinstance(body, Planted | Refilled):
            on = self.day(told.at)
            for position in body.positions:
                self._put(position, told, on, filling=isinstance(body, Refilled))
        elif isinstance(body, LeftEmpty):
            self.empty.update(name for name in body.positions if name not in self.told)
        else:
            self._seen(body, told)

    @property
    def field(self) -> Field:
        positions = {
            name: tuple(one.in_position(name) for one in some) for name, some in self.told.items()
        }
        return Field(positions, tuple(self.doubts), frozenset(self.empty))

    def as_json(self) -> dict[str, Any]:
        """Return the plant that each position took last, and what was left empty."""
        return {
            "positions": {name: _written(some) for name, some in self.told.items()},
            "left_empty": sorted(self.empty),
        }

    def _put(self, position: str, told: Told, on: date, *, filling: bool) -> None:
        self.empty.discard(position)
        before = self.told.setdefault(position, [])
        last = before[-1] if before else None
        first = not filling and last is None
        if last is not None and last.lives:
            params = {"position": position, "before": last.batch, "batch": told.batch}
            code = "filled_living" if filling else "planted_twice"
            self.doubts.append(Doubt(code, (last.entry, told.entry), params))
            if last.batch == told.batch:
                return  # one plant that two people told of
            if not filling:
                # Two phones told of one hole: what stands there is what was told last.
                first = before.pop().first
        before.append(_Seated(told.batch, on, told.entry, first, told.at))

    def _seen(self, body: Surveyed, told: Told) -> None:
        """Let each plant of a count be seen; those that stand alike share what was seen."""
        on = self.day(told.at)
        sights: dict[tuple[Standing, str | None], Sight] = {}
        for one in body.seen:
            sight = sights.get((one.state, one.cause))
            if sight is None:
                sight = Sight(on, one.state, one.cause, told.entry)
                sights[one.state, one.cause] = sight
            self._look(one.position, sight)

    def _look(self, position: str, sight: Sight) -> None:
        told = self.told.get(position)
        if not told and position.startswith(SHELTER):
            return  # of no batch (rule F-15)
        if not told:
            params = {"position": position}
            self.doubts.append(Doubt("looked_at_nothing", (sight.entry,), params))
            return
        told[-1].seen.append(sight)


def _written(some: list[_Seated]) -> dict[str, Any]:
    last = some[-1]
    look = last.seen[-1] if last.seen else None
    return {
        "batch": last.batch,
        "at": write_instant(last.at),
        "entry": last.entry,
        "state": Standing.ALIVE.value if look is None else look.state.value,
        "cause": None if look is None else look.cause,
        "first": last.first,
        "look": None if look is None else look.entry,
    }
