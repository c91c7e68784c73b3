"""Send what is due: each reminder once by each channel, whoever works, whoever dies (rule M-9).

A worker claims the due rows of one person and writes its attempts in one transaction. Outside of it
it hands the messages over, and it writes the answers in another. One that dies in between leaves
attempts without an answer: once its lease is over they are `unknown`, and the next channel is used.
"""

import logging
import secrets
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db import connection
from django.db.models import F, Max, Q, QuerySet

from nursery.domain.reminders import steps
from nursery.domain.reminders.figures import To
from nursery.domain.reminders.plan import OPEN, State
from nursery.domain.reminders.steps import Attempt, Due
from nursery.domain.reminders.wall import FORM, wall_of
from nursery.services import channels, clock, reminder_people, reminder_plan, reminder_words
from nursery.services.channels import Message
from nursery.services.outcome import Outcome
from nursery.services.reminder_people import Somebody
from nursery.services.reminder_words import Said
from nursery.services.word_forms import House
from nursery.store.models import ReminderAttemptRow, ReminderRow
from nursery.store.scope import Scope, scope

log = logging.getLogger("nursery.reminders")

# Longer than any channel waits for an answer.
LEASE = timedelta(minutes=3)
MOST_AT_ONCE = 500
# These attempts rang at nobody.
NOTHING_WENT = (Attempt.FAILED, Attempt.GONE, Attempt.LATER)
INSTEAD_OF, ASKED = "instead_of", "asked"


@dataclass(frozen=True, slots=True)
class Claimed:
    """One message to hand over, and the attempts that stand for it."""

    channel: str
    message: str
    attempts: tuple[int, ...]
    reminders: Mapping[int, int]  # its row -> the claim that it is held by
    what: Message


@dataclass(frozen=True, slots=True)
class Round:
    """What one claim found: the messages to hand over; there may be none, and more to claim."""

    messages: tuple[Claimed, ...]


def run(nursery: str) -> None:
    """Plan anew, so that nothing is told whose cause is gone, then send all that is due."""
    reminder_plan.refresh(nursery, clock.now())
    while found := claim(nursery, clock.now()):
        for one in found.messages:
            if _hold(nursery, one):
                answer(nursery, one, channels.send(one.channel, one.what), clock.now())


def is_waiting(nursery: str, now: datetime) -> bool:
    """Whether something of a nursery is due."""
    with scope(nursery) as book:
        return _free().filter(nursery_id=book.key, next_at__lte=now, state__in=OPEN).exists()


def _free() -> "QuerySet[ReminderRow]":
    over = Q(lease_until=None) | Q(lease_until__lt=clock.unshifted())
    return ReminderRow.objects.filter(over)


def claim(nursery: str, now: datetime) -> Round | None:
    """Take what is due for one person, and write down each attempt; None where nothing is due."""
    with scope(nursery, write=True) as book:
        due = _free().filter(nursery_id=book.key, next_at__lte=now, state__in=OPEN)
        if connection.features.has_select_for_update_skip_locked:
            due = due.select_for_update(skip_locked=True)
        first = due.order_by("next_at", "pk").first()
        if first is None:
            return None
        rows = list(due.filter(person=first.person).order_by("due_at", "pk")[:MOST_AT_ONCE])
        people = {one.person: one for one in reminder_people.every(book)}
        return _begin(book, rows, people, now)


def _begin(
    book: Scope, rows: Sequence[ReminderRow], people: Mapping[str, Somebody], now: datetime
) -> Round:
    _give_up_on_the_dead(book, rows)
    tried = _tried(book, rows)
    who = people.get(rows[0].person)
    live = frozenset() if who is None else channels.live(book.ident, who)
    last = _last_sent(book, rows[0].person)
    due = []
    for row in rows:
        channel = steps.next_channel(live, steps.used(tried[row.pk]))
        if channel is None:
            _rest(book, row, tried[row.pk], people, now)
        elif until := _waits_until(book, last.get(channel), row, who, now):
            row.next_at = until
            row.save(update_fields=["next_at"])
        else:
            due.append(Due(row.pk, row.person, channel, row.urgent))
    if who is None or not due:
        return Round(())
    bundles = steps.bundles(due, {who.person: who.wishes.digest_from})
    known = {row.pk: row for row in rows}
    manner = reminder_words.house(book, now)
    return Round(tuple(_attempt(book, who, one, known, (manner, now)) for one in bundles))


