"""What new lines of the feed put in motion, in the same transaction: stale marks and their job."""

import secrets
from collections.abc import Sequence
from datetime import datetime

from nursery.domain import due_check
from nursery.domain.entry import Entry
from nursery.domain.season_sheet import growth
from nursery.services import jobs, pauses
from nursery.store import each_push, many
from nursery.store.scope import Scope

SEASON = "season"
OUTLOOK = "outlook"


def after_entries(book: Scope, entries: Sequence[Entry], seq: int, now: datetime) -> None:
    """Mark what rests on these entries, and close the checks that they answer or skip."""
    answers: dict[str, str] = {}
    for entry in entries:
        check = due_check.closed_by(entry)
        if check is not None:
            answers.setdefault(check, entry.id)
    asked = book.checks.filter(many.among("ident", answers), answered_by="") if answers else ()
    for row in asked:
        book.checks.filter(pk=row.pk).update(answered_by=answers[row.ident])
    outlook_is_stale(book, seq, now)
    if any(entry.kind in growth.RECORDS for entry in entries):
        season_is_stale_by_line(book, seq, now)


def season_is_stale_by_line(book: Scope, seq: int, now: datetime) -> None:
    """Ask for odds and forecasts anew, since line `seq` changed what they rest on.

    Where a job waits already, no other is written: a morning of many phones would fill the queue
    with hundreds, behind which reminders wait. That job works out this line as well, or began
    before it: then it finds the mark at its end, and asks by this function again. Called under
    the head's lock, as it does. A job that has just been done rests first.
    """
    if jobs.is_waiting(SEASON, book.key, now + pauses.MOST):
        book.forecasts.update(stale_from=seq)
    else:
        season_is_stale(book, seq, str(seq), pauses.over(SEASON, book.key, now))


def season_is_stale(book: Scope, seq: int, key: str, due_at: datetime) -> None:
    """Ask for odds and forecasts anew, since what they rest on has changed with line `seq`.

    The last change is marked, so that a job that began before it leaves the mark. `key` makes the
    asking one and the same: the line of the feed, or the file that was taken.
    """
    book.forecasts.update(stale_from=seq)
    jobs.write(SEASON, key, due_at, nursery=book.key)


def outlook_is_stale(book: Scope, seq: int, now: datetime) -> None:
    """Mark the outlook stale from `seq` on; the first mark since it was made asks for a job.

    That job rests where one has just been done, and no later mark moves it: while pushes come
    without end, the outlook is made anew from time to time, and once more after the last. Called
    under the head's lock.
    """
    if each_push.outlook_mark(book.key) is not None:
        return
    each_push.mark_outlook(book.key, seq)
    # A reader may have made it anew meanwhile, while the job for an earlier mark still rests.
    if not jobs.is_waiting(OUTLOOK, book.key, now + pauses.MOST):
        # A forecast marks it without a line of its own, so the line alone would not be a new key.
        key = f"{seq}:{secrets.token_hex(4)}"
        jobs.write(OUTLOOK, key, pauses.over(OUTLOOK, book.key, now), nursery=book.key)
