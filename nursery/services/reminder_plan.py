"""Keep the reminders to come in step with the book. Planning twice, or twice at once, is once."""

import secrets
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db.models import Exists, OuterRef, Q, QuerySet

from nursery.domain import reference
from nursery.domain.reminders import plan
from nursery.domain.reminders.occurrence import Occurrence
from nursery.domain.reminders.plan import OPEN, Changes, Kept, Name, State
from nursery.domain.reminders.told import Backup, Phone, Told
from nursery.domain.reminders.wall import FORM
from nursery.services import channels, clock, outlook, reminder_people, rows
from nursery.services.outlook import Outlook
from nursery.services.reminder_people import Somebody
from nursery.store.models import BackupRow, ReminderAttemptRow, ReminderRow
from nursery.store.scope import Scope, scope

AT_ONCE = 200


@dataclass(frozen=True)
class Planning:
    """One planning of one nursery."""

    told: Told
    people: Mapping[str, Somebody]
    kept: Mapping[Name, ReminderRow]

    def next_at(self, person: str, due_at: datetime, made_at: datetime) -> datetime:
        """Return when somebody is written to: not before it falls, and not in quiet hours."""
        quiet = self.people[person].wishes.quiet
        return quiet.moved(max(due_at, made_at), self.told.zone)


def refresh(nursery: str, now: datetime, made: Outlook | None = None) -> None:
    """Work out what reminders there are, and keep what is new, changed or over.

    They follow from the outlook that was just `made`, or else from the latest. Reading and
    composing hold no lock.
    """
    body = (made or outlook.latest(nursery, now)).body
    with scope(nursery) as book:
        told = _told(book, body, now)
        coming = plan.occurrences(told)
        people = {one.person: one for one in reminder_people.every(book)}
        kept, tried = _kept(book, coming)
    planning = Planning(told, people, kept)
    known = {
        name: Kept(State(row.state), row.pk in tried, row.escalated) for name, row in kept.items()
    }
    there = plan.recipients(
        ((one.person, one.role, one.until) for one in people.values()), told.today
    )
    _write(nursery, plan.changes(told, coming, known, there), planning)
    _try_again(nursery, planning)


def _told(book: Scope, body: Mapping[str, Any], now: datetime) -> Told:
    grouped: dict[str, dict[str, Any]] = {}
    for row in rows.every(book):
        if row.type in ("nursery", "permit", "person", "place"):
            one = reference.read(row.type, row.id, row.body)
            grouped.setdefault(row.type, {})[row.id] = one
    return Told(
        body, grouped, book.zone, now, reminder_people.timing(book), _phones(book), _backup(now)
    )


def _phones(book: Scope) -> list[Phone]:
    """Return the installs that hold unsent records; of one that began anew nobody waits."""
    names = dict(book.devices.filter(revoked_at=None).values_list("ident", "name"))
    held = book.installs.filter(unsent__gt=0, replaced_at=None).exclude(last_seen_at=None)
    return [
        Phone(row.ident, names[row.device], row.unsent, row.last_seen_at)
        for row in held.order_by("ident")
        if row.device in names and row.last_seen_at is not None
    ]


def _backup(now: datetime) -> Backup | None:
    """Return the last tested backup of this server, by the product's clock.

    Before the first one it is counted from when the server was asked to make one.
    """
    row = BackupRow.objects.exclude(tested_at=None).order_by("-tested_at").first()
    at = None if row is None else row.tested_at
    if at is None:
        first = BackupRow.objects.order_by("made_at").first()
        at = None if first is None else first.made_at
    if at is None:
        return None
    return Backup(at.isoformat(), now - (clock.unshifted() - at))


