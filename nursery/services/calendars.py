"""Calendars that people subscribe to: their addresses, and what is told there.

An address is good for whoever knows it, so it is told once, kept as a hash, and ended by the
grower. What a calendar reads is worked out from the book when it asks, as everything that follows
from the book; how often each thing was changed is kept, since a calendar keeps the higher number.
"""

import secrets
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from hashlib import sha256
from typing import Any
from zoneinfo import ZoneInfo

import orjson
from django.db import connection

from nursery.domain import diary
from nursery.domain.diary import Told
from nursery.domain.entry import write_instant
from nursery.services import outlook, words
from nursery.services.errors import CalendarAskedOften, LanguageUnknown, Unknown
from nursery.store import isolation
from nursery.store.models import CalendarLinkRow, CalendarRow
from nursery.store.scope import Scope, scope

# A calendar reads every quarter of an hour at the most; a person's machines share an address.
WINDOW = timedelta(hours=1)
MOST_IN_A_WINDOW = 60


@dataclass(frozen=True, slots=True)
class Feed:
    """What one address gives: in a language, for the days of a nursery's zone."""

    nursery: str
    name: str
    zone: str
    language: str
    today: date
    events: tuple[Told, ...]


@dataclass(frozen=True, slots=True)
class Wish:
    """For whom an address is; `person` is empty where it is none of the nursery's people."""

    name: str
    language: str
    person: str = ""


def make(nursery: str, wish: Wish, now: datetime) -> tuple[str, str]:
    """Return the id of a new address and its secret, which is told this once.

    Raises:
        LanguageUnknown: there is no catalogue of the language.
        Unknown: nobody of the nursery is called so.
    """
    if wish.language not in words.languages():
        raise LanguageUnknown(value=wish.language)
    ident, secret = f"k-{secrets.token_hex(8)}", secrets.token_urlsafe(32)
    with scope(nursery, write=True) as book:
        people = book.refs.filter(type="person", gone=False)
        if wish.person and not people.filter(ident=wish.person).exists():
            raise Unknown("person", wish.person)
        CalendarLinkRow.objects.create(
            nursery_id=book.key,
            ident=ident,
            name=wish.name,
            person=wish.person,
            language=wish.language,
            secret_hash=_hash(secret),
            made_at=now,
        )
    return ident, secret


def every(nursery: str) -> list[dict[str, Any]]:
    """Return the addresses of a nursery, the newest first; none tells its secret."""
    told = ("name", "person", "language", "made_at", "ended_at", "read_at")
    with scope(nursery) as book:
        rows = list(book.calendar_links.order_by("-made_at", "-pk"))
    return [{"id": row.ident, **{name: getattr(row, name) for name in told}} for row in rows]


def end(nursery: str, ident: str, now: datetime) -> None:
    """End an address. One that has ended stays as it is.

    Raises:
        Unknown: the nursery made no such address.
    """
    with scope(nursery, write=True) as book:
        if not book.calendar_links.filter(ident=ident).exists():
            raise Unknown("calendar", ident)
        book.calendar_links.filter(ident=ident, ended_at=None).update(ended_at=now)


def by_secret(secret: str, now: datetime) -> Feed:
    """Return what the address with this secret gives.

    Raises:
        Unknown: there is none, or it was ended.
        CalendarAskedOften: it was read too often within the hour.
    """
    links = CalendarLinkRow.objects.filter(ended_at=None).select_related("nursery")
    with isolation.saying(secret=_hash(secret)):
        row = links.filter(secret_hash=_hash(secret)).first()
    if row is None:
        raise Unknown("calendar", secret[:6])
    nursery = row.nursery
    _count(row, now)
    today = now.astimezone(ZoneInfo(nursery.zone)).date()
    told = tuple(_told(nursery.ident, now))
    return Feed(nursery.ident, nursery.name, nursery.zone, row.language, today, told)


def _count(row: CalendarLinkRow, now: datetime) -> None:
    """Count a reading of an address.

    Raises:
        CalendarAskedOften: one too many within the hour.
    """
    since = row.asked_since
    began = since is None or not since <= now < since + WINDOW
    asked = 1 if began else row.asked + 1
    if since is not None and asked > MOST_IN_A_WINDOW:
        raise CalendarAskedOften(until=write_instant(since + WINDOW))
    with scope(row.nursery.ident, write=True) as book:
        change = {"read_at": now, "asked": asked, "asked_since": now if began else since}
        book.calendar_links.filter(pk=row.pk).update(**change)


def _told(nursery: str, now: datetime) -> Iterable[Told]:
    """Return the events as they stand; what changed since they were last told is kept."""
    with scope(nursery) as book:
        seq, today = book.head.last_seq, now.astimezone(book.zone).date()
        mark = f"{seq}:{today.isoformat()}"
        kept = _kept(book.calendars.first())
        if kept["mark"] == mark:
            return _read(kept)
        events = diary.ahead(outlook.read_book(book), now)
    with scope(nursery, write=True) as book:
        kept = _kept(_locked(book))
        told = diary.told(_read(kept), events, now, today)
        if seq < kept["seq"]:
            return told  # somebody who read more of the book was quicker
        text = {"seq": seq, "mark": mark, "events": [one.as_json() for one in told]}
        CalendarRow.objects.filter(pk=book.key).update(text=orjson.dumps(text).decode())
    return told


def _locked(book: Scope) -> CalendarRow:
    """Return the kept row, which nobody else changes until this transaction ends."""
    empty = {"text": orjson.dumps(_kept(None)).decode()}
    CalendarRow.objects.get_or_create(nursery_id=book.key, defaults=empty)
    rows = book.calendars
    if connection.features.has_select_for_update:
        rows = rows.select_for_update()
    return rows.get()


def _kept(row: CalendarRow | None) -> dict[str, Any]:
    if row is None:
        return {"seq": 0, "mark": "", "events": []}
    kept: dict[str, Any] = orjson.loads(row.text)
    return kept


def _read(kept: dict[str, Any]) -> list[Told]:
    return [diary.read(raw) for raw in kept["events"]]


def _hash(secret: str) -> str:
    return sha256(secret.encode()).hexdigest()
