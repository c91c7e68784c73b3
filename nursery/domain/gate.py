"""The value of a gate: one of four answers to "may I?", and why."""

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from datetime import datetime
from enum import StrEnum
from typing import Any

from nursery.domain.entry import write_instant
from nursery.domain.reason import Reason


class Answer(StrEnum):
    """From the best to the worst; a block that is known is told before an unknown one."""

    YES = "yes"
    WAIT = "wait"
    CANNOT_TELL = "cannot_tell"
    NO = "no"


WORSE = {answer: rank for rank, answer in enumerate(Answer)}


class Act(StrEnum):
    """What a gate is asked for. `moving` leads out of the room, `moving_inside` does not.

    `taking` is taking scions, buds or cuttings; `releasing` is typing the authority's notice;
    `accepting` is letting new plants into a room, `emptying` is calling it empty.
    """

    MOVING = "moving"
    MOVING_INSIDE = "moving_inside"
    POTTING = "potting"
    PRUNING = "pruning"
    TAKING = "taking"
    SENDING = "sending"
    PLANTING = "planting"
    RELEASING = "releasing"
    TREATING = "treating"
    ENTERING = "entering"
    LEAVING = "leaving"
    ACCEPTING = "accepting"
    EMPTYING = "emptying"


OF_PLACES = frozenset((Act.ENTERING, Act.LEAVING, Act.ACCEPTING, Act.EMPTYING))
OF_BATCHES = tuple(act for act in Act if act not in OF_PLACES)


# Checks of a planting day that the authority decides: nobody here signs them away.
LAW = frozenset({"released", "holds", "reentry"})


@dataclass(frozen=True, slots=True)
class Gate:
    """An answer with its reason, and what would open the gate.

    `opens_at` is when a wait is over by itself. After `valid_until` the answer is worth nothing.
    `parts` are all that speak for or against, the worst first; the answer is the first one's.
    """

    answer: Answer
    code: str
    params: dict[str, Any] = field(default_factory=dict)
    opens: Reason | None = None
    opens_at: datetime | None = None
    valid_until: datetime | None = None
    override_allowed: bool = False
    parts: tuple["Gate", ...] = ()

    def as_json(self) -> dict[str, Any]:
        opens = None if self.opens is None else self.opens.as_json()
        return {
            "answer": self.answer.value,
            "reason": self.code,
            "params": self.params,
            "opens": opens,
            "opens_at": None if self.opens_at is None else write_instant(self.opens_at),
            "valid_until": None if self.valid_until is None else write_instant(self.valid_until),
            "override_allowed": self.override_allowed,
        }


def worst(parts: Iterable[Gate], valid_until: datetime) -> Gate:
    """Return the gate that these parts make: never better than any of them (rule G-1).

    Of several that are as bad the first given is told. A wait is over by itself only if each of its
    waits is, and then with the last of them.
    """
    ranked = sorted(parts, key=lambda part: (-WORSE[part.answer], _late(part)))
    first = ranked[0]
    waits = [part.opens_at for part in ranked if part.answer is Answer.WAIT]
    known = [moment for moment in waits if moment is not None]
    ends = first.answer is Answer.WAIT and len(known) == len(waits)
    return replace(
        first,
        opens_at=max(known) if ends else None,
        valid_until=valid_until,
        override_allowed=all(p.override_allowed for p in ranked if p.answer is not Answer.YES)
        and first.answer is not Answer.YES,
        parts=tuple(ranked),
    )


def _late(part: Gate) -> float:
    """Of several waits the one that ends last, or never by itself, is told first."""
    return float("-inf") if part.opens_at is None else -part.opens_at.timestamp()
