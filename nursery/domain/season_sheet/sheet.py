"""The season sheet as one value in JSON, from the book and what was worked out before."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from math import ceil
from types import MappingProxyType
from typing import Any

from nursery.domain import seasons
from nursery.domain.batch import Batch
from nursery.domain.book import Book
from nursery.domain.planted_together import Item, items
from nursery.domain.planting import facts
from nursery.domain.planting.booked import bookings
from nursery.domain.planting.day import Block
from nursery.domain.reason import Reason
from nursery.domain.reference import Site
from nursery.domain.season_sheet import delays, planting_days, when
from nursery.domain.seasons import Season
from nursery.domain.weather.shown import ENOUGH_YEARS

# Care is taken as the look-overs of so many days, in hours a week (rule J-6).
CARE_DAYS = 28
# What is said of pots where nobody can say when they are emptied.
POTS_FULL = "pots_full"
NOTHING: Mapping[str, Any] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Stored:
    """What a job worked out: odds of the year, readiness by item, and the record behind them."""

    weather: Mapping[str, Any] | None = None
    odds: Mapping[str, Any] | None = None
    readiness: Mapping[str, Mapping[str, Any]] = field(default_factory=lambda: NOTHING)


def of_book(book: Book, today: date, stored: Stored) -> dict[str, Any]:
    """Return the whole sheet, as `GET /season` gives it."""
    weeks = seasons.after(today, book)
    site: Site | None = next((row for _, row in book.rows_of("site")), None)
    return {
        "today": today.isoformat(),
        "weather": stored.weather,
        "weeks": [_set(one, book) for one in weeks],
        "odds": stored.odds,
        "site": site is not None,
        "currency": None if site is None else site.currency,
        "items": [_item(one, book, today, (site, stored)) for one in items(book)],
    }


def _set(weeks: Season, book: Book) -> dict[str, Any]:
    """Return planting weeks with the name of who set them by hand, and when."""
    who = book.row("person", weeks.set_by)
    return {
        "first": weeks.first.isoformat(),
        "last": weeks.last.isoformat(),
        "main": weeks.main,
        "set_by": weeks.set_by if who is None else who.name,
        "set_on": None if weeks.set_on is None else weeks.set_on.isoformat(),
    }


def _item(item: Item, book: Book, today: date, known: tuple[Site | None, Stored]) -> dict[str, Any]:
    site, stored = known
    ahead = planting_days.of_item(item, book, today, stored.readiness)
    free, days, weeks = ahead.free, ahead.toughening, ahead.weeks
    blocks = facts.blocks_of(item.batches, book, today)
    alive = sum(one.alive or 0 for one in item.batches)
    holes = sum(one.planned for one in blocks)
    full = [(on, one.alive or 0) for one in item.batches if (on := seasons.full_on(one, book))]
    began = min((book.day(at) for one in item.batches if (at := one.began_at)), default=None)
    waiting = delays.Waiting(
        free=free,
        toughening=days or 0,
        weeks=weeks,
        plants=min(alive, holes) if holes else alive,
        full=full,
        odds=_by_day(stored),
        care_hours=_care_hours(item, book, today),
        grown_on=ahead.grown_on,
    )
    table = delays.table(waiting, site)
    return {
        "id": item.id,
        "kind": item.kind,
        "name": item.name,
        "crop": ahead.crop,
        "batches": [one.id for one in item.batches],
        "began_on": _iso(began),
        "alive": alive,
        "holes": holes,
        "clock": None if ahead.clock is None else ahead.clock.as_json(),
        "free_on": table[0]["free_on"],
        "plant_on": table[0]["plant_on"],
        "weeks": _weeks_of(table[0]["plant_on"], weeks),
        "says": [one.as_json() for one in _says(item, book, today, (table[0], stored))],
        "readiness": dict(ahead.readiness),
        "pots_full_on": min(full)[0].isoformat() if full else None,
        "container": next((one.container for one in item.batches if one.container), None),
        "toughening_days": days,
        "toughening_since": _iso(when.toughening_since(item.batches, book)),
        "labour": _labour(item, waiting.plants, site, book, today),
        "blocks": [_block(one, book) for one in blocks],
        "delays": table,
    }


def _iso(day: date | None) -> str | None:
    return None if day is None else day.isoformat()


def _block(one: Block, book: Book) -> dict[str, Any]:
    return {
        "id": one.id,
        "name": book.row("place", one.id).name,
        "holes": one.planned,
        "pits_ready": one.pits,
        "shelter_cm": one.nurse_cm,
        "shelter_wanted_cm": one.nurse_wanted_cm,
    }


def _by_day(stored: Stored) -> Mapping[str, float | None] | None:
    if stored.odds is None:
        return None
    return {one["day"]: one["score"] for one in stored.odds["days"]}


def _care_hours(item: Item, book: Book, today: date) -> float | None:
    """Return the hours a week that looking the plants over took of late; None if none told any."""
    since = today - timedelta(days=CARE_DAYS)
    minutes = [
        look.minutes
        for batch in item.batches
        for look in batch.record.looks
        if look.minutes is not None and since < book.day(look.at) <= today
    ]
    return sum(minutes) / 60 / (CARE_DAYS / 7) if minutes else None


def _weeks_of(planted: str | None, weeks: Sequence[Season]) -> dict[str, str] | None:
    if planted is None:
        return None
    day = date.fromisoformat(planted)
    one = next(one for one in weeks if one.first <= day <= one.last)
    return {"first": one.first.isoformat(), "last": one.last.isoformat()}


def _labour(item: Item, plants: int, site: Site | None, book: Book, today: date) -> dict[str, Any]:
    per_day = None if site is None else site.plants_per_day
    booked = {one.entry: one for _, one in bookings(item.batches, book) if one.on >= today}
    return {
        "plants": plants,
        "per_person_day": per_day,
        "person_days": None if per_day is None else ceil(plants / per_day),
        "booked": [
            {"on": one.on.isoformat(), "people": one.people}
            for one in sorted(booked.values(), key=lambda one: (one.on, one.entry))
        ],
    }


def _says(
    item: Item,
    book: Book,
    today: date,
    known: tuple[Mapping[str, Any], Stored],
) -> Iterator[Reason]:
    """Yield what is to be said of a group in sentences, the most important first."""
    first, stored = known
    planted = None if first["plant_on"] is None else date.fromisoformat(first["plant_on"])
    told = dict.fromkeys(
        said for batch in item.batches for said in _of_batch(batch, book, today, planted)
    )
    yield from (Reason(code, dict(params)) for code, params in told)
    if first["odds"] is not None:
        about = {"on": first["plant_on"], "n": round(100 * first["odds"])}
        yield Reason("odds_of_planting", about)
    years = 0 if stored.weather is None else stored.weather["years"]
    if years < ENOUGH_YEARS:
        yield Reason("weeks_by_hand", {"n": years, "most": ENOUGH_YEARS})
    elif stored.weather is not None and stored.weather.get("lacks_warmth"):
        yield Reason("weeks_by_hand_warmth", {"most": ENOUGH_YEARS})


def _of_batch(
    batch: Batch, book: Book, today: date, planted: date | None
) -> Iterator[tuple[str, tuple[tuple[str, Any], ...]]]:
    """Yield the sentences of a batch, by the day on which the whole group is planted (rule J-4)."""
    for one in seasons.of_batch(batch, book, today, planted):
        if planted is not None or one.code == POTS_FULL:
            yield one.code, tuple(sorted(one.params.items()))