def _last_sent(book: Scope, person: str) -> Mapping[str, datetime]:
    """Return when something went out to somebody last, by channel."""
    went = book.reminder_attempts.filter(reminder__person=person).exclude(state__in=NOTHING_WENT)
    return dict(went.values_list("channel").annotate(last=Max("at")).order_by("channel"))


def _waits_until(
    book: Scope, last: datetime | None, row: ReminderRow, who: Somebody | None, now: datetime
) -> datetime | None:
    """Return until when a message waits for others; an urgent one waits for none (rule M-11)."""
    if who is None or row.urgent:
        return None
    until = steps.not_before(last, who.wishes.gap_minutes, now)
    return None if until is None else who.wishes.quiet.moved(until, book.zone)


def _give_up_on_the_dead(book: Scope, rows: Iterable[ReminderRow]) -> None:
    """Nobody knows whether an attempt went out whose worker died: its channel is not used again."""
    dead = book.reminder_attempts.filter(reminder__in=[row.pk for row in rows])
    dead.filter(state=Attempt.TRYING).update(state=Attempt.UNKNOWN, answered_at=clock.now())


def _tried(book: Scope, rows: Iterable[ReminderRow]) -> dict[int, dict[str, Attempt]]:
    found: dict[int, dict[str, Attempt]] = {row.pk: {} for row in rows}
    for key, channel, state in book.reminder_attempts.filter(reminder__in=found).values_list(
        "reminder", "channel", "state"
    ):
        found[key][channel] = Attempt(state)
    return found


def _attempt(
    book: Scope,
    who: Somebody,
    some: Sequence[Due],
    known: Mapping[int, ReminderRow],
    at: tuple[House, datetime],
) -> Claimed:
    """Write the attempts of one message and hold its reminders. A second attempt cannot be kept."""
    manner, now = at
    name = f"m-{secrets.token_hex(12)}"
    rows = [known[one.id] for one in some]
    again = _tried_again(book, rows, some[0].channel, name, now)
    made = ReminderAttemptRow.objects.bulk_create(
        ReminderAttemptRow(
            nursery_id=book.key, reminder=row, channel=some[0].channel, state=Attempt.TRYING,
            message=name, at=now,
        )
        for row in rows
        if row.pk not in again
    )  # fmt: skip
    until = clock.unshifted() + LEASE
    for row in rows:
        row.claim, row.lease_until = row.claim + 1, until
        row.save(update_fields=["claim", "lease_until"])
    said = [
        Said(row.code, row.params, str(row.params.get(INSTEAD_OF, "")), row.params.get(ASKED, True))
        for row in rows
    ]
    url = f"/#/reminders/{rows[0].ident}" if len(rows) == 1 else "/#/reminders"
    what = Message(book.ident, book.nursery.name, who, said, manner, url, name[2:], some[0].urgent)
    held = {row.pk: row.claim for row in rows}
    return Claimed(some[0].channel, name, (*again.values(), *(one.pk for one in made)), held, what)


def _tried_again(
    book: Scope, rows: Iterable[ReminderRow], channel: str, name: str, now: datetime
) -> dict[int, int]:
    """Begin once more what was not taken then; return the attempts by their reminders (M-12)."""
    waiting = book.reminder_attempts.filter(
        reminder__in=[row.pk for row in rows], channel=channel, state=Attempt.LATER
    )
    again = dict(waiting.values_list("reminder", "pk"))
    book.reminder_attempts.filter(pk__in=again.values()).update(
        state=Attempt.TRYING, message=name, at=now, answered_at=None, tries=F("tries") + 1
    )
    return again


