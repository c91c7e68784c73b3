"""The season sheet: odds and readiness are worked out by a job and stored, the rest when read."""

from datetime import datetime
from hashlib import sha256
from typing import Any

import orjson

from nursery.domain.book import Book
from nursery.domain.planting import dry_spell
from nursery.domain.reference import Site
from nursery.domain.season_sheet import odds, readiness, sheet, sky
from nursery.domain.season_sheet.sheet import Stored
from nursery.services import clock, effects, outlook
from nursery.services.outlook import DRY_SPELL, READINESS
from nursery.store.models import ForecastRow
from nursery.store.scope import Scope, scope

ODDS = "odds"
SHIPPED = (DRY_SPELL, READINESS)


def read(nursery: str, now: datetime) -> dict[str, Any]:
    """Return the season sheet as of now, with the odds and forecasts last stored."""
    with scope(nursery) as rows:
        seq = rows.head.last_seq
        book = outlook.read_book(rows)
        kept = list(rows.forecasts.filter(kind__in=(ODDS, READINESS)))
    stored = _stored(kept)
    # What nobody has worked out yet is as old as can be.
    made = any(row.kind == ODDS for row in kept)
    stale = not made or any(row.stale_from is not None for row in kept)
    body = sheet.of_book(book, book.day(now), stored)
    return {"as_of_seq": seq, "stale": stale, **body}


def _stored(kept: list[ForecastRow]) -> Stored:
    told = {(row.kind, row.subject): orjson.loads(row.text) for row in kept}
    odds = told.get((ODDS, ""), {})
    return Stored(
        weather=odds.get("weather"),
        odds=odds.get("odds"),
        readiness={name: one for (kind, name), one in told.items() if kind == READINESS},
    )


def materialise(nursery: str, now: datetime) -> None:
    """Work out odds and forecasts and keep them. Reading and computing hold no lock.

    What was written meanwhile leaves them stale. Where nothing has changed since they were made,
    nothing is done: of several jobs that wait, the first does it for all.
    """
    with scope(nursery, write=True) as rows:
        rows.lock_head()  # who relied on this job while it waited has committed then
    with scope(nursery) as rows:
        before = {(row.kind, row.subject): row for row in rows.forecasts.all()}
        if (ODDS, "") in before and all(row.stale_from is None for row in before.values()):
            return
        seq = rows.head.last_seq
        book = outlook.read_book(rows)
        series = _series(rows)
        weather, years = _weather(rows)
    made = {(ODDS, ""): _odds(book, weather, years, before.get((ODDS, "")))}
    made[DRY_SPELL, ""] = _dry_spells(book, weather, years, before.get((DRY_SPELL, "")))
    made |= {(READINESS, name): one for name, one in readiness.of_book(book).items()}
    _keep(nursery, (seq, series), made, now)


def _series(rows: Scope) -> list[tuple[str, str, datetime]]:
    """Return which weather there is: it comes and goes without a line of the feed."""
    return list(rows.weather_series.order_by("ident").values_list("ident", "sha256", "taken_at"))


def _weather(rows: Scope) -> tuple[dict[str, Any] | None, dict[int, Any]]:
    """Return the series that odds are made of and its years; measured ones before invented ones."""
    texts: dict[str, dict[int, str]] = {}
    for series, year, text in rows.weather_years.values_list("series", "year", "text"):
        texts.setdefault(series, {})[year] = text
    best = max(
        rows.weather_series.all(),
        key=lambda one: (not one.invented, len(texts.get(one.ident, {})), one.ident),
        default=None,
    )
    if best is None or not texts.get(best.ident):
        return None, {}
    years = {year: orjson.loads(text) for year, text in sorted(texts[best.ident].items())}
    return {"series": best.name, "invented": best.invented, **sky.told(years)}, years


def _odds(
    book: Book, weather: dict[str, Any] | None, years: dict[int, Any], before: ForecastRow | None
) -> dict[str, Any]:
    """Return the odds of the year; as they were, where neither days nor demands have changed."""
    site = _site(book)
    if weather is None or site is None or not weather["enough"]:
        return {"weather": weather, "odds": None, "of": ""}
    known, of = _known(before), _of(years, odds.asked(site), site.latitude)
    same = known.get("of") == of
    made = known["odds"] if same else odds.of_years(years, site)
    return {"weather": weather, "odds": made, "of": of}


def _dry_spells(
    book: Book, weather: dict[str, Any] | None, years: dict[int, Any], before: ForecastRow | None
) -> dict[str, Any]:
    """Return the risk that a dry spell follows each planting day; as it was, where it may be."""
    site = _site(book)
    if weather is None or site is None or not weather["enough"]:
        return {"risks": None, "of": ""}
    known, of = _known(before), _of(years, site, weather["invented"])
    if known.get("of") == of:
        return known
    risks = dry_spell.of_years(years, site, invented=weather["invented"])
    return {"risks": risks.as_json(), "of": of}


def _site(book: Book) -> Site | None:
    return next((row for _, row in book.rows_of("site")), None)


def _known(before: ForecastRow | None) -> dict[str, Any]:
    return {} if before is None else dict(orjson.loads(before.text))


def _of(years: dict[int, Any], *others: object) -> str:
    """Return what odds rest on, as a hash."""
    told = orjson.dumps(years, option=orjson.OPT_NON_STR_KEYS)
    return sha256(told + repr(others).encode()).hexdigest()


def _keep(
    nursery: str,
    of: tuple[int, list[tuple[str, str, datetime]]],
    made: dict[tuple[str, str], dict[str, Any]],
    now: datetime,
) -> None:
    """Keep what was made of a line of the feed and the series of weather, unless there is newer."""
    seq, series = of
    with scope(nursery, write=True) as rows:
        head = rows.lock_head()
        kept = list(rows.forecasts.all())
        if any(row.as_of_seq > seq for row in kept) or _series(rows) != series:
            return
        # What phones are shipped rests on these.
        shipped = {one: _text(body) for one, body in made.items() if one[0] in SHIPPED}
        before = {(row.kind, row.subject): row.text for row in kept if row.kind in SHIPPED}
        later = max((row.stale_from or 0 for row in kept), default=0)
        gone = rows.forecasts.filter(kind=READINESS).exclude(
            subject__in=[name for kind, name in made if kind == READINESS]
        )
        gone.delete()
        for (kind, name), body in made.items():
            ForecastRow.objects.update_or_create(
                nursery_id=rows.key,
                kind=kind,
                subject=name,
                defaults={
                    "made_at": now,
                    "as_of_seq": seq,
                    "stale_from": later if later > seq else None,
                    "text": _text(body),
                },
            )
        if shipped != before:
            effects.outlook_is_stale(rows, head.last_seq, clock.now())
        # Nothing was there to be marked as stale; or a line came after this job had read the book,
        # and asked for no other, since this one seemed to wait still.
        if later > seq or (not kept and head.last_seq > seq):
            effects.season_is_stale_by_line(rows, head.last_seq, clock.now())


def _text(body: dict[str, Any]) -> str:
    return orjson.dumps(body).decode()
