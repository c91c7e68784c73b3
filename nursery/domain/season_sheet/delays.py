"""What it costs when the release slips by so many weeks (rules J-5 and J-6)."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from nursery.domain.reference import Site
from nursery.domain.season_sheet.when import planted_from, ready_on, slipped
from nursery.domain.seasons import WEEK, Season, weeks_full

MOST_WEEKS = 26
NOTHING, FEWER_DAYS, SEASON, CANNOT_TELL = "nothing", "fewer_days", "season", "cannot_tell"


@dataclass(frozen=True, slots=True)
class Waiting:
    """A group that waits to be planted.

    From `free`, the day on which the law lets it go, it takes `toughening` days to stand the sun,
    and it is grown on `grown_on`. `full` holds how many plants have full pots from which day on,
    `odds` the share that would stand by month and day, such as `03-05`. `care_hours` are those of a
    week.
    """

    free: date | None
    toughening: int
    weeks: Sequence[Season]
    plants: int
    full: Sequence[tuple[date, int]] = ()
    odds: Mapping[str, float | None] | None = None
    care_hours: float | None = None
    grown_on: date | None = None


@dataclass(frozen=True, slots=True)
class _Then:
    planted: date | None
    season: int | None
    days_left: int | None
    odds: float | None
    full_weeks: int | None


def table(one: Waiting, site: Site | None) -> list[dict[str, Any]]:
    """Return what follows from each slip of the release, from none to half a year."""
    first = _after(one, 0)
    return [_told(weeks, first, _after(one, weeks), one, site) for weeks in range(MOST_WEEKS + 1)]


def _after(one: Waiting, weeks: int) -> _Then:
    ready = ready_on(slipped(one.free, weeks), one.toughening, one.grown_on)
    found = planted_from(ready, one.weeks)
    if found is None:
        return _Then(None, None, None, None, None)
    day, season = found
    full_on = min((on for on, _ in one.full), default=None)
    return _Then(
        planted=day,
        season=one.weeks.index(season),
        days_left=(season.last - day).days,
        odds=None if one.odds is None else one.odds.get(f"{day:%m-%d}"),
        full_weeks=None if full_on is None else max(0, weeks_full(full_on, day)),
    )


def _told(weeks: int, first: _Then, then: _Then, one: Waiting, site: Site | None) -> dict[str, Any]:
    seasons = 0
    if then.season is not None and first.season is not None:
        seasons = then.season - first.season
    free = slipped(one.free, weeks)
    return {
        "weeks": weeks,
        "free_on": None if free is None else free.isoformat(),
        "plant_on": None if then.planted is None else then.planted.isoformat(),
        "seasons": seasons,
        "odds": then.odds,
        "days_left": then.days_left,
        "pots_full_weeks": then.full_weeks,
        "cost": _cost(first, then, one, site),
        "code": _code(first, then, seasons),
    }


def _code(first: _Then, then: _Then, seasons: int) -> str:
    if then.planted is None:
        return CANNOT_TELL
    if seasons:
        return SEASON
    shorter = (then.days_left or 0) < (first.days_left or 0)
    return FEWER_DAYS if shorter else NOTHING


def _cost(first: _Then, then: _Then, one: Waiting, site: Site | None) -> dict[str, Any] | None:
    """Return what the delay costs by the three figures that somebody typed (rule J-6).

    Plants: those that would not stand for the odds of the later day. Hours: the hours of care of
    the last weeks, for as long as planting is put off. Pots: one for each plant whose pot is not
    full before the first planting day and is so before the later one.
    """
    if site is None or then.planted is None or first.planted is None:
        return None
    fewer = None
    if first.odds is not None and then.odds is not None:
        fewer = max(0.0, first.odds - then.odds) * one.plants
    hours = None
    if one.care_hours is not None:
        hours = one.care_hours * (then.planted - first.planted).days / WEEK
    pots = None
    if one.full:
        filled = [n for on, n in one.full if first.planted <= on < then.planted]
        pots = min(one.plants, sum(filled))
    parts = {
        "plants": _times(fewer, site.cost_plant),
        "hours": _times(hours, site.cost_hour),
        "pots": _times(pots, site.cost_pot),
    }
    known = [value for value in parts.values() if value is not None]
    return {**parts, "total": round(sum(known), 2)} if known else None


def _times(amount: float | None, price: float | None) -> float | None:
    return None if amount is None or price is None else round(amount * price, 2)
