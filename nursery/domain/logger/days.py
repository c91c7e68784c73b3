"""A figure a day out of many readings."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from typing import Any

from nursery.domain.logger.measures import FLUX, SUM, Quantity

HOURS = 24


@dataclass(frozen=True, slots=True)
class Reading:
    """`unit` is the one of the file, `value` is in that of the book."""

    on: date
    hour: int | None
    what: Quantity
    unit: str
    value: float


@dataclass(frozen=True, slots=True)
class Logged:
    """One day of a room: so many readings, and the figures that they make."""

    on: date
    readings: int
    figures: tuple[tuple[str, float], ...]

    def as_json(self) -> dict[str, Any]:
        return {"on": self.on.isoformat(), "readings": self.readings, **dict(self.figures)}


def of_readings(readings: Iterable[Reading]) -> Iterator[Logged]:
    by_day: dict[date, list[Reading]] = {}
    for reading in readings:
        by_day.setdefault(reading.on, []).append(reading)
    for on, some in sorted(by_day.items()):
        yield Logged(on, len(some), tuple(_figures(some)))


def _figures(some: list[Reading]) -> Iterator[tuple[str, float]]:
    air, humid, light = (
        [one for one in some if one.what is what]
        for what in (Quantity.AIR, Quantity.HUMIDITY, Quantity.LIGHT)
    )
    if len(air) > 1:
        yield "air_low_c", round(min(one.value for one in air), 2)
        yield "air_high_c", round(max(one.value for one in air), 2)
    elif air:
        yield "air_c", round(air[0].value, 2)
    if humid:
        yield "humidity_percent", round(sum(one.value for one in humid) / len(humid), 1)
    yield from (("light_mol", round(value, 2)) for value in _light(light))


def _light(light: list[Reading]) -> Iterator[float]:
    """Yield the sum of a day: as it was told, or of a flux that is known of every hour.

    Half a day of readings would tell half the light.
    """
    sums = [one.value for one in light if one.unit == SUM]
    flux = [one for one in light if one.unit == FLUX]
    if sums:
        yield sums[0]
    elif len({one.hour for one in flux} - {None}) == HOURS:
        yield sum(one.value for one in flux) / len(flux)
