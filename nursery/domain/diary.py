"""What stands ahead as dates for a calendar, and what of it has changed since it was last told.

A calendar is a plan to look at: what is due, official visits, the ends of permits, planting weeks,
the first days on which plants may be released. Rounds are told by room and week, not by plant, so
that a year of them can be read (rules D-1 to D-4).
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from hashlib import sha256
from typing import Any, NamedTuple

from nursery.domain import checks, demands, people_ends, quarantine, seasons
from nursery.domain.book import Book, gone
from nursery.domain.due_check import Check
from nursery.domain.entry import write_instant
from nursery.domain.reentry import of_rooms

# Checks follow from terms for these days ahead; what has a date of its own, for a year and more.
CHECKS_AHEAD = timedelta(days=60)
DATES_AHEAD = timedelta(days=400)
# A time in which something may be done is drawn whole up to so long, else only its last day.
WHOLE_DAYS = 14
MOST_NAMES = 8
# How many days before it a calendar rings (own choice: a permit takes weeks to renew).
RINGS = {"check": 1, "visit": 3, "permit": 30, "paper": 30, "weeks": 14, "release": 7}


@dataclass(frozen=True, slots=True)
class Event:
    """One thing ahead: whole days, or an instant where `at` is given.

    `uid` is the same however its days move. `forecast` says that they rest on what has not happened
    yet. `rings` is how many days before the first day a calendar reminds of it, `opens` the first
    day on which it may be done where that lies before the days shown.
    """

    uid: str
    code: str
    first: date
    last: date
    params: Mapping[str, Any] = field(default_factory=dict)
    at: datetime | None = None
    opens: date | None = None
    rings: int | None = None
    forecast: bool = False

    def as_json(self) -> dict[str, Any]:
        return {
            "uid": self.uid,
            "code": self.code,
            "first": self.first.isoformat(),
            "last": self.last.isoformat(),
            "params": dict(self.params),
            "at": None if self.at is None else write_instant(self.at),
            "opens": None if self.opens is None else self.opens.isoformat(),
            "rings": self.rings,
            "forecast": self.forecast,
        }


class Told(NamedTuple):
    """An event as calendars are told of it: how often it was changed, and when last (rule D-2)."""

    event: Event
    sequence: int
    changed_at: datetime
    cancelled: bool = False

    def as_json(self) -> dict[str, Any]:
        return {
            "event": self.event.as_json(),
            "sequence": self.sequence,
            "changed_at": write_instant(self.changed_at),
            "cancelled": self.cancelled,
        }


def read(raw: Mapping[str, Any]) -> Told:
    """Return what `as_json` wrote."""
    told = raw["event"]
    days = {name: date.fromisoformat(told[name]) for name in ("first", "last")}
    event = Event(
        told["uid"],
        told["code"],
        **days,
        params=told["params"],
        at=None if told["at"] is None else datetime.fromisoformat(told["at"]),
        opens=None if told["opens"] is None else date.fromisoformat(told["opens"]),
        rings=told["rings"],
        forecast=told["forecast"],
    )
    changed_at = datetime.fromisoformat(raw["changed_at"])
    return Told(event, raw["sequence"], changed_at, raw["cancelled"])


def told(before: Iterable[Told], events: Iterable[Event], now: datetime, today: date) -> list[Told]:
    """Return what calendars are told now, by uid (rules D-2, D-3).

    A change, and the end of something whose day has not come, raise its number by one; what was
    over anyway is told no more.
    """
    known = {one.event.uid: one for one in before}
    found = []
    for event in events:
        old = known.pop(event.uid, None)
        if old is None:
            found.append(Told(event, 0, now))
        elif old.event.as_json() == event.as_json() and not old.cancelled:
            found.append(old)
        else:
            found.append(Told(event, old.sequence + 1, now))
    for old in known.values():
        if old.event.last >= today:
            ended = old if old.cancelled else Told(old.event, old.sequence + 1, now, cancelled=True)
            found.append(ended)
    return sorted(found, key=lambda one: one.event.uid)


def ahead(book: Book, now: datetime) -> list[Event]:
    """Return what stands ahead of a moment, by first day."""
    today = book.day(now)
    found = [
        *_checks(book, today),
        *_reentry(book, now),
        *_permits(book, today),
        *_papers(book, today),
        *_weeks(book, today),
        *_releases(book, today),
    ]
    return sorted(found, key=lambda one: (one.first, one.uid))


def _checks(book: Book, today: date) -> Iterator[Event]:
    """Yield the open checks, those of one kind, room and week as one event (rule D-1)."""
    groups: dict[tuple[str, ...], list[Check]] = defaultdict(list)
    # What a release rests on is told as far ahead as the release itself.
    official = frozenset(demands.BEFORE_RELEASE.values())
    rounds = checks.due(book, today, today + CHECKS_AHEAD)
    once = demands.for_release(book, today, today + DATES_AHEAD)
    for check in (*(one for one in rounds if one.kind not in official), *once):
        if check.open and book.day(check.due_by) >= today:
            groups[_key(check, book)].append(check)
    for key, some in groups.items():
        due = min(book.day(check.due_by) for check in some)
        opens = max(book.day(check.opens_at) for check in some)
        kind = some[0].kind
        code = "visit" if kind == "inspection" else "check"
        labels = [name for check in some if (name := _label(check.subject, book))]
        yield Event(
            _uid(*key),
            code,
            opens if (due - opens).days < WHOLE_DAYS and code == "visit" else due,
            due,
            {"check": kind, "place": _name(_room(some[0], book), book), **_named(labels)},
            opens=opens if opens < due else None,
            rings=RINGS[code],
        )


def _key(check: Check, book: Book) -> tuple[str, ...]:
    """Return what makes checks one event; none of it moves with their days."""
    period = check.params.get("week_of") or check.params.get("number")
    if period is None:
        return ("check", check.id)
    what = str(check.params.get("what") or check.params.get("test") or "")
    return ("checks", check.kind, _room(check, book) or "", str(period), what)


def _room(check: Check, book: Book) -> str | None:
    batch = book.batches.get(check.subject)
    return book.room(check.subject if batch is None else batch.place)


def _label(subject: str, book: Book) -> str | None:
    batch = book.batches.get(subject)
    return None if batch is None else batch.label


def _named(labels: Iterable[str]) -> dict[str, Any]:
    """Return some of the labels, and how many there are."""
    every = sorted(labels)
    return {"n": len(every), "labels": every[:MOST_NAMES]}


def _name(place: str | None, book: Book) -> str | None:
    row = book.row("place", place)
    return place if row is None else str(row.name)


def _reentry(book: Book, now: datetime) -> Iterator[Event]:
    for room, shut in sorted(book.once(of_rooms).items()):
        if shut.until is not None and shut.until > now:
            day = book.day(shut.until)
            params = {"place": _name(room, book)}
            yield Event(
                _uid("reentry", room, write_instant(shut.until)), "reentry", day, day, params,
                at=shut.until,
            )  # fmt: skip


def _permits(book: Book, today: date) -> Iterator[Event]:
    for name, row in book.rows_of("permit"):
        ends = row.valid_to
        if ends is not None and today <= ends <= today + DATES_AHEAD:
            params = {"reference": row.reference}
            yield Event(_uid("permit", name), "permit", ends, ends, params, rings=RINGS["permit"])


def _papers(book: Book, today: date) -> Iterator[Event]:
    """Yield the last days of the trainings and licences of who works here (rule O-6)."""
    people = [row for _, row in book.rows_of("person")]
    for one in people_ends.ends(people, today, DATES_AHEAD.days):
        if one.until >= today:
            uid = _uid("paper", one.person, one.kind, one.what.strip().casefold())
            params = {"name": one.name, "what": one.what}
            yield Event(uid, one.kind.value, one.until, one.until, params, rings=RINGS["paper"])


def _weeks(book: Book, today: date) -> Iterator[Event]:
    """Yield the planting weeks; they are told apart by their year and their place in it."""
    nth: dict[int, int] = defaultdict(int)
    for season in seasons.after(date(today.year - 1, 1, 1), book):
        nth[season.first.year] += 1
        if season.last >= today and season.first <= today + DATES_AHEAD:
            uid = _uid("weeks", str(season.first.year), str(nth[season.first.year]))
            params = {"last": season.last.isoformat()}
            yield Event(uid, "weeks", season.first, season.last, params, rings=RINGS["weeks"])


def _releases(book: Book, today: date) -> Iterator[Event]:
    """Yield the first day for a notice of release, of plants that share it as one (rule D-4)."""
    groups: dict[tuple[str, str, date], list[str]] = defaultdict(list)
    for name, batch in sorted(book.batches.items()):
        clock = None if batch.closed or gone(batch) else quarantine.clock(batch, book, today)
        if clock is None or clock.released or clock.notice_from is None:
            continue
        if today <= clock.notice_from <= today + DATES_AHEAD:
            groups[batch.consignment or "", book.room(batch.place) or "", clock.notice_from].append(
                name
            )
    for (consignment, room, day), names in groups.items():
        labels = [label for name in names if (label := _label(name, book))]
        params = {"place": _name(room, book), **_named(labels)}
        uid = _uid("release", consignment, room, names[0])
        yield Event(uid, "release", day, day, params, rings=RINGS["release"], forecast=True)


def _uid(*parts: str) -> str:
    return sha256("\n".join(parts).encode()).hexdigest()[:32]
