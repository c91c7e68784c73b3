"""Who stands in the positions of a block, and who stood there before (rules F-1 to F-4)."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime

from nursery.domain.doubts import Doubt
from nursery.domain.entry import Entry
from nursery.domain.kinds.field import Planted, Refilled, Standing, Surveyed

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

    @property
    def standing(self) -> dict[str, Occupant]:
        """The plant that was put into each position last, alive or not."""
        return {name: told[-1] for name, told in sorted(self.positions.items())}

    @property
    def first(self) -> tuple[Occupant, ...]:
        """The plants of the first planting; those that came to fill gaps are none of them."""
        return tuple(told[0] for _, told in sorted(self.positions.items()))


def occupants(block: str, entries: Iterable[Entry], day: Callable[[datetime], date]) -> Field:
    """Return who stands where in a block.

    `entries` are the standing ones of a timeline, of any subjects, oldest first; `day` tells the
    nursery's day of an instant. Never raises: what cannot be is kept and doubted.
    """
    found = _Found(day)
    for entry in entries:
        body = entry.body
        if isinstance(body, Planted | Refilled) and body.block == block:
            batch = next((name for name in entry.about if name != block), "")
            for position in body.positions:
                found.put(position, batch, entry, filling=isinstance(body, Refilled))
        elif isinstance(body, Surveyed) and body.block == block:
            for one in body.seen:
                sight = Sight(day(entry.occurred_at), one.state, one.cause, entry.id)
                found.look(one.position, sight)
    return Field({name: tuple(told) for name, told in found.told.items()}, tuple(found.doubts))


@dataclass(slots=True)
class _Found:
    day: Callable[[datetime], date]
    told: dict[str, list[Occupant]] = field(default_factory=dict)
    doubts: list[Doubt] = field(default_factory=list)

    def put(self, position: str, batch: str, entry: Entry, *, filling: bool) -> None:
        before = self.told.setdefault(position, [])
        last = before[-1] if before else None
        if last is not None and last.lives:
            params = {"position": position, "before": last.batch, "batch": batch}
            code = "filled_living" if filling else "planted_twice"
            self.doubts.append(Doubt(code, (last.entry, entry.id), params))
            if last.batch == batch:
                return  # one plant that two people told of
            if not filling:
                # Two phones told of one hole: what stands there is what was told last.
                before.pop()
        first = not before and not filling
        on = self.day(entry.occurred_at)
        before.append(Occupant(position, batch, on, entry.id, first))

    def look(self, position: str, sight: Sight) -> None:
        told = self.told.get(position)
        if not told:
            params = {"position": position}
            self.doubts.append(Doubt("looked_at_nothing", (sight.entry,), params))
            return
        told[-1] = replace(told[-1], seen=(*told[-1].seen, sight))
