"""What is measured each day, and in which units files bear it."""

from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType


class Measure(StrEnum):
    LOW = "low_c"
    HIGH = "high_c"
    RAIN = "rain_mm"
    WIND = "wind_kmh"
    EVAPOTRANSPIRATION = "evapotranspiration_mm"


@dataclass(frozen=True, slots=True)
class Unit:
    """`value * factor + offset` is the value in the unit that the book keeps."""

    factor: float
    offset: float = 0.0

    def kept(self, value: float) -> float:
        return value * self.factor + self.offset


@dataclass(frozen=True, slots=True)
class Span:
    """What no weather on record lies outside of, in the unit that the book keeps.

    Source: the extremes list of the World Meteorological Organization, from memory (-89.2 and
    56.7 °C; 1 825 mm in a day; a gust of 408 km/h), rounded outward.
    """

    least: float
    most: float

    def holds(self, value: float) -> bool:
        return self.least <= value <= self.most


_TEMPERATURE = {
    "celsius": Unit(1.0),
    "tenth_celsius": Unit(0.1),
    "fahrenheit": Unit(5 / 9, -160 / 9),
}
_WATER = {
    "mm": Unit(1.0),
    "tenth_mm": Unit(0.1),
    "cm": Unit(10.0),
    "inch": Unit(25.4),
}
_SPEED = {
    "kmh": Unit(1.0),
    "ms": Unit(3.6),
    "tenth_ms": Unit(0.36),
    "mph": Unit(1.609344),
    "knot": Unit(1.852),
}
UNITS = MappingProxyType(
    {
        Measure.LOW: _TEMPERATURE,
        Measure.HIGH: _TEMPERATURE,
        Measure.RAIN: _WATER,
        Measure.WIND: _SPEED,
        Measure.EVAPOTRANSPIRATION: _WATER,
    }
)
SPANS = MappingProxyType(
    {
        Measure.LOW: Span(-90.0, 60.0),
        Measure.HIGH: Span(-90.0, 60.0),
        Measure.RAIN: Span(0.0, 2000.0),
        Measure.WIND: Span(0.0, 500.0),
        Measure.EVAPOTRANSPIRATION: Span(0.0, 30.0),
    }
)
