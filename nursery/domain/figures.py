"""Figures as a crop's profile states them: ranges and curves, each with where it is from."""

from dataclasses import dataclass

from nursery.science.growth import CropCurve

MOST = 100_000.0
LONGEST_SOURCE = 200


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure or a range of them, both ends included.

    It is the grower's `own`, or has a `source`; without either it is from memory.
    """

    low: float
    high: float | None = None
    source: str | None = None
    own: bool = False

    def __post_init__(self) -> None:
        ends = [end for end in (self.low, self.high) if end is not None]
        if not all(type(end) in (int, float) and abs(end) <= MOST for end in ends):
            raise ValueError(f"a figure must be a number, not {self.low} to {self.high}")
        if self.source is not None and not 0 < len(self.source.strip()) <= LONGEST_SOURCE:
            raise ValueError(f"a source must have 1 to {LONGEST_SOURCE} characters")
        if self.low < 0 or (self.high is not None and self.high < self.low):
            raise ValueError(f"a figure must be 0 or more and rise, not {self.low} to {self.high}")

    @property
    def middle(self) -> float:
        return self.low if self.high is None else (self.low + self.high) / 2


@dataclass(frozen=True, slots=True)
class PestOf:
    """A pest to watch for; `code` only where it was seen in the EPPO's own pages."""

    name: str
    code: str | None = None


@dataclass(frozen=True, slots=True)
class Curve:
    """How a measure grows with age over all batches of a crop: mean and spread of plants.

    `error` is the spread of one measurement. Units are those of the measure.
    """

    ages_days: tuple[float, ...]
    mean: tuple[float, ...]
    spread: tuple[float, ...]
    error: float
    source: str | None = None

    def __post_init__(self) -> None:
        CropCurve(self.ages_days, self.mean, self.spread, self.error)


class Amiss(ValueError):
    """A field of a profile is missing or is not what it should be; `field` is its path."""

    def __init__(self, field: str, says: object) -> None:
        super().__init__(f"{field}: {says}")
        self.field = field
