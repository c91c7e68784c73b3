"""What happens to a reminder next: which channel, when, and when the grower hears of it (M-7)."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from datetime import datetime
from enum import StrEnum
from typing import NamedTuple

from nursery.domain.reminders.figures import NEXT_CHANNEL_AFTER, TO_THE_GROWER_AFTER

CHANNELS = ("push", "mail")


class Attempt(StrEnum):
    """How far one attempt by one channel is.

    `unknown`: its worker died before it had an answer, so nobody can say whether it went out, and
    that channel is never tried again.
    """

    TRYING = "trying"
    SENT = "sent"
    GONE = "gone"
    FAILED = "failed"
    UNKNOWN = "unknown"


def next_channel(live: Collection[str], tried: Collection[str]) -> str | None:
    """Return the first channel that reaches somebody and was not tried, or None.

    >>> next_channel({"push", "mail"}, {"push"}), next_channel({"push"}, {"push"})
    ('mail', None)
    """
    return next((one for one in CHANNELS if one in live and one not in tried), None)


def after(
    at: datetime, tried: Mapping[str, Attempt], live: Collection[str], *, to_grower: bool
) -> datetime | None:
    """Return when a reminder is looked at again, or None where nothing more follows.

    Args:
        at: the instant of the last answer.
        tried: how each attempt ended.
        live: the channels that reach the person.
        to_grower: whether there is a grower who has not been told yet.
    """
    another = next_channel(live, tried) is not None
    if Attempt.SENT not in tried.values():
        return at if another or to_grower else None
    if another:
        return at + NEXT_CHANNEL_AFTER
    return at + TO_THE_GROWER_AFTER if to_grower else None


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
