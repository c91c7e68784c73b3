"""Pest pressure: how far warmth has carried a pest since it was first seen (rules F-23 and F-24).

What is not known adds no warmth and is named, so that degree-days are never more than there were.
What is to come is told with an "if": if the days to come are as warm as those of the last weeks.
"""

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from itertools import accumulate
from math import ceil, floor
from typing import Any, NamedTuple

from nursery.domain.book import Book
from nursery.domain.climate import AIR, Span, spans
from nursery.domain.days import ONE, later
from nursery.domain.reference.pests import Development
from nursery.science import thermal

# The last so many known days tell how warm the next ones are. (Common practice, no source.)
RECENT = 28
# A season that began before that is over: the biofix is to be set anew. (Own choice.)
SEASON = timedelta(days=366)
SLACK = 1e-9


class Day(NamedTuple):
    """The lowest and the highest of one day, and whether an instrument of the place read them."""

    span: Span
    own: bool


def days_of(ident: str, book: Book, sky: Mapping[date, Span]) -> dict[date, Day]:
    """Return the days that are known: by an instrument of the place or one around it, else by sky.

    `sky` are the days of the site's weather.
    """
    found = {on: Day(span, own=False) for on, span in sky.items()}
    around = [one for one in reversed(book.outward(ident)) if one in book.rooms]
    for room in dict.fromkeys(book.rooms[one] for one in around):
        found |= {on: Day(span, own=True) for on, span in spans(room, AIR, book).items()}
    return found


def of_pests(book: Book, days: Mapping[date, Day], today: date) -> list[dict[str, Any]]:
    """Return the pressure of each pest whose row says how it develops, by name of row."""
    return [
        {"pest": name, **of_pest(row.develops, days, today)}
        for name, row in book.rows_of("pest")
        if row.develops is not None and not (row.until and row.until <= today)
    ]


def of_pest(its: Development, days: Mapping[date, Day], today: date) -> dict[str, Any]:
    """Return degree-days since the biofix, the generation now, and when the next one comes.

    Days count from the biofix on, each when it is over. Source of the day's curve: Baskerville &
    Emin (1969) with a horizontal cut-off, by `thermal.single_sine`.
    """
    about: dict[str, Any] = {
        "source": its.source,
        "lower_c": its.lower_c,
        "upper_c": its.upper_c,
        "per_generation": its.generation_dd,
        "biofix": None if its.biofix is None else its.biofix.isoformat(),
    }
    if its.biofix is None or its.biofix > today:
        return {**about, "counted": None}
    begins = its.biofix
    known = [on for on in days if begins <= on < today]
    last = max(known, default=None)
    every = [] if last is None else [later(begins, n) for n in range((last - begins).days + 1)]
    warmth = [_warmth(days.get(on), its) for on in every]
    told = _counted(its, every, warmth)
    own = sum(days[on].own for on in known)
    span = {
        "as_of": None if last is None else last.isoformat(),
        "behind": (today - ONE - (last or later(begins, -1))).days,
        "own_days": own,
        "sky_days": len(known) - own,
        "old": today - begins > SEASON,
    }
    return {**about, "counted": {**span, **told}}


def _warmth(day: Day | None, its: Development) -> float | None:
    if day is None:
        return None
    low, high = day.span
    return float(thermal.single_sine(low, high, lower=its.lower_c, upper=its.upper_c))


def _counted(
    its: Development, every: Sequence[date], warmth: Sequence[float | None]
) -> dict[str, Any]:
    sums = list(accumulate(one or 0.0 for one in warmth))
    total = sums[-1] if sums else 0.0
    done = floor(total / its.generation_dd + SLACK)
    missing = [on for on, one in zip(every, warmth, strict=True) if one is None]
    return {
        "degree_days": total,
        "generation": done + 1,
        "done": [_done(its, every, sums, n) for n in range(1, done + 1)],
        "left": its.generation_dd * (done + 1) - total,
        "next_on": _next(its.generation_dd * (done + 1) - total, every, warmth),
        "missing": len(missing),
        "missing_days": [on.isoformat() for on in missing[:RECENT]],
        "points": [
            [on.isoformat(), None if one is None else round(at, 1)]
            for on, one, at in zip(every, warmth, sums, strict=True)
        ],
    }


def _done(its: Development, every: Sequence[date], sums: Sequence[float], n: int) -> str:
    """Return the day on which the warmth of so many generations was reached."""
    wanted = n * its.generation_dd - SLACK
    return next(on for on, at in zip(every, sums, strict=True) if at >= wanted).isoformat()


def _next(left: float, every: Sequence[date], warmth: Sequence[float | None]) -> str | None:
    """Return the day of the next generation, if days go on as warm; None where none was warm."""
    known = [one for one in warmth if one is not None][-RECENT:]
    if not known or sum(known) <= 0:
        return None
    mean = sum(known) / len(known)
    return later(every[-1], ceil(min(left / mean, 1e6) - SLACK)).isoformat()
