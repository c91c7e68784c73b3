"""The season sheet: odds and readiness are worked out by a job and stored, the rest when read."""

from datetime import datetime
from hashlib import sha256
from typing import Any

import orjson

from nursery.domain.book import Book
from nursery.domain.season_sheet import odds, readiness, sheet
from nursery.domain.season_sheet.sheet import Stored
from nursery.domain.weather.record import years_of_rain
from nursery.domain.weather.shown import ENOUGH_YEARS
from nursery.services import outlook
from nursery.store.models import ForecastRow
from nursery.store.scope import Scope, scope

ODDS, READINESS = "odds", "readiness"


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
    """Work out odds and forecasts and keep them. Reading and computing hold no lock."""
    with scope(nursery) as rows:
        seq = rows.head.last_seq
        book = outlook.read_book(rows)
        weather, years = _weather(rows)
        before = {(row.kind, row.subject): row for row in rows.forecasts.all()}
    made = {(ODDS, ""): _odds(book, weather, years, before.get((ODDS, "")))}
    made |= {(READINESS, name): one for name, one in readiness.of_book(book).items()}
    _keep(nursery, seq, made, now)


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
    whole = years_of_rain(years)
    told = {
        "series": best.name,
        "years": len(whole),
        "enough": len(whole) >= ENOUGH_YEARS,
        "invented": best.invented,
        "first": f"{min(years)}-01-01",
        "last": f"{max(years)}-12-31",
    }
    return told, years


def _odds(
    book: Book, weather: dict[str, Any] | None, years: dict[int, Any], before: ForecastRow | None
) -> dict[str, Any]:
    """Return the odds of the year; as they were, where neither weather nor site has changed."""
    site = next((row for _, row in book.rows_of("site")), None)
    if weather is None or site is None or not weather["enough"]:
        return {"weather": weather, "odds": None, "of": ""}
    of = sha256(orjson.dumps(years, option=orjson.OPT_NON_STR_KEYS) + repr(site).encode())
    known = {} if before is None else orjson.loads(before.text)
    if known.get("of") == of.hexdigest():
        return known
    return {"weather": weather, "odds": odds.of_years(years, site), "of": of.hexdigest()}


def _keep(
    nursery: str, seq: int, made: dict[tuple[str, str], dict[str, Any]], now: datetime
) -> None:
    with scope(nursery, write=True) as rows:
        rows.lock_head()
        if rows.forecasts.filter(kind=ODDS, as_of_seq__gt=seq).exists():
            return
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
                    "stale_from": None,
                    "text": orjson.dumps(body).decode(),
                },
            )
