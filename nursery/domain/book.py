"""Everything about one nursery at one moment, laid out so that rules across subjects are quick.

The folds look at one subject each. Clocks of children, exposed sets, checks and gates look across
subjects: they take a `Book`. Each index of it is made once, when it is first asked for.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from functools import cached_property
from typing import Any, TypeVar, cast
from zoneinfo import ZoneInfo

from nursery.domain.batch import Batch, Stay
from nursery.domain.entry import Entry
from nursery.domain.kinds.field import block_of
from nursery.domain.place import Place
from nursery.domain.reference import PlaceKind, Role
from nursery.domain.terms import Term

T = TypeVar("T")

NO_ROWS: Mapping[str, Any] = {}

# Places whose plants share air, water and hands; the nearest around a bench or a trap is its room.
ROOMS = frozenset(
    (
        PlaceKind.ROOM,
        PlaceKind.ANTEROOM,
        PlaceKind.HOUSE,
        PlaceKind.BLOCK,
        PlaceKind.STORE,
        PlaceKind.OFFICE,
    )
)


@dataclass(frozen=True, slots=True)
class Standing:
    """A batch stood in a place. `until` is None while plants of it are still there."""

    batch: str
    place: str
    since: datetime
    until: datetime | None

    def overlaps(self, since: datetime, until: datetime | None) -> bool:
        ended_before = self.until is not None and self.until <= since
        began_after = until is not None and self.since >= until
        return not (ended_before or began_after)


@dataclass(frozen=True)
class Book:
    """A nursery's zone, folded batches and places, rows of reference data, and finds.

    `rows` maps the type of a row and its id to the row. `finds` are all entries of the kinds in
    `exposure.KINDS`, corrections and withdrawals included.
    """

    zone: ZoneInfo
    batches: Mapping[str, Batch]
    places: Mapping[str, Place]
    rows: Mapping[str, Mapping[str, Any]]
    finds: Sequence[Entry]
    _kept: dict[Callable[..., Any], Any] = field(default_factory=dict, repr=False, compare=False)

    def once(self, make: Callable[["Book"], T]) -> T:
        """Return what `make` gives for this book, worked out once."""
        if make not in self._kept:
            self._kept[make] = make(self)
        return cast("T", self._kept[make])

    def given(self, make: Callable[["Book"], T], made: T) -> None:
        """Let what was read otherwise stand for what `make` would give for the whole book."""
        self._kept[make] = made

    def day(self, moment: datetime) -> date:
        """Return the day of an instant; days are days of the nursery's zone (rule Q-1)."""
        return moment.astimezone(self.zone).date()

    def start_of(self, day: date) -> datetime:
        """Return the instant at which a day begins in the nursery's zone, in UTC."""
        return datetime.combine(day, time(), self.zone).astimezone(UTC)

    def end_of(self, day: date) -> datetime:
        return self.start_of(day + timedelta(days=1))

    # Reference rows

    def row(self, kind: str, ident: str | None) -> Any:
        """Return a row, or None where nobody has typed it."""
        return None if ident is None else self.rows.get(kind, NO_ROWS).get(ident)

    def rows_of(self, kind: str) -> Iterator[tuple[str, Any]]:
        """Return the rows of a type by id, in order of id."""
        yield from sorted(self.rows.get(kind, NO_ROWS).items())

    @cached_property
    def growers(self) -> frozenset[str]:
        people = self.rows_of("person")
        return frozenset(ident for ident, row in people if row.role is Role.GROWER)

    @cached_property
    def conditions(self) -> bool:
        """Whether plants are held under conditions here, as they are where no row denies it."""
        return all(row.conditions for _, row in self.rows_of("nursery"))

    # Places

    @cached_property
    def inner(self) -> Mapping[str, tuple[str, ...]]:
        """The places right inside each place."""
        inside: dict[str, list[str]] = {}
        for ident, row in self.rows_of("place"):
            if row.parent is not None:
                inside.setdefault(row.parent, []).append(ident)
        return {ident: tuple(names) for ident, names in inside.items()}

    def outward(self, place: str) -> tuple[str, ...]:
        """Return a place and those around it, from the inside out. A ring of parents ends.

        A row of a block lies in its block, though nobody has typed it as a place (rule F-29).
        """
        around = [place]
        while True:
            parent = self._around(around[-1])
            if parent is None or parent in around:
                return tuple(around)
            around.append(parent)

    def _around(self, place: str) -> str | None:
        row = self.row("place", place)
        if row is not None:
            parent: str | None = row.parent
            return parent
        block = block_of(place)
        return block if self.row("place", block) is not None else None

    def subtree(self, place: str) -> tuple[str, ...]:
        """Return a place and everything inside it."""
        return (place, *_reached(place, lambda name: self.inner.get(name, ())))

    @cached_property
    def rooms(self) -> Mapping[str, str]:
        """The room of each place: the nearest around it that shares its air (rule E-2).

        Of a place in no room, such as a row of a terrace, it is the outermost that is not the
        whole nursery.
        """
        known = {ident for ident, _ in self.rows_of("place")} | set(self.places)
        return {ident: self._room(ident) for ident in known}

    def _room(self, place: str) -> str:
        outermost = place
        for ident in self.outward(place):
            row = self.row("place", ident)
            if row is None and ident == place:
                continue
            if row is None or row.kind is PlaceKind.NURSERY:
                break
            if row.kind in ROOMS:
                return ident
            outermost = ident
        return outermost

    def room(self, place: str | None) -> str | None:
        return None if place is None else self.rooms.get(place, place)

    # Plants in places

    @cached_property
    def standings(self) -> Mapping[str, tuple[Standing, ...]]:
        """Where each batch stood, by batch; what holds no plant any more has gone."""
        return {
            ident: tuple(_standing(batch, stay) for stay in batch.stays)
            for ident, batch in self.batches.items()
        }

    @cached_property
    def in_room(self) -> Mapping[str, tuple[Standing, ...]]:
        """Which batches stood in each room, by room."""
        rooms: dict[str, list[Standing]] = {}
        for ident in sorted(self.standings):
            for standing in self.standings[ident]:
                rooms.setdefault(self.rooms.get(standing.place, standing.place), []).append(
                    standing
                )
        return {room: tuple(found) for room, found in rooms.items()}

    # Kin

    @cached_property
    def children(self) -> Mapping[str, tuple[str, ...]]:
        """The batches that came from each batch."""
        found: dict[str, list[str]] = {}
        for ident in sorted(self.batches):
            for parent in self.batches[ident].parents:
                found.setdefault(parent, []).append(ident)
        return {parent: tuple(names) for parent, names in found.items()}

    def ancestors(self, batch: str) -> tuple[str, ...]:
        """Return every batch that this one came from, or may have come from."""
        return _reached(
            batch, lambda name: self.batches[name].parents if name in self.batches else ()
        )

    def descendants(self, batch: str) -> tuple[str, ...]:
        return _reached(batch, lambda name: self.children.get(name, ()))

    def joined_at(self, child: str, parent: str) -> datetime | None:
        """Return when plants of a parent became plants of a child: at its birth, or by grafting."""
        state = self.batches[child]
        scions = [one.at for one in state.record.scions if one.scion == parent]
        return max(scions, default=state.began_at)

    @cached_property
    def parents_first(self) -> tuple[str, ...]:
        """The batches, each after its parents; those of a ring of parents come last."""
        waiting = {
            ident: {name for name in batch.parents if name in self.batches and name != ident}
            for ident, batch in self.batches.items()
        }
        ready = sorted((ident for ident, parents in waiting.items() if not parents), reverse=True)
        done: dict[str, None] = {}
        while ready:
            ident = ready.pop()
            done[ident] = None
            for child in self.children.get(ident, ()):
                waiting[child].discard(ident)
                if not waiting[child] and child not in done and child != ident:
                    ready.append(child)
        return (*done, *sorted(set(self.batches) - set(done)))

    @cached_property
    def of_rings(self) -> tuple[str, ...]:
        """The batches that come of a ring of parents: none of them is after all of its parents."""
        seen: set[str] = set()
        ringed: list[str] = []
        for ident in self.parents_first:
            parents = {one for one in self.batches[ident].parents if one in self.batches}
            if not parents - {ident} <= seen or not parents.isdisjoint(ringed):
                ringed.append(ident)
            seen.add(ident)
        return tuple(ringed)

    # Terms

    def permit_of(self, batch: Batch) -> str | None:
        """Return the id of the permit that a batch came in under, by itself."""
        if batch.permit is not None:
            return batch.permit
        consignment = self.row("consignment", batch.consignment)
        permit: str | None = None if consignment is None else consignment.permit
        return permit

    def terms_of(self, permit: str | None) -> tuple[Term, ...]:
        row = self.row("permit", permit)
        return () if row is None else row.terms

    @cached_property
    def every_term(self) -> tuple[Term, ...]:
        """The terms of all permits and of the nursery's own rules."""
        permits = [term for _, row in self.rows_of("permit") for term in row.terms]
        return (*permits, *(row.term for _, row in self.rows_of("due_rule")))


def _standing(batch: Batch, stay: Stay) -> Standing:
    until = stay.until
    if until is None and gone(batch):
        until = batch.gone_at
    return Standing(batch.id, stay.place, stay.since, until)


def gone(batch: Batch) -> bool:
    """Return whether nothing of a batch stands here any more; seed may still come up."""
    return batch.counted and batch.stage != "seed" and batch.ledger.alive <= 0


def _reached(start: str, following: Callable[[str], Iterable[str]]) -> tuple[str, ...]:
    found: dict[str, None] = {}
    waiting = [start]
    while waiting:
        for name in following(waiting.pop()):
            if name not in found and name != start:
                found[name] = None
                waiting.append(name)
    return tuple(sorted(found))
