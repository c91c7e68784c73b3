"""Crop profiles: what a grower starts from, each figure with its source, all of it editable.

A profile is no rule. A grower's copy is a row of its own and never changes under them; a figure
without a source is from memory, unless it is the grower's own (rules X-1 to X-4).
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import Any

from nursery.domain.figures import LONGEST_SOURCE, Amiss, Curve, Figure, PestOf
from nursery.domain.kinds.shape import Count, Name
from nursery.domain.program import (
    AS_BEFORE,
    LEAST_DAYS,
    NO_FEED,
    NO_NITROGEN,
    PESTS,
    ROOTS,
    SCORCH,
    USUAL_LIMITS,
    WILT,
    Limits,
    Program,
    Step,
    Wind,
)

# Measures that a smallest size is given in; the unit is in the name.
MEASURES = ("height_cm", "collar_mm", "flushes", "leaves", "leaf_pairs", "nodes")
# What plants of the crop grow between, and below what cold hurts them, in degrees Celsius.
WARMTHS = ("growth_from", "growth_to", "chill_below")
STAGES = ("stratification", "germination", "rooting", "union", "weaning")
WAYS = ("seed", "cuttings", "grafted", "budded", "tissue_culture")
OUTDOORS = (Wind.SIDES_OPEN_HOURS, Wind.SIDES_OPEN, Wind.LEE, Wind.EXPOSED)
# From this shade on plants stand in the nursery's half light. (Rule of thumb, from memory.)
HALF_SHADE = 45.0
# What grows in such cold comes from lands with frost. (Common sense, no source.)
COLD_LANDS_FROM = 5.0


__all__ = ["Amiss", "Curve", "Figure", "PestOf", "Profile", "read"]


@dataclass(frozen=True, slots=True)
class Profile:
    """What is known of a crop. `spacing_m` holds pairs: in the row, and between rows.

    `water_days` says for each step of shade how long plants wait for water; `warmth_c` between
    what they grow and below what cold hurts them; `stages` hold weeks, as `nursery_weeks`, which
    are those from sowing, sticking or deflasking to planting.
    """

    id: Name
    name: Mapping[str, str]
    botanical: str
    made_by: str
    nursery_weeks: Figure
    least: Mapping[str, Figure]
    shade: tuple[float, ...]
    toughening_weeks: Figure
    litres: Figure
    stages: Mapping[str, Figure] = field(default_factory=lambda: MappingProxyType({}))
    spacing_m: tuple[tuple[Figure, Figure], ...] = ()
    pests: tuple[PestOf, ...] = ()
    shade_source: str | None = None
    shade_own: bool = False
    water_days: tuple[Figure, ...] = ()
    warmth_c: Mapping[str, Figure] = field(default_factory=lambda: MappingProxyType({}))
    container: str | None = None
    growth: Mapping[str, Curve] = field(default_factory=lambda: MappingProxyType({}))

    def __post_init__(self) -> None:
        if self.made_by not in WAYS:
            raise ValueError(f"made_by must be one of {', '.join(WAYS)}, not {self.made_by}")
        if not self.least or not {*self.least} <= {*MEASURES}:
            raise ValueError(f"least must be of {', '.join(MEASURES)}, not {[*self.least]}")
        if not {*self.warmth_c} <= {*WARMTHS}:
            raise ValueError(f"warmth_c must be of {', '.join(WARMTHS)}, not {[*self.warmth_c]}")
        if not {*self.stages} <= {*STAGES}:
            raise ValueError(f"stages must be of {', '.join(STAGES)}, not {[*self.stages]}")
        _warmth(self.warmth_c)
        try:
            self.program()
        except ValueError as odd:
            raise ValueError(f"shade {odd}") from None
        if len(self.water_days) not in (0, len(self.shade)):
            raise ValueError(f"water_days must be one for each shade, not {len(self.water_days)}")

    @property
    def from_memory(self) -> int:
        """How many figures are neither the grower's own nor have a source.

        Shades are one, and so is each curve that is not the crop's own.
        """
        pairs = [figure for pair in self.spacing_m for figure in pair]
        known = [self.nursery_weeks, self.toughening_weeks, self.litres, *pairs, *self.water_days]
        known += [*self.least.values(), *self.stages.values(), *self.warmth_c.values()]
        shades = self.shade_source is None and not self.shade_own
        figures = sum(figure.source is None and not figure.own for figure in known)
        return shades + len(self.usual_curves) + figures

    @property
    def usual_curves(self) -> tuple[str, ...]:
        """The measures with a smallest size of which no curve was typed: it is from memory."""
        return tuple(
            name for name, of in self.least.items() if of.low > 0 and name not in self.growth
        )

    def program(self) -> Program:
        """Return a program of toughening to start from: the profile's shades, evenly in time."""
        between = max(1, len(self.shade) - 1)
        days = Count(max(LEAST_DAYS, int(self.toughening_weeks.low * 7 / between)))
        winds = (Wind.STILL, *OUTDOORS[max(0, len(OUTDOORS) - between) :])
        steps = tuple(
            Step(
                Name(f"shade_{shade:g}"),
                shade,
                days,
                water_every_days=self.water_days[n].middle if n < len(self.water_days) else None,
                wind=winds[min(n, len(winds) - 1)],
                feed=_fed(n, shade, len(self.shade)),
                checks=_checks(n, shade, len(self.shade)),
            )
            for n, shade in enumerate(self.shade)
        )
        name = self.name.get("en", self.id)
        return Program(self.id, name, steps, "crop profile", _limits(self.warmth_c))


