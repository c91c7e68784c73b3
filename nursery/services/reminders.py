"""What people see of reminders, and what they say to them: seen, and how they want to be told."""

from collections.abc import Iterable, Mapping
from dataclasses import asdict
from datetime import UTC, datetime, timedelta
from typing import Any, NamedTuple

from django.db.models import QuerySet

from nursery.domain.reminders.figures import FIGURES, GAP_MIN, OWN, To, Waits
from nursery.domain.reminders.plan import OPEN, State
from nursery.services import channels, jobs, reminder_people, reminder_plan
from nursery.services.errors import CursorUnreadable, NotTheirs, Unknown
from nursery.services.people import PHONE, Caller
from nursery.services.reading import PAGE, Page
from nursery.store.models import ReminderRow
from nursery.store.scope import Scope, scope

PLAN = "remind_plan"
SEND = "remind"
# The calendar's numbers of change count minutes from here.
EPOCH = datetime(2026, 1, 1, tzinfo=UTC)


class Asked(NamedTuple):
    """Whose reminders, from where on; of open ones those that fall by `open_until`, else all."""

    person: str | None = None
    after: str = ""
    open_until: datetime | None = None


def some(nursery: str, asked: Asked) -> Page:
    """Return a page of reminders, in the order in which they fall."""
    with scope(nursery) as book:
        found = book.reminders.order_by("due_at", "ident")
        if asked.person is not None:
            found = found.filter(person=asked.person)
        if asked.open_until is not None:
            found = found.filter(state__in=OPEN, due_at__lte=asked.open_until)
        if asked.after:
            moment, ident = _cursor(asked.after)
            found = found.filter(due_at__gte=moment).exclude(due_at=moment, ident__lte=ident)
        rows = list(found.prefetch_related("attempts")[: PAGE + 1])
        items = _told(book, rows[:PAGE])
    last = rows[PAGE - 1] if len(rows) > PAGE else None
    return Page(items, None if last is None else f"{last.due_at.isoformat()}|{last.ident}")


def _cursor(after: str) -> tuple[datetime, str]:
    moment, bar, ident = after.rpartition("|")
    try:
        at = datetime.fromisoformat(moment)
    except ValueError:
        raise CursorUnreadable(after[:80]) from None
    if not bar or at.tzinfo is None:
        raise CursorUnreadable(after[:80])
    return at, ident


def one(nursery: str, ident: str) -> dict[str, Any]:
    """Return one reminder.

    Raises:
        Unknown: there is none of this name.
    """
    with scope(nursery) as book:
        rows = list(book.reminders.filter(ident=ident).prefetch_related("attempts"))
        if not rows:
            raise Unknown("reminder", ident)
        return _told(book, rows)[0]


def _told(book: Scope, rows: Iterable[ReminderRow]) -> list[dict[str, Any]]:
    names = {one.person: one.name for one in reminder_people.every(book)}
    return [
        {
            "id": row.ident,
            "rule": row.rule,
            "occurrence": row.occurrence,
            "person": row.person,
            "person_name": names.get(row.person, ""),
            "role": row.role,
            "code": row.code,
            "params": row.params,
            "urgent": row.urgent,
            "subject": {"type": row.subject_type or None, "id": row.subject},
            "wall": row.wall,
            "zone": row.zone,
            "due_at": row.due_at,
            "ends_at": row.ends_at,
            "on": row.on,
            "state": row.state,
            "why": row.why,
            "escalated": row.escalated,
            "seen_at": row.seen_at,
            "seen_by": row.seen_by or None,
            "next_at": row.next_at,
            "attempts": [
                {
                    "channel": each.channel,
                    "state": each.state,
                    "at": each.at,
                    "message": each.message,
                }
                for each in sorted(row.attempts.all(), key=lambda each: each.pk)
            ],
        }
        for row in rows
    ]


def see(nursery: str, idents: Iterable[str], person: str, now: datetime) -> list[dict[str, Any]]:
    """Note that somebody has seen reminders: whoever else had the same hears no more of it.

    Seen twice is seen once, by the first.

    Raises:
        Unknown: one of them is none of the nursery's.
    """
    wanted = list(dict.fromkeys(idents))
    with scope(nursery, write=True) as book:
        rows = {row.ident: row for row in book.reminders.filter(ident__in=wanted)}
        for ident in wanted:
            if ident not in rows:
                raise Unknown("reminder", ident)
            same = _same_cause(book, rows[ident]).filter(state__in=OPEN)
            same.update(state=State.SEEN, seen_at=now, seen_by=person, next_at=None, changed_at=now)
    with scope(nursery) as book:
        found = book.reminders.filter(ident__in=wanted).prefetch_related("attempts")
        return _told(book, found.order_by("due_at", "ident"))


