"""What follows from a trace: a hold on all of it in one act, and drills with the time they took."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from nursery.domain import timeline
from nursery.domain.entry import write_instant
from nursery.domain.trace import Traced, to_hold
from nursery.domain.trace_start import Start
from nursery.services import desk, trace
from nursery.services.desk import Said
from nursery.services.errors import NothingToHold
from nursery.store import lines
from nursery.store.scope import scope

# As many subjects as one record may name.
MOST_SUBJECTS = 500


@dataclass(frozen=True, slots=True)
class Call:
    """Who asked for a trace and why; `reference` is what their order to hold is called."""

    reference: str
    asked_by: str
    reason: str


def hold(
    nursery: str, person: str, starts: Sequence[Start], call: Call, now: datetime
) -> tuple[str, ...]:
    """Put a hold on everything traced that lives or was planted; return those batches (N-6).

    Raises:
        NothingToHold: nothing of it is left.
    """
    with scope(nursery) as rows:
        found, book = trace.read(rows, starts)
    held = to_hold(found, book)
    if not held:
        raise NothingToHold
    words = {"reference": call.reference, "asked_by": call.asked_by, "reason": call.reason}
    order = {"act": "hold", "reference": call.reference}
    said = [Said("traced", some, {**_shown(starts, found), **words}) for some in _by_500(held)]
    said += [Said("ordered", some, order) for some in _by_500(held)]
    desk.write_together(nursery, person, said, now)
    return held


def drill(nursery: str, person: str, starts: Sequence[Start], seconds: int, now: datetime) -> str:
    """Keep that a trace was drilled and how long it took, and return the record's id.

    Raises:
        Unknown: nothing that the book knows was traced.
    """
    with scope(nursery) as rows:
        found, _ = trace.read(rows, starts)
    if not found.batches:
        raise NothingToHold
    body = {**_shown(starts, found), "drill": True, "seconds": seconds}
    return desk.write(nursery, person, Said("traced", found.batches[:MOST_SUBJECTS], body), now)


def drills(nursery: str) -> list[dict[str, Any]]:
    """Return every drill that was not taken back, the newest first."""
    with scope(nursery) as rows:
        kept = lines.of_kinds(rows, ("traced", "withdrawn"))
    some = [one for one in timeline.standing(kept).entries if one.kind == "traced"]
    told = sorted(some, key=lambda one: one.occurred_at, reverse=True)
    return [
        {
            "id": one.id,
            "at": write_instant(one.occurred_at),
            "by": one.author,
            "about": list(one.about),
            "seconds": one.body.seconds,
            "positions": one.body.positions,
            "reserve": one.body.reserve,
        }
        for one in told
        if one.body.drill
    ]


def _shown(starts: Sequence[Start], found: Traced) -> dict[str, Any]:
    """Return what somebody was shown, as the record keeps it."""
    sums = found.sums()
    figures = {name: sums[name] for name in ("positions", "alive", "reserve", "sent")}
    return {"of": [str(one) for one in starts], **figures}


def _by_500(names: Sequence[str]) -> list[Sequence[str]]:
    return [names[i : i + MOST_SUBJECTS] for i in range(0, len(names), MOST_SUBJECTS)]