def _limits(warmth: Mapping[str, Figure]) -> Limits:
    """Return the usual limits, with the cold that hurts this crop; some it does not (rule U-12)."""
    chill, growth = warmth.get("chill_below"), warmth.get("growth_from")
    if chill is not None:
        return replace(USUAL_LIMITS, cold_c=chill.middle)
    return replace(USUAL_LIMITS, tropical=growth is None or growth.middle > COLD_LANDS_FROM)


def _fed(n: int, shade: float, steps: int) -> str | None:
    """Return how a step is fed: as before, then without nitrogen, then not (rule U-12)."""
    if steps == 1:
        return None
    if n == 0:
        return AS_BEFORE
    return NO_NITROGEN if shade >= HALF_SHADE else NO_FEED


def _checks(n: int, shade: float, steps: int) -> tuple[Name, ...]:
    """Return what a step is checked for; the first is where plants stood before (rule U-12).

    Leaves are counted wherever there is more sun than before. Roots are pulled in half shade and
    before planting, plants are left to wilt when they first stand outside, and looked over at last.
    """
    if n == 0:
        return ()
    if n == steps - 1:
        return (SCORCH, ROOTS, PESTS)
    return (SCORCH, ROOTS) if shade >= HALF_SHADE else (SCORCH, WILT)


def read(raw: Mapping[str, Any]) -> Profile:
    """Return the profile that JSON holds.

    Raises:
        Amiss: something is missing that every profile has, or a figure, a way of making plants,
            a measure or a shade that cannot be.
    """
    got = {
        name: _part(raw[name], reader, name) for name, reader in _PARTS.items() if _there(raw, name)
    }
    missing = [name for name in NEEDED if name not in got]
    if missing:
        raise Amiss(missing[0], "missing")
    try:
        return Profile(**got)
    except ValueError as odd:
        named = str(odd).partition(" ")[0]
        raise Amiss(named, odd) from None


def _there(raw: Mapping[str, Any], name: str) -> bool:
    return raw.get(name) is not None


def _part(value: Any, reader: Callable[[Any, str], Any], path: str) -> Any:
    try:
        return reader(value, path)
    except Amiss:
        raise
    except (KeyError, TypeError, ValueError, AttributeError) as odd:
        raise Amiss(path, odd) from None


def _text(raw: Any, _: str) -> str:
    if not isinstance(raw, str) or not 0 < len(raw.strip()) <= LONGEST_SOURCE:
        raise ValueError(f"must have 1 to {LONGEST_SOURCE} characters")
    return raw


def _flag(raw: Any, _: str) -> bool:
    if not isinstance(raw, bool):
        raise TypeError("must be true or false")
    return raw


def _names(raw: Any, path: str) -> Mapping[str, str]:
    return MappingProxyType({name: _text(text, path) for name, text in raw.items()})


def _shade(raw: Any, _: str) -> tuple[float, ...]:
    if not all(type(one) in (int, float) for one in raw):
        raise TypeError("must be numbers")
    return tuple(raw)


def _figure(raw: Any, _: str) -> Figure:
    return Figure(**raw)


def _figures(raw: Any, path: str) -> Mapping[str, Figure]:
    return MappingProxyType(
        {name: _part(one, _figure, f"{path}.{name}") for name, one in raw.items()}
    )


def _row(raw: Any, path: str) -> tuple[Figure, ...]:
    return tuple(_part(one, _figure, f"{path}.{n}") for n, one in enumerate(raw))


def _spacing(raw: Any, path: str) -> tuple[tuple[Figure, Figure], ...]:
    pairs = [_row(pair, f"{path}.{n}") for n, pair in enumerate(raw)]
    return tuple((row, rows) for row, rows in pairs)


def _pests(raw: Any, _: str) -> tuple[PestOf, ...]:
    return tuple(PestOf(**one) for one in raw)


def _growth(raw: Any, path: str) -> Mapping[str, Curve]:
    return MappingProxyType(
        {name: _part(one, _curve, f"{path}.{name}") for name, one in raw.items()}
    )


def _warmth(known: Mapping[str, Figure]) -> None:
    low, high = known.get("growth_from"), known.get("growth_to")
    if low is not None and high is not None and high.middle <= low.middle:
        raise ValueError(f"warmth_c must rise, not from {low.middle} to {high.middle}")


def _curve(raw: Any, _: str) -> Curve:
    rows = {name: tuple(map(float, raw[name])) for name in ("ages_days", "mean", "spread")}
    return Curve(**rows, error=float(raw["error"]), source=raw.get("source"))


NEEDED = (
    *("id", "name", "botanical", "made_by", "nursery_weeks"),
    *("least", "shade", "toughening_weeks", "litres"),
)
_PARTS: Mapping[str, Callable[[Any, str], Any]] = {
    "id": _text,
    "name": _names,
    "botanical": _text,
    "made_by": _text,
    "nursery_weeks": _figure,
    "least": _figures,
    "shade": _shade,
    "toughening_weeks": _figure,
    "litres": _figure,
    "stages": _figures,
    "spacing_m": _spacing,
    "pests": _pests,
    "shade_source": _text,
    "shade_own": _flag,
    "water_days": _row,
    "warmth_c": _figures,
    "container": _text,
    "growth": _growth,
}