def _same_cause(book: Scope, row: ReminderRow) -> "QuerySet[ReminderRow]":
    return book.reminders.filter(rule=row.rule, occurrence=row.occurrence)


def settings(nursery: str, role: str) -> dict[str, Any]:
    """Return how everybody wants to be reminded. Phones are shared, so they see no address."""
    with scope(nursery) as book:
        people = reminder_people.every(book)
        said = {one.person: reminder_people.said(book, one.person) for one in people}
        own = reminder_people.said(book, "")
        timing = reminder_people.timing(book)
    return {
        "nursery": own,
        "usual": {**asdict(Waits()), "gap_minutes": GAP_MIN, "source": OWN},
        "people": [
            {
                "person": one.person,
                "name": one.name,
                "role": one.role.value,
                "settings": _shown(said[one.person], role),
                "in_force": one.wishes.as_json(),
                "address": "" if role == PHONE else one.address,
                "has_address": bool(one.address),
                "push": "push" in channels.live(nursery, one),
            }
            for one in people
        ],
        "figures": [
            {
                "rule": rule,
                "lead_days": timing.lead(rule).days,
                "usual": figure.lead_days,
                "role": figure.to.value,
                "urgent": figure.urgent,
                "source": figure.source,
            }
            for rule, figure in FIGURES.items()
        ],
    }


def _shown(said: Mapping[str, Any], role: str) -> dict[str, Any]:
    return {name: value for name, value in said.items() if role != PHONE or name != "address"}


def wish(caller: Caller, person: str, wanted: Mapping[str, Any], now: datetime) -> None:
    """Keep how a person, or the whole nursery (``), wants to be reminded, and plan anew.

    A phone may set a worker's hours and channels: whoever holds it is one of them. Where letters go
    is said at the office alone, and stays as it was.

    Raises:
        NotTheirs: a phone asks for the nursery, for a grower, or for an address.
        ReminderSettingUnusable: a field that cannot be.
        Unknown: nobody is called so.
    """
    with scope(caller.nursery, write=True) as book:
        kept = dict(wanted)
        if caller.role == PHONE:
            kept = _by_a_phone(book, person, kept)
        reminder_people.put(book, person, kept)
        plan_soon(book, now)


def _by_a_phone(book: Scope, person: str, wanted: dict[str, Any]) -> dict[str, Any]:
    workers = {one.person for one in reminder_people.every(book) if one.role is To.WORKER}
    if person not in workers or "address" in wanted:
        raise NotTheirs(value=person)
    address = reminder_people.said(book, person).get("address")
    return wanted if address is None else {**wanted, "address": address}


def channel_added(nursery: str, now: datetime) -> None:
    """Somebody can be reached by a way that was not there: what reached nobody is tried again."""
    with scope(nursery, write=True) as book:
        plan_soon(book, now)


def plan_soon(book: Scope, now: datetime) -> None:
    """Ask for a planning of this nursery, in the caller's transaction."""
    jobs.write(PLAN, f"asked {now.isoformat()}", now, nursery=book.key)


def calendar(nursery: str, person: str | None, now: datetime) -> list[dict[str, Any]]:
    """Return every reminder of the next weeks once for each cause, as a calendar has it.

    `uid` stays where a day moves, and `sequence` rises; what is over is `cancelled`.
    """
    reminder_plan.refresh(nursery, now)
    with scope(nursery) as book:
        rows = book.reminders.filter(due_at__gte=now - timedelta(days=60)).order_by("made_at", "pk")
        if person is not None:
            rows = rows.filter(person=person)
        latest = {(row.rule, row.cause): row for row in rows}
    return [
        {
            "uid": f"{row.rule}-{row.cause}",
            "sequence": max(0, int((row.changed_at - EPOCH) / timedelta(minutes=1))),
            "rule": row.rule,
            "code": row.code,
            "params": row.params,
            "on": row.on,
            "at": row.ends_at,
            "wall": row.wall,
            "zone": row.zone,
            "alarm_at": row.due_at,
            "role": row.role,
            "cancelled": row.state == State.DROPPED,
        }
        for row in latest.values()
    ]