def _rest(
    book: Scope,
    row: ReminderRow,
    tried: Mapping[str, Attempt],
    people: Mapping[str, Somebody],
    now: datetime,
) -> None:
    """No channel is left: the grower hears of it, and nothing more follows for this person."""
    asked = Attempt.SENT in tried.values()
    if not asked:
        row.state = State.UNREACHED
    for grower in _untold_growers(book, row, people):
        _escalate(book, row, people.get(row.person), grower, (asked, now))
    row.next_at, row.lease_until = None, None
    row.save(update_fields=["state", "next_at", "lease_until"])


def _untold_growers(
    book: Scope, row: ReminderRow, people: Mapping[str, Somebody]
) -> list[Somebody]:
    if row.role == To.GROWER or row.escalated:
        return []
    same = book.reminders.filter(rule=row.rule, occurrence=row.occurrence)
    told = set(same.values_list("person", flat=True))
    return [one for one in people.values() if one.role is To.GROWER and one.person not in told]


def _escalate(
    book: Scope,
    row: ReminderRow,
    instead_of: Somebody | None,
    to: Somebody,
    before: tuple[bool, datetime],
) -> None:
    """Tell a grower instead; `before` says whether anything went out to the worker, and now."""
    asked, now = before
    wall = wall_of(now, book.zone).strftime(FORM)
    name = "" if instead_of is None else instead_of.name
    told = {**row.params, INSTEAD_OF: name, ASKED: asked}
    more = ReminderRow(
        nursery_id=book.key, ident=f"r-{secrets.token_hex(12)}", rule=row.rule,
        occurrence=row.occurrence, cause=row.cause, person=to.person, role=To.GROWER,
        escalated=True, urgent=row.urgent, code=row.code, params=told,
        subject_type=row.subject_type, subject=row.subject, wall=wall, zone=row.zone, due_at=now,
        on=row.on, ends_at=row.ends_at, state=State.WAITING,
        next_at=to.wishes.quiet.moved(now, book.zone), made_at=now, changed_at=now,
    )  # fmt: skip
    ReminderRow.objects.bulk_create([more], ignore_conflicts=True)


def _hold(nursery: str, one: Claimed) -> bool:
    """Hold on for as long as one message takes; False where the lease was lost meanwhile."""
    with scope(nursery, write=True) as book:
        until = clock.unshifted() + LEASE
        held = [
            book.reminders.filter(pk=pk, claim=number).update(lease_until=until)
            for pk, number in one.reminders.items()
        ]
    return all(held)


def answer(nursery: str, one: Claimed, outcome: Outcome, now: datetime) -> None:
    """Write down how a message ended, and when its reminders are looked at again."""
    with scope(nursery, write=True) as book:
        trying = book.reminder_attempts.filter(pk__in=one.attempts, state=Attempt.TRYING)
        if outcome is Outcome.LATER:
            tired = trying.filter(tries__gte=steps.MOST_TRIES)
            tired.update(state=Attempt.FAILED, answered_at=now)
        trying.update(state=Attempt(outcome.value), answered_at=now)
        people = {who.person: who for who in reminder_people.every(book)}
        live = channels.live(nursery, one.what.to)
        rows = book.reminders.filter(pk__in=one.reminders)
        if connection.features.has_select_for_update:
            rows = rows.select_for_update()
        for row in rows.order_by("pk"):
            if row.claim == one.reminders[row.pk]:
                _follow(book, row, live, people, now)


def _follow(
    book: Scope,
    row: ReminderRow,
    live: frozenset[str],
    people: Mapping[str, Somebody],
    now: datetime,
) -> None:
    tried = _tried(book, [row])[row.pk]
    row.lease_until = None
    if row.state in OPEN:
        if Attempt.SENT in tried.values():
            row.state = State.SENT
        waits = reminder_people.timing(book).waits
        to_grower = bool(_untold_growers(book, row, people))
        row.next_at = steps.after(now, tried, live, to_grower=to_grower, waits=waits)
        who = people.get(row.person)
        if row.next_at is not None and row.next_at > now and who is not None:
            row.next_at = who.wishes.quiet.moved(row.next_at, book.zone)
        if row.next_at is None and row.state != State.SENT:
            row.state = State.UNREACHED
    row.save(update_fields=["state", "next_at", "lease_until"])
