"""What is to be kept of the reminders to come: new, changed, and those whose cause is gone.

A reminder is kept once for each person it is for. Its name is rule, key and person, so planning
again writes nothing twice (rule M-1).
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum
from typing import NamedTuple

from nursery.domain.reminders import of_book, of_checks
from nursery.domain.reminders.figures import To
from nursery.domain.reminders.occurrence import Occurrence
from nursery.domain.reminders.told import Told

MAKERS = (
    of_checks.of_checks,
    of_checks.visits,
    of_checks.results,
    of_book.reentries,
    of_book.permits,
    of_book.papers,
    of_book.lapses,
    of_book.weeks,
    of_book.phones,
    of_book.differences,
    of_book.backup,
)


class State(StrEnum):
    """How far a reminder is.

    `unreached`: no channel took it. `seen`: somebody said so. `done`: its cause is gone since it
    was sent; `dropped`: its cause was gone before.
    """

    WAITING = "waiting"
    SENT = "sent"
    UNREACHED = "unreached"
    SEEN = "seen"
    DONE = "done"
    DROPPED = "dropped"


OPEN = (State.WAITING, State.SENT, State.UNREACHED)


class Why(StrEnum):
    """Why nobody needs to hear any more."""

    ANSWERED = "answered"
    OVER = "over"


class Name(NamedTuple):
    """What a kept reminder is known by."""

    rule: str
    key: str
    person: str


class Kept(NamedTuple):
    """A reminder as it is kept; `tried` says whether anybody was written to."""

    state: State
    tried: bool
    escalated: bool


class Recipient(NamedTuple):
    """Somebody of the nursery, by the id of the person or of an account without one."""

    person: str
    role: To


@dataclass(frozen=True, slots=True)
class Changes:
    """What planning asks to be written; `over` names open reminders that nobody needs any more."""

    new: Mapping[Name, Occurrence] = field(default_factory=dict)
    refreshed: Mapping[Name, Occurrence] = field(default_factory=dict)
    over: Mapping[Name, Why] = field(default_factory=dict)


def occurrences(told: Told) -> tuple[Occurrence, ...]:
    """Return every reminder that a nursery has, past ones that are open still included."""
    found = (one for make in MAKERS for one in make(told))
    return tuple(sorted(found, key=lambda one: (one.wall, one.rule, one.key)))


def recipients(people: Iterable[tuple[str, To, date | None]], today: date) -> tuple[Recipient, ...]:
    """Return who is reminded today; `people` are ids with their part and their last day."""
    return tuple(
        Recipient(ident, to) for ident, to, until in people if until is None or until > today
    )


def receivers(to: To, people: Sequence[Recipient]) -> tuple[str, ...]:
    """Return who gets what is for a part: without workers the growers do their work (M-7)."""
    some = tuple(one.person for one in people if one.role is to)
    return some or tuple(one.person for one in people if one.role is To.GROWER)


def changes(
    told: Told,
    coming: Sequence[Occurrence],
    kept: Mapping[Name, Kept],
    people: Sequence[Recipient],
) -> Changes:
    """Return what is to be written so that what is kept agrees with what is to come.

    Nothing begins that is too late to begin with or further ahead than the outlook. What was
    dropped begins again when its cause is back, and what was sent is never sent anew.
    """
    live = {(one.rule, one.key): one for one in coming}
    new: dict[Name, Occurrence] = {}
    refreshed: dict[Name, Occurrence] = {}
    wanted = set()
    for one in coming:
        for person in receivers(one.to, people):
            name = Name(one.rule, one.key, person)
            wanted.add(name)
            before = kept.get(name)
            if one.answered:
                continue
            if before is None:
                if _begins(one, told):
                    new[name] = one
            elif (before.state is State.WAITING and not before.tried) or (
                before.state is State.DROPPED and _begins(one, told)
            ):
                refreshed[name] = one
    return Changes(new, refreshed, _over(live, kept, wanted))


def _over(
    live: Mapping[tuple[str, str], Occurrence], kept: Mapping[Name, Kept], wanted: set[Name]
) -> dict[Name, Why]:
    found = {}
    for name, one in kept.items():
        cause = live.get((name.rule, name.key))
        if one.state not in OPEN:
            continue
        if cause is None or (name not in wanted and not one.escalated):
            found[name] = Why.OVER
        elif cause.answered:
            found[name] = Why.ANSWERED
    return found


def _begins(one: Occurrence, told: Told) -> bool:
    late = one.until is not None and one.until < told.now
    return not late and one.due_at(told.zone) <= told.now + of_book.AHEAD
