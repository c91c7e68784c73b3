"""The day on which plants that wait are planted, for the season sheet and batches alike (J-4)."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from types import MappingProxyType
from typing import Any

from nursery.domain import seasons
from nursery.domain.book import Book
from nursery.domain.planted_together import Item, items
from nursery.domain.profiles import Profile
from nursery.domain.season_sheet import growth, when
from nursery.domain.season_sheet.when import Clock
from nursery.domain.seasons import Season
from nursery.domain.toughening import course

# The stored forecasts of when plants are grown, by item.
Readiness = Mapping[str, Mapping[str, Any]]
NO_FORECASTS: Readiness = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Ahead:
    """What a group waits for: the law, the sun, its growth, and the planting weeks from then on.

    `toughening` are the days that it still takes, None where no program is known.
    """

    crop: str | None
    clock: Clock | None
    free: date | None
    toughening: int | None
    readiness: Mapping[str, Any]
    grown_on: date | None
    weeks: Sequence[Season]

    @property
    def planted(self) -> tuple[date, Season] | None:
        """The first day on which it can be planted, and the weeks that this day lies in."""
        ready = when.ready_on(self.free, self.toughening or 0, self.grown_on)
        return when.planted_from(ready, self.weeks)


def of_item(item: Item, book: Book, today: date, forecasts: Readiness = NO_FORECASTS) -> Ahead:
    """Return what a group waits for; the last of its batches decides (rule J-4)."""
    crop, profile = profile_of(item, book)
    clock = when.clock_of(item.batches, book, today)
    free = when.free_on(clock, item.batches, book, today)
    ready = _readiness(item, profile, book, forecasts)
    grown_on = _grown_on(ready)
    return Ahead(
        crop=crop,
        clock=clock,
        free=free,
        toughening=when.toughening_days(item.batches, book, today),
        readiness=ready,
        grown_on=grown_on,
        # Planting weeks lie as far ahead as the plants have to wait.
        weeks=seasons.after(max(free or today, grown_on or today), book),
    )


def of_batches(
    book: Book, today: date, forecasts: Readiness = NO_FORECASTS
) -> dict[str, dict[str, str]]:
    """Return of each batch that waits to be planted the day and its planting weeks, if any can."""
    found: dict[str, dict[str, str]] = {}
    for item in items(book):
        planted = of_item(item, book, today, forecasts).planted
        if planted is not None:
            day, weeks = planted
            days = {"on": day, "first": weeks.first, "last": weeks.last}
            told = {name: one.isoformat() for name, one in days.items()}
            found |= {batch.id: told for batch in item.batches}
    return found


def profile_of(item: Item, book: Book) -> tuple[str | None, Profile | None]:
    """Return the crop of a group and what is known of it; None where it has several crops."""
    crops = {course.crop_of(batch, book) for batch in item.batches}
    crop = crops.pop() if len(crops) == 1 else None
    row = book.row("crop", crop)
    return crop, None if row is None else row.profile


def _readiness(
    item: Item, profile: Profile | None, book: Book, forecasts: Readiness
) -> dict[str, Any]:
    """Return what was measured, and the stored forecast as long as it can still be made (J-1)."""
    grown = growth.of_group(item.batches, profile, book)
    known = forecasts.get(item.id) if grown.state == growth.FORECAST else None
    return {
        **dict.fromkeys(("early", "day", "late", "reached", "share")),
        "fan": {},
        "state": growth.WAITING if grown.state == growth.FORECAST else grown.state,
        **(known or {}),
        "measured": grown.means(),
        "minimum": dict(grown.least),
        "usual_curves": [] if profile is None else list(profile.usual_curves),
    }


def _grown_on(ready: Mapping[str, Any]) -> date | None:
    """Return the likely day, or where none can be told the one before which they hardly are."""
    on = ready["day"] or ready["early"]
    return None if on is None else date.fromisoformat(on)