def _kept(
    book: Scope, coming: Sequence[Occurrence]
) -> tuple[dict[Name, ReminderRow], frozenset[int]]:
    """Return what is kept of these reminders and of all open ones, and which were tried."""
    keys = {one.key for one in coming}
    attempts = ReminderAttemptRow.objects.filter(reminder=OuterRef("pk"))
    open_ones = Q(state__in=OPEN) | Q(occurrence__in=keys)
    found = book.reminders.filter(open_ones).annotate(tried=Exists(attempts))
    kept: dict[Name, ReminderRow] = {}
    tried: set[int] = set()
    for row in found:
        kept[Name(row.rule, row.occurrence, row.person)] = row
        if row.tried:
            tried.add(row.pk)
    return kept, frozenset(tried)


def _write(nursery: str, wanted: Changes, planning: Planning) -> None:
    """Write changes in short transactions. What somebody is working on is left to them."""
    new = [_row(name, one, planning) for name, one in wanted.new.items()]
    for some in _lots(new):
        with scope(nursery, write=True) as book:
            for row in some:
                row.nursery_id = book.key
            ReminderRow.objects.bulk_create(some, ignore_conflicts=True)
    changed = [
        (planning.kept[name], told)
        for name, one in wanted.refreshed.items()
        if (told := _news(planning.kept[name], one, planning))
    ]
    over = [(planning.kept[name], why) for name, why in wanted.over.items()]
    for lot in _lots(changed):
        with scope(nursery, write=True) as book:
            for row, told in lot:
                _same(book, row).update(**told, changed_at=planning.told.now)
    for end in _lots(over):
        with scope(nursery, write=True) as book:
            for row, why in end:
                state = State.DONE if row.state == State.SENT else State.DROPPED
                _same(book, row).update(
                    state=state, why=why, next_at=None, changed_at=planning.told.now
                )


def _same(book: Scope, row: ReminderRow) -> QuerySet[ReminderRow]:
    """Return a row if it still is as it was read: nobody works on it, or has since."""
    return book.reminders.filter(
        pk=row.pk, claim=row.claim, state=row.state, lease_until=None, next_at=row.next_at
    )


def _lots(some: Sequence[Any]) -> Iterable[Sequence[Any]]:
    for start in range(0, len(some), AT_ONCE):
        yield some[start : start + AT_ONCE]


def _row(name: Name, one: Occurrence, planning: Planning) -> ReminderRow:
    now = planning.told.now
    told = _columns(name.person, one, planning, now)
    return ReminderRow(
        ident=f"r-{secrets.token_hex(12)}",
        rule=one.rule,
        occurrence=one.key,
        person=name.person,
        role=planning.people[name.person].role,
        made_at=now,
        changed_at=now,
        **told,
    )


def _columns(person: str, one: Occurrence, planning: Planning, made_at: datetime) -> dict[str, Any]:
    zone = planning.told.zone
    due_at = one.due_at(zone)
    return {
        "cause": one.cause,
        "urgent": one.urgent,
        "code": one.code,
        "params": dict(one.params),
        "subject_type": one.subject.type,
        "subject": one.subject.id,
        "wall": one.wall.strftime(FORM),
        "zone": zone.key,
        "due_at": due_at,
        "on": one.on,
        "ends_at": one.ends_at,
        "state": State.WAITING,
        "why": "",
        "next_at": planning.next_at(person, due_at, made_at),
    }


def _news(row: ReminderRow, one: Occurrence, planning: Planning) -> dict[str, Any]:
    """Return what has changed of a reminder that nobody has heard of yet."""
    told = _columns(row.person, one, planning, row.made_at)
    if all(getattr(row, name) == value for name, value in told.items()):
        return {}
    return told


def _try_again(nursery: str, planning: Planning) -> None:
    """What reached nobody is tried once more where somebody can be reached now (rule M-7)."""
    with scope(nursery) as book:
        waiting = list(
            book.reminders.filter(state=State.UNREACHED, next_at=None).prefetch_related("attempts")
        )
    for row in waiting:
        who = planning.people.get(row.person)
        tried = {one.channel for one in row.attempts.all()}
        if who is not None and channels.live(nursery, who) - tried:
            at = planning.next_at(row.person, planning.told.now, row.made_at)
            with scope(nursery, write=True) as book:
                book.reminders.filter(pk=row.pk, state=State.UNREACHED).update(next_at=at)
