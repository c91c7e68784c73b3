"""How the plants of a batch were graded: A to plant, B to wait, C culled (rules L-14, V-7)."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from nursery.domain.batch import Batch
from nursery.domain.entry import Entry, write_instant
from nursery.domain.kinds.life import Graded


@dataclass(frozen=True, slots=True)
class Grades:
    """The last grading, as many of each grade as still live."""

    a: int
    b: int
    c: int
    at: datetime
    by: str
    entry: str

    def as_json(self) -> dict[str, Any]:
        counts = {"a": self.a, "b": self.b, "c": self.c}
        return {**counts, "at": write_instant(self.at), "by": self.by, "entry": self.entry}


def of_batch(batch: Batch) -> Grades | None:
    """Return the last grading of a batch.

    Nobody says of what grade a plant was that died since: C is the first to be fewer, then B.
    """
    told = batch.record.told(Graded)
    if not told:
        return None
    last, left = told[-1], batch.alive or 0
    a = min(last.body.a, left)
    b = min(last.body.b, left - a)
    return Grades(a, b, min(last.body.c, left - a - b), last.at, last.by, last.entry)


def graded(batch: Batch, entry: Entry) -> None:
    """Doubt a grading whose grades are not all living plants and no more (rule L-14)."""
    body: Graded = entry.body
    total = body.a + body.b + body.c
    if batch.alive is not None and not batch.estimated and total != batch.alive:
        batch.doubt("grades_differ", entry.id, graded=total, alive=batch.alive)
