"""Marks: lines of the feed by which the server tells phones what became of an entry.

An entry dated more than a day ahead is set aside. When its day has come, or a person says that the
date is right, a mark releases it, and from then on it counts like any other. Another mark says that
an entry's text was erased.
"""

from datetime import datetime

import orjson

from nursery.domain import admission
from nursery.services import effects, feed, refold
from nursery.services.errors import Unknown
from nursery.services.feed import Draft
from nursery.store import lines
from nursery.store.models import FeedRow
from nursery.store.scope import Scope, scope

RELEASE = "release"
# The text of an entry was blanked: whoever has a copy of it drops it.
ERASED = "erased"
ERASABLE = ("noted", "withdrawn")


def release_due(nursery: str, now: datetime) -> int:
    """Release every entry whose day has come; return how many there were."""
    with scope(nursery) as book:
        waiting = lines.set_aside(book)
    due = [ident for ident, _, _, at in waiting if at is None or at <= now + admission.AHEAD]
    for ident in due:
        release(nursery, ident, "day_came", now)
    return len(due)


def release(nursery: str, ident: str, why: str, now: datetime) -> None:
    """Release one entry that was set aside, and fold what it is about.

    Raises:
        Unknown: no such entry waits.
    """
    with scope(nursery, write=True) as book:
        head = book.lock_head()
        if ident not in {name for name, *_ in lines.set_aside(book)}:
            raise Unknown("set_aside", ident)
        text = orjson.dumps({"why": why}).decode()
        seq = feed.add(book, head, Draft(FeedRow.MARK, RELEASE, ident, 0, text), now)
        _fold(book, ident, seq)
        effects.outlook_is_stale(book, seq, now)


def _fold(book: Scope, ident: str, seq: int) -> None:
    subjects = lines.subjects_of(book, ident)
    entries = lines.of_subjects(book, subjects)
    refold.keep(book, entries, refold.places_among(book, subjects), seq)
