"""Which column is what, by its heading and by what stands in it."""

import re
import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from statistics import median

from nursery.domain.weather.measures import Measure

_WORD = re.compile(r"[a-z]+|\d+")
_DAY_WORDS = {
    "date": {"date", "fecha", "datum", "day", "dia"},
    "year": {"year", "ano", "yr", "yyyy"},
    "month": {"month", "mes", "mm"},
    "day": {"day", "dia", "dd"},
}
_OTHER = {
    *("humidity", "humedad", "rh", "hr", "pressure", "presion", "radiation", "radiacion", "solar"),
    *("snow", "nieve", "dew", "rocio", "soil", "suelo", "direction", "direccion", "attributes"),
    *("mean", "avg", "average", "media", "promedio", "time", "hora", "sunshine", "cloud"),
}
_LOW = {"min", "minimum", "minima", "minimo", "low", "lowest", "tmin", "tn", "mintemp", "tempmin"}
_HIGH = {"max", "maximum", "maxima", "maximo", "high", "highest", "tmax", "tx"}
_RAIN = {"rain", "rainfall", "precipitation", "precip", "prcp", "lluvia", "precipitacion", "prec"}
_WIND = {"wind", "viento", "windspeed", "awnd", "gust", "racha"}
_EVAPORATION = {"et", "eto", "evapotranspiration", "evapotranspiracion"}
# By their order: "highest wind" is a wind, and "max" alone a temperature.
_QUANTITIES = (
    (Measure.EVAPOTRANSPIRATION, _EVAPORATION),
    (Measure.RAIN, _RAIN),
    (Measure.WIND, _WIND),
    (Measure.LOW, _LOW),
    (Measure.HIGH, _HIGH),
)
_SAID_UNITS = (
    ("fahrenheit", r"fahrenheit|°\s*f\b|\bdeg\s*f\b|[(\[_ ]f[)\]]?$"),
    ("celsius", r"celsius|centigrad|°\s*c\b|\bdeg\s*c\b|[(\[_ ]c[)\]]?$"),
    ("kmh", r"km\s*/?\s*h|kph"),
    ("ms", r"\bm\s*/\s*s\b|[(\[_ ]m\s?s[)\]]?$|[(\[_ ]mps[)\]]?$"),
    ("mph", r"mph|mi\s*/\s*h"),
    ("knot", r"\bkt\b|\bkts\b|knot|nudo"),
    ("inch", r"inch|pulgada|[(\[_ ]in[)\]]?$"),
    ("cm", r"[(\[_ ]cm[)\]]?$"),
    ("mm", r"[(\[_ ]mm[)\]]?$|milli?met"),
)
# No weather station on earth has a median of daily highs above 45 °C. (Common practice.)
_HOTTEST_MEDIAN = 45.0


@dataclass(frozen=True, slots=True)
class Column:
    """`guessed` where the heading does not say the unit, and the grower is asked."""

    place: int
    heading: str
    measure: Measure
    unit: str
    guessed: bool = False

    def as_json(self) -> dict[str, object]:
        return {
            "place": self.place,
            "heading": self.heading,
            "measure": self.measure.value,
            "unit": self.unit,
            "guessed": self.guessed,
        }


def words(heading: str) -> set[str]:
    """Return the words of a heading without accents, capitals and signs."""
    spaced = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", heading)
    plain = unicodedata.normalize("NFKD", spaced.casefold()).encode("ascii", "ignore").decode()
    return set(_WORD.findall(plain))


def measure(heading: str) -> Measure | None:
    """Return what a heading names; None where it names something that is not taken in."""
    found = words(heading)
    if found & _OTHER:
        return None
    return next((measure for measure, names in _QUANTITIES if found & names), None)


def scale(heading: str) -> str | None:
    """Return the scale of temperatures that a heading names, if any."""
    said = heading.casefold().strip()
    signs = ((name, sign) for name, sign in _SAID_UNITS if name in _SCALES)
    return next((name for name, sign in signs if re.search(sign, said)), None)


def days(headings: Sequence[str]) -> tuple[int, ...]:
    """Return the places of the date, or of year, month and day; nothing where there is neither."""
    named = [words(heading) for heading in headings]

    def place(of: str) -> int | None:
        return next((at for at, found in enumerate(named) if found & _DAY_WORDS[of]), None)

    parts = [place("year"), place("month"), place("day")]
    if None not in parts and len({*parts}) == len(parts):
        return tuple(part for part in parts if part is not None)
    whole = place("date")
    return () if whole is None else (whole,)


def unit(heading: str, measured: Measure, values: Iterable[float]) -> tuple[str, bool]:
    """Return the unit of a column, and whether that is a guess from what stands in it."""
    said = next(
        (name for name, sign in _SAID_UNITS if re.search(sign, heading.casefold().strip())), None
    )
    if said in _POSSIBLE[measured]:
        return said or "", False
    known = sorted(values)
    if measured in TEMPERATURES:
        hot = measured is Measure.HIGH and bool(known) and median(known) > _HOTTEST_MEDIAN
        return ("fahrenheit" if hot else "celsius"), True
    return ("kmh" if measured is Measure.WIND else "mm"), True


def in_one_scale(found: Iterable[Column]) -> tuple[Column, ...]:
    """Return the columns; a temperature of which nothing is said is in the scale of the other.

    Tenths of a degree are told by the layout, whatever stands beside them.
    """
    columns = tuple(found)
    temperatures = [one for one in columns if one.measure in TEMPERATURES and one.unit in _SCALES]
    said = [one.unit for one in temperatures if not one.guessed]
    hot = [one.unit for one in temperatures if one.unit == "fahrenheit"]
    scale = next(iter((*said, *hot)), "celsius")
    return tuple(
        replace(one, unit=scale) if one.guessed and one in temperatures else one for one in columns
    )


TEMPERATURES = (Measure.LOW, Measure.HIGH)
_SCALES = {"celsius", "fahrenheit"}
_POSSIBLE = {
    Measure.LOW: _SCALES,
    Measure.HIGH: _SCALES,
    Measure.RAIN: {"mm", "cm", "inch"},
    Measure.WIND: {"kmh", "ms", "mph", "knot"},
    Measure.EVAPOTRANSPIRATION: {"mm", "cm", "inch"},
}
