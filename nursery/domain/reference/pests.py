"""What looking and warmth ask of a pest: how much of it is to be noticed, and how it develops."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

# Where nobody set it, looking is to notice a pest that two plants in a hundred have, and sees it on
# each plant that has it. (Common practice, no source.)
USUAL_NOTICED = 0.02
USUAL_SEEN = 1.0

COLDEST_C, HOTTEST_C = -20.0, 60.0
MOST_DEGREE_DAYS = 10_000.0


@dataclass(frozen=True, slots=True)
class Development:
    """How warmth carries a pest: thresholds in °C, degree-days of one generation, and from where.

    Above `upper_c` it goes on at that threshold's rate. Counting begins with the day `biofix`, the
    first on which it was caught or seen in the season.
    """

    lower_c: float
    generation_dd: float
    source: str
    upper_c: float | None = None
    biofix: date | None = None

    def impossible(self) -> Iterator[tuple[str, object]]:
        """Yield each field that nothing can meet, or that contradicts another."""
        if not COLDEST_C <= self.lower_c <= HOTTEST_C:
            yield "lower_c", self.lower_c
        if self.upper_c is not None and not self.lower_c < self.upper_c <= HOTTEST_C:
            yield "upper_c", self.upper_c
        if not 1 <= self.generation_dd <= MOST_DEGREE_DAYS:
            yield "generation_dd", self.generation_dd
        if not self.source.strip():
            yield "source", self.source
