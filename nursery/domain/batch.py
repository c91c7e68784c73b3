"""What a batch is now: the value that the fold over its entries gives (`fold.batch`)."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from nursery.domain.doubts import Doubt
from nursery.domain.entry import Entry, write_instant
from nursery.domain.ledger import Ledger
from nursery.domain.record import Record


@dataclass(slots=True)
class Stay:
    """A batch stood in a place from `since` until `until` (None: it still does).

    `plants` are those that lived when it came there; None where nobody had counted.
    """

    place: str
    since: datetime
    until: datetime | None = None
    plants: int | None = None

    def as_json(self) -> dict[str, Any]:
        until = None if self.until is None else write_instant(self.until)
        since = write_instant(self.since)
        return {"place": self.place, "since": since, "until": until, "plants": self.plants}


@dataclass(slots=True)
class Batch:
    """The state of one batch. Built up by the fold, read-only for everybody else."""

    id: str
    label: str | None = None
    old_labels: list[str] = field(default_factory=list)
    crop: str | None = None
    consignment: str | None = None
    permit: str | None = None
    stage: str | None = None
    container: str | None = None
    contained_at: datetime | None = None
    stated: int | None = None
    seeds: int | None = None
    emerged: int = 0
    parents: list[str] = field(default_factory=list)
    one_of_parents: bool = False
    gave_uncounted: bool = False
    began_at: datetime | None = None
    opened_on: str | None = None
    counted: bool = False
    estimated: bool = False
    estimate: int | None = None
    cells: int | None = None
    ledger: Ledger = field(default_factory=Ledger)
    out: int = 0
    placed: set[str] = field(default_factory=set)
    bag: dict[str, int] = field(default_factory=dict)
    bag_at: str | None = None
    bag_until: datetime | None = None
    stays: list[Stay] = field(default_factory=list)
    last_count: Entry | None = None
    last_of: dict[str, Entry] = field(default_factory=dict)
    differs_by: str | None = None
    disputes: dict[str, list[str]] = field(default_factory=dict)
    open_finds: list[str] = field(default_factory=list)
    unreleased_finds: list[str] = field(default_factory=list)
    ruled: dict[str, list[str]] = field(default_factory=dict)
    samples: dict[str, str] = field(default_factory=dict)
    last_looked_at: datetime | None = None
    released: dict[str, Any] | None = None
    holds: dict[str, str] = field(default_factory=dict)
    record: Record = field(default_factory=Record)
    facts: int = 0
    last_at: datetime | None = None
    gone_at: datetime | None = None
    doubts: tuple[Doubt, ...] = ()
    odd: list[Doubt] = field(default_factory=list)
    settled: dict[str, str] = field(default_factory=dict)
    lines: Mapping[str, str] = field(default_factory=dict)

    @property
    def alive(self) -> int | None:
        """Living plants, or None as long as nobody counted."""
        return self.ledger.alive if self.counted else None

    @property
    def place(self) -> str | None:
        return self.stays[-1].place if self.stays else None

    @property
    def closed(self) -> bool:
        """Nothing of it lives, here or in the field, nor is kept for the officer (rule L-10).

        Seed that has not come up may still do so, until it is thrown away.
        """
        ledger = self.ledger
        gone = self.counted and self.stage != "seed" and ledger.alive == 0 and ledger.planted <= 0
        return (gone or self.stage == "closed") and not any(self.bag.values())

    @property
    def blocking(self) -> bool:
        return any(doubt.blocks for doubt in self.doubts)

    def line(self, name: str | None) -> str | None:
        """The fact that an entry names, by whichever id of its line it names it."""
        return None if name is None else self.lines.get(name, name)

    def doubt(self, code: str, *entries: str, **params: Any) -> None:
        self.odd.append(Doubt(code, entries, params))

    def phone(self) -> dict[str, Any]:
        """The part that a phone folds by itself; its twin gives the same."""
        stay = self.stays[-1] if self.stays else None
        return {
            "id": self.id,
            "label": self.label,
            "old_labels": self.old_labels,
            "stage": self.stage,
            "place": self.place,
            "since": None if stay is None else write_instant(stay.since),
            "parents": self.parents,
            "alive": self.alive,
            "estimated": self.estimated,
            "estimate": self.estimate,
            "ledger": self.ledger.as_json(),
            "out": self.out,
            "holds": self.holds,
            "finds": self.open_finds,
            "closed": self.closed,
        }

    def as_json(self) -> dict[str, Any]:
        """The whole state, as it is kept beside the book and shown by the API."""
        return {
            **self.phone(),
            "crop": self.crop,
            "consignment": self.consignment,
            "permit": self.permit,
            "container": self.container,
            "contained_at": (
                None if self.contained_at is None else write_instant(self.contained_at)
            ),
            "stated": self.stated,
            "seeds": self.seeds,
            "cells": self.cells,
            "one_of_parents": self.one_of_parents,
            "gave_uncounted": self.gave_uncounted,
            "began_at": None if self.began_at is None else write_instant(self.began_at),
            "opened_on": self.opened_on,
            "bag": self.bag,
            "bag_at": self.bag_at,
            "bag_until": None if self.bag_until is None else write_instant(self.bag_until),
            "stays": [stay.as_json() for stay in self.stays],
            "last_count": None if self.last_count is None else self.last_count.id,
            "last_looked_at": (
                None if self.last_looked_at is None else write_instant(self.last_looked_at)
            ),
            "released": self.released,
            "settled": self.settled,
            "record": self.record.as_json(),
            "facts": self.facts,
            "last_at": None if self.last_at is None else write_instant(self.last_at),
            "gone_at": None if self.gone_at is None else write_instant(self.gone_at),
            "doubts": [doubt.as_json() for doubt in self.doubts],
        }
