"""How plants in the field stand: worked out from the kept states whenever somebody asks."""

from collections.abc import Mapping
from datetime import date, datetime, timedelta
from typing import Any

from nursery.domain.book import Book
from nursery.domain.climate import Span
from nursery.domain.field import plan, standing, trapping
from nursery.domain.field import pressure as warmth
from nursery.domain.field import scouting as looking
from nursery.domain.reference import Place, PlaceKind
from nursery.services import outlook, weather
from nursery.services.errors import Unknown
from nursery.store import lines
from nursery.store.scope import scope


def read(nursery: str, ident: str, now: datetime) -> dict[str, Any]:
    """Return how the plants of a block, or of all blocks in a place, stand as of now.

    Raises:
        Unknown: neither the place nor one in it is laid out.
    """
    with scope(nursery) as rows:
        seq = rows.head.last_seq
        book = outlook.read_book(rows)
    found = standing.of_place(ident, book, book.day(now))
    if found is None:
        raise Unknown("layout", ident)
    return {"as_of_seq": seq, **found}


def traps(nursery: str, ident: str, now: datetime) -> dict[str, Any]:
    """Return what the traps in a place caught for each trap and day, as of now.

    Raises:
        Unknown: nobody has described the place.
    """
    with scope(nursery) as rows:
        book = outlook.read_book(rows)
        if book.row("place", ident) is None:
            raise Unknown("place", ident)
        today = book.day(now)
        hung = {
            name: row
            for name in book.subtree(ident)
            if (row := book.row("place", name)) is not None
            and row.kind is PlaceKind.TRAP
            and not (row.until and row.until <= today)
        }
        entries = lines.of_subjects(rows, hung)
    some = {
        name: trapping.readings(name, row.since, entries.get(name, ()), book.day)
        for name, row in hung.items()
    }
    levels = {name: row.act_from for name, row in book.rows_of("pest") if row.act_from}
    late = [row.trap_late_days for _, row in book.rows_of("nursery")]
    since = timedelta(days=late[0]) if late else trapping.LATE
    found = trapping.of_traps(some, levels, today, since)
    seats = {
        name: {"block": row.parent, "hangs_at": row.hangs_at, "known": _hangs(row, book)}
        for name, row in hung.items()
    }
    return {
        "id": ident,
        "today": today.isoformat(),
        **found,
        "traps": [{**one, **seats[one["trap"]]} for one in found["traps"]],
    }


def _hangs(trap: Place, book: Book) -> bool:
    """Return whether the layout of its block has the position at which a trap hangs."""
    layout = book.row("layout", trap.parent)
    return layout is not None and any(trap.hangs_at in {*plan.names(row)} for row in layout.rows)


def scouting(nursery: str, ident: str, since: date | None, now: datetime) -> dict[str, Any]:
    """Return how plants of a block, or of all blocks in a place, were looked over since a day.

    Raises:
        Unknown: neither the place nor one in it is laid out.
    """
    with scope(nursery) as rows:
        seq = rows.head.last_seq
        book = outlook.read_book(rows)
    found = looking.of_place(ident, book, since, book.day(now))
    if found is None:
        raise Unknown("layout", ident)
    return {"as_of_seq": seq, **found}


def pressure(nursery: str, ident: str, now: datetime) -> dict[str, Any]:
    """Return how far warmth has carried each pest of which it is known how it develops.

    Raises:
        Unknown: nobody has described the place.
    """
    with scope(nursery) as rows:
        seq = rows.head.last_seq
        book = outlook.read_book(rows)
    if book.row("place", ident) is None:
        raise Unknown("place", ident)
    today = book.day(now)
    begun = [
        row.develops.biofix
        for _, row in book.rows_of("pest")
        if row.develops is not None and row.develops.biofix is not None
    ]
    sky = weather.daily(nursery, min(begun, default=today), today)
    days = warmth.days_of(ident, book, _spans(sky.days if sky else {}))
    return {
        "as_of_seq": seq,
        "id": ident,
        "today": today.isoformat(),
        "series": None if sky is None else sky.name,
        "invented": sky is not None and sky.invented,
        "pests": warmth.of_pests(book, days, today),
    }


def _spans(days: Mapping[date, tuple[float, float]]) -> dict[date, Span]:
    return {on: Span(low, high) for on, (low, high) in days.items() if low <= high}
