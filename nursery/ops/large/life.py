"""One life: batches that came or were begun together, and the rounds over them.

A life knows how many plants of each batch are alive, so that counts, losses and taps agree as they
do in a book that is kept well; where people count differently, it is by one or two.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from hashlib import sha256
from random import Random  # noqa: TID251  drawn from a seed, outside the core
from typing import Any

from nursery.ops.large import frame
from nursery.ops.large.act import Act, Typed, instant, record_id
from nursery.ops.large.frame import House

MORNING = 7 * 60 + 5.0
# Minutes between two records of one person, at least and at most.
PACE = (0.3, 1.5)
WEEK = timedelta(weeks=1)
CAUSES = ("wilted", "stem_rot", "dried_out", "snail")
WORDS = (
    "two leaves curled at the edge by the drip line", "algae on the bench, to be washed",
    "hoja nueva en casi todas", "etiqueta floja, cambiada por otra igual",
    "the row at the vent stays drier", "new flush on most of them",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Plan:
    """Which life this is: of which seed and nursery, its number from 1, and its first day."""

    seed: int
    house: House
    number: int
    starts: date


class Life:
    """What is done for one life, told day by day; `told` gives it in the order of time."""

    def __init__(self, plan: Plan) -> None:
        self.plan, self.house, self.number = plan, plan.house, plan.number
        self.draw = Random(f"{plan.seed} {plan.house.ident} {plan.number}")  # noqa: S311  invented
        self.acts: list[Act | Typed] = []
        self.alive: dict[str, int] = {}
        self.crop = self.draw.choice(sorted(frame.CROPS))
        room = plan.number % plan.house.rooms + 1
        self.room, self.shade = f"room-{room}", f"house-{room}"
        self.clock = MORNING
        self.day = plan.starts
        self.who = self.worker()

    @property
    def standing(self) -> list[str]:
        """The batches with living plants."""
        return [batch for batch, plants in self.alive.items() if plants > 0]

    def worker(self) -> str:
        return self.draw.choice(self.house.people[1:])

    def begin(self, day: date, minute: float, by: str | None = None) -> None:
        """Go on at another hour, and mostly with other hands."""
        self.day, self.clock, self.who = day, minute, by or self.worker()

    def chance(self, share: float) -> bool:
        return self.draw.random() < share

    def write(
        self, kind: str, about: str | Iterable[str], body: dict[str, Any] | None = None, **more: Any
    ) -> str:
        """Write one record, after some minutes have passed; return its id."""
        self.clock += self.draw.uniform(*more.pop("pace", PACE))
        at = instant(self.day, self.clock)
        ident = record_id(at, self.draw.getrandbits(74))
        names = (about,) if isinstance(about, str) else tuple(about)
        by = more.pop("by", self.who)
        self.acts.append(Act(at, ident, by, kind, names, body or {}, **more))
        return ident

    def type(self, kind: str, ident: str, body: dict[str, Any]) -> None:
        self.clock += 1
        self.acts.append(Typed(instant(self.day, self.clock), ident, kind, body))

    def live(self) -> None:
        """Tell the whole life. What follows is of each kind of life alone."""
        raise NotImplementedError

    def told(self) -> list[Act | Typed]:
        """Return all of it in the order of time."""
        self.live()
        return sorted(self.acts, key=lambda one: (one.at, one.ident))

    def photo(self, about: str | Iterable[str], shows: str) -> str:
        """Write the record of a photo, to which there are no bytes; return the photo's name."""
        name = f"f-{self.number}-{self.draw.getrandbits(32):08x}"
        digest = sha256(f"{self.plan.seed} {self.house.ident} {name}".encode()).hexdigest()
        size = {"width": 1600, "height": 1200, "shows": shows}
        self.write("photographed", about, {"photo": name, "sha256": digest, **size})
        return name

    def count(self, batch: str, cells: int | None = None) -> None:
        """Count a batch; now and then somebody is one off, and puts it right."""
        right = self.alive[batch]
        seen = right - 1 if right > 1 and self.chance(0.02) else right
        ident = self.write("counted", batch, self._counted(seen, cells))
        if seen != right:
            body = self._counted(right, cells) | {"saw": ident}
            self.write("counted", batch, body, corrects=ident)

    def _counted(self, alive: int, cells: int | None) -> dict[str, Any]:
        if cells is None:
            return {"method": "full", "alive": alive, "saw": None}
        how = {"method": "cells_less_gaps", "cells": cells, "gaps": cells - alive}
        return {**how, "alive": alive, "saw": None}

    def lose(self, batch: str, plants: int, fate: str = "died", **more: Any) -> None:
        plants = min(plants, self.alive[batch])
        if plants:
            self.alive[batch] -= plants
            self.write("lost", batch, {"count": plants, "fate": fate, **more})

    def look(self, batch: str, minutes: float, *, items: bool = False) -> None:
        """Look a batch over; by the list of the room, or at a glance."""
        plants = self.alive[batch]
        self.clock += minutes
        body: dict[str, Any] = {"answer": "nothing", "plants": plants, "minutes": round(minutes, 1)}
        found = self.draw.choice(frame.ITEMS) if self.chance(0.015) else None
        if items:
            body |= {"checklist": "weekly", "version": 1}
            body["items"] = [
                {"item": item, "answer": "found" if item == found else "nothing", "plants": plants}
                for item in frame.ITEMS
            ]
        if found:
            body["answer"] = "found"
        self.write("looked", batch, body)
        if found:
            seen = {"suspicion": False, "pest": self.draw.choice(sorted(frame.PESTS)), "plants": 1}
            self.write("found", batch, seen)

    def beside(self, batch: str, week: int) -> None:
        """What comes with a look-over now and then: a count, a loss, a photo, words, a measure."""
        if week % 4 == 3:
            self.count(batch)
        if self.chance(0.09):
            self.lose(batch, self.draw.randint(1, 2), cause=self.draw.choice(CAUSES))
        if self.chance(0.06):
            self.photo(batch, "leaves")
        if self.chance(0.05):
            ident = self.write("noted", batch, {"text": self.draw.choice(WORDS)})
            if self.chance(0.05):
                self.write("withdrawn", batch, corrects=ident)
        if week % 4 == 1 and self.chance(0.5):
            self.measure(batch, week)

    def measure(self, batch: str, week: int) -> None:
        tags = [f"{batch.upper()}-{n}" for n in range(1, 6)]
        trees = [
            {
                "tag": tag,
                "height_cm": round(15 + 0.7 * week + self.draw.gauss(0, 1.5), 1),
                "collar_mm": round(3.5 + 0.1 * week + self.draw.gauss(0, 0.3), 1),
            }
            for tag in tags
        ]
        self.write("measured", batch, {"plants": trees})

    def climate(self, place: str) -> None:
        """Read what hangs on the wall; warmer in the first months of a year, and drier in July."""
        warm = 6 * (1 - abs(self.day.timetuple().tm_yday - 30) / 366)
        readings = [
            {"what": "air_c", "value": round(20 + warm + self.draw.gauss(0, 1.5), 1)},
            {"what": "humidity_percent", "value": round(self.draw.uniform(55, 90))},
        ]
        self.write("read", place, {"readings": readings})
