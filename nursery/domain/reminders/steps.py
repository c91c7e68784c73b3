"""What happens to a reminder next: which channel, when, and when the grower hears of it (M-7)."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from datetime import datetime, timedelta
from enum import StrEnum
from typing import NamedTuple

from nursery.domain.reminders.figures import Waits

CHANNELS = ("push", "mail")
USUAL_WAITS = Waits()


class Attempt(StrEnum):
    """How far one attempt by one channel is.

    `unknown`: its worker died before it had an answer, so nobody can say whether it went out, and
    that channel is never tried again. `later`: it was not taken for sure, and may be in a while.
    """

    TRYING = "trying"
    SENT = "sent"
    GONE = "gone"
    LATER = "later"
    FAILED = "failed"
    UNKNOWN = "unknown"


def next_channel(live: Collection[str], tried: Collection[str]) -> str | None:
    """Return the first channel that reaches somebody and was not tried, or None.

    >>> next_channel({"push", "mail"}, {"push"}), next_channel({"push"}, {"push"})
    ('mail', None)
    """
    return next((one for one in CHANNELS if one in live and one not in tried), None)


def after(
    at: datetime,
    tried: Mapping[str, Attempt],
    live: Collection[str],
    *,
    to_grower: bool,
    waits: Waits = USUAL_WAITS,
) -> datetime | None:
    """Return when a reminder is looked at again, or None where nothing more follows.

    Args:
        at: the instant of the last answer.
        tried: how each attempt ended.
        live: the channels that reach the person.
        to_grower: whether there is a grower who has not been told yet.
        waits: the nursery's own hours.
    """
    if Attempt.LATER in tried.values():
        return at + AGAIN_AFTER
    another = next_channel(live, tried) is not None
    if Attempt.SENT not in tried.values():
        return at if another or to_grower else None
    if another:
        return at + timedelta(hours=waits.mail_after_hours)
    return at + timedelta(hours=waits.grower_after_hours) if to_grower else None


def not_before(last: datetime | None, gap_min: int, now: datetime) -> datetime | None:
    """Return until when somebody is left alone by a channel, or None where they may be told now.

    Nothing is lost by it: what gathers meanwhile goes out together (rule M-11).

    Args:
        last: when something went out to them by this channel last.
        gap_min: minutes between two messages; 0 for none.
        now: an instant. One before `last`, by a clock that was set back, waits for nothing.
    """
    until = None if last is None else last + timedelta(minutes=gap_min)
    return until if last is not None and until is not None and last <= now < until else None


# How long a letter waits that a server did not take now (RFC 5321, 4.5.4.1: at least 30 minutes),
# and how often it is tried in all (own choice).
AGAIN_AFTER = timedelta(minutes=30)
MOST_TRIES = 3


def used(tried: Mapping[str, Attempt]) -> set[str]:
    """Return the channels that are used up: all that were tried, but for what waits (rule M-12)."""
    return {channel for channel, state in tried.items() if state is not Attempt.LATER}


class Due(NamedTuple):
    """A reminder that goes out now, by a channel, to somebody."""

    id: int
    person: str
    channel: str
    urgent: bool


def bundles(due: Iterable[Due], digest_from: Mapping[str, int]) -> list[Sequence[Due]]:
    """Return what goes out together: so many or more for one person become one message (M-8).

    Urgent ones are never hidden among others. Every reminder is in one bundle and in one only.
    """
    groups: dict[tuple[str, str, bool], list[Due]] = {}
    for one in due:
        groups.setdefault((one.person, one.channel, one.urgent), []).append(one)
    found: list[Sequence[Due]] = []
    for (person, _, _), some in groups.items():
        if len(some) >= digest_from[person]:
            found.append(some)
        else:
            found += [[one] for one in some]
    return found
