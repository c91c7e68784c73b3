"""What a place is now: the value that the fold over its entries gives (`fold.place`)."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from nursery.domain.doubts import Doubt
from nursery.domain.entry import write_instant
from nursery.domain.occupants import Seats
from nursery.domain.record import Record


@dataclass(slots=True)
class Inside:
    """Somebody went in; `until` is None as long as they have not left."""

    who: str
    visitor: bool
    since: datetime
    until: datetime | None = None

    def as_json(self) -> dict[str, Any]:
        return {
            "who": self.who,
            "visitor": self.visitor,
            "since": write_instant(self.since),
            "until": None if self.until is None else write_instant(self.until),
        }


@dataclass(slots=True)
class Place:
    """The state of one place. Built up by the fold, read-only for everybody else."""

    id: str
    visits: list[Inside] = field(default_factory=list)
    here: dict[tuple[str, bool], Inside] = field(default_factory=dict)
    reentry_until: datetime | None = None
    holds: dict[str, str] = field(default_factory=dict)
    breaches: dict[str, str] = field(default_factory=dict)
    readings: dict[str, dict[str, Any]] = field(default_factory=dict)
    trap: dict[str, Any] | None = None
    cleaned_at: datetime | None = None
    emptied_at: datetime | None = None
    readied_at: datetime | None = None
    dosed_at: datetime | None = None
    watered_at: datetime | None = None
    seats: Seats = field(default_factory=Seats)
    record: Record = field(default_factory=Record)
    facts: int = 0
    doubts: tuple[Doubt, ...] = ()
    odd: list[Doubt] = field(default_factory=list)
    settled: dict[str, str] = field(default_factory=dict)
    lines: Mapping[str, str] = field(default_factory=dict)

    @property
    def inside(self) -> list[Inside]:
        return list(self.here.values())

    def line(self, name: str | None) -> str | None:
        """The fact that an entry names, by whichever id of its line it names it."""
        return None if name is None else self.lines.get(name, name)

    def doubt(self, code: str, *entries: str, **params: Any) -> None:
        self.odd.append(Doubt(code, entries, params))

    def phone(self) -> dict[str, Any]:
        """The part that a phone folds by itself; its twin gives the same."""
        until = self.reentry_until
        return {
            "id": self.id,
            "inside": [visit.as_json() for visit in self.inside],
            "reentry_until": None if until is None else write_instant(until),
            "holds": self.holds,
            **self.seats.as_json(),
        }

    def as_json(self) -> dict[str, Any]:
        """The whole state, as it is kept beside the book and shown by the API."""
        moments = ("cleaned_at", "emptied_at", "readied_at", "dosed_at", "watered_at")
        told = {name: getattr(self, name) for name in moments}
        return {
            **self.phone(),
            "visits": [visit.as_json() for visit in self.visits],
            "breaches": self.breaches,
            "readings": self.readings,
            "trap": self.trap,
            **{name: None if at is None else write_instant(at) for name, at in told.items()},
            "settled": self.settled,
            "record": self.record.as_json(),
            "facts": self.facts,
            "doubts": [doubt.as_json() for doubt in self.doubts],
        }
