"""What was measured on tagged plants, and what they are to reach (rules J-1 to J-3)."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields, replace
from datetime import date, datetime
from statistics import fmean
from typing import Any

from nursery.domain.batch import Batch
from nursery.domain.book import Book
from nursery.domain.kinds.life import Measured, Tagged
from nursery.domain.profiles import Profile
from nursery.domain.season_sheet import kin

# Fewer plants or days say nothing of how a batch grows. (Common practice: 10 to 30 plants, again
# and again.)
LEAST_PLANTS, LEAST_DAYS = 5, 2
MEASURES = tuple(f.name for f in fields(Tagged) if f.name != "tag")
COUNTS = ("flushes", "leaves", "leaf_pairs", "nodes")

# What forecasts of growth rest on: sizes, what takes a record back, which may be one of them, and
# what makes batches or lets them go on in others; and rows.
RECORDS = frozenset(
    ("measured", "withdrawn", "received", "sown", "stuck", "split", "pricked", "mixed")
)
ROWS = frozenset(("consignment", "crop", "site"))

NOT_ENOUGH, NO_PRIOR, NO_MINIMUM = "not_enough", "no_prior", "no_minimum"
# A forecast can be made and is being worked out; then it is one, or the plants are ready.
WAITING, FORECAST, READY = "waiting", "forecast", "ready"


@dataclass(frozen=True, slots=True)
class Growth:
    """The tagged plants of a group: `sizes` by measure, tag and day."""

    sizes: Mapping[str, Mapping[str, Mapping[date, float]]]
    least: Mapping[str, float]
    state: str

    @property
    def days(self) -> tuple[date, ...]:
        return tuple(
            sorted({d for tags in self.sizes.values() for of in tags.values() for d in of})
        )

    @property
    def asked(self) -> dict[str, float]:
        """The smallest sizes that are asked for; none at all is no size."""
        return {name: least for name, least in self.least.items() if least > 0}

    def means(self) -> list[dict[str, Any]]:
        """Return for each day of measuring how many plants, and the mean of each measure."""
        told = []
        for day in self.days:
            on = {
                name: [of[day] for of in tags.values() if day in of]
                for name, tags in self.sizes.items()
            }
            told.append(
                {
                    "on": day.isoformat(),
                    "n": max(len(values) for values in on.values()),
                    "means": {name: round(fmean(v), 2) for name, v in on.items() if v},
                }
            )
        return told


def of_group(batches: Iterable[Batch], profile: Profile | None, book: Book) -> Growth:
    """Return what was measured on plants, and whether it is enough for a forecast (rule J-1)."""
    least = {} if profile is None else {name: of.low for name, of in profile.least.items()}
    found = Growth(_sizes(batches, book), least, NO_PRIOR)
    return found if profile is None else replace(found, state=_state(found))


def _sizes(
    batches: Iterable[Batch], book: Book
) -> Mapping[str, Mapping[str, Mapping[date, float]]]:
    """Return sizes by measure, plant and day. T1's third plant is not T2's (rule J-2)."""
    found: dict[str, dict[str, dict[date, float]]] = defaultdict(lambda: defaultdict(dict))
    told = _told(batches, book)
    seen: dict[tuple[str, str], list[datetime]] = defaultdict(list)
    for at, _, batch, body in told:
        for plant in body.plants:
            seen[batch, plant.tag].append(at)
    for at, _, batch, body in told:
        for plant in body.plants:
            one = " ".join(kin.plant_of(batch, plant.tag, seen, book))
            for name in MEASURES:
                value = getattr(plant, name)
                if value is not None:
                    found[name][one][book.day(at)] = float(value)
    return found


def _told(batches: Iterable[Batch], book: Book) -> list[tuple[datetime, str, str, Measured]]:
    """Return what was measured on these plants, also before a split, in the order of time."""
    told = {
        (one.at, one.entry, part.id): one.body
        for batch in batches
        for part, until in kin.parts(batch, book)
        for one in part.record.told(Measured)
        if until is None or one.at <= until
    }
    return [(*key, body) for key, body in sorted(told.items(), key=lambda one: one[0])]


def _state(grown: Growth) -> str:
    if not grown.asked:
        return NO_MINIMUM
    seen = [grown.sizes[name] for name in grown.asked if name in grown.sizes]
    enough = any(
        len(tags) >= LEAST_PLANTS and len({day for of in tags.values() for day in of}) >= LEAST_DAYS
        for tags in seen
    )
    return FORECAST if enough else NOT_ENOUGH
