"""Rules that the release rests on: days, warmth, visits, tests, consents, quantity.

Rules are data: every number in them was typed from a text, and a rule says nothing by itself until
a `Term` gives it a date and a source.
"""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from nursery.domain.kinds.shape import Count, Name


@dataclass(frozen=True, slots=True)
class GrowingDays:
    """Days of growth in quarantine; release is possible from the morning of day `days`."""

    days: Count


@dataclass(frozen=True, slots=True)
class QualifyingDays:
    """Only days count on which the room was as the text wants it, such as warm enough to show.

    `what` is the figure read in the room, of air or of growth; a day qualifies if the middle of its
    lowest and highest lies from `least` to `most`. Asked are so many `days` of them, or such a
    `share` of all days since the clock began, or both.
    """

    what: Name
    least: float | None = None
    most: float | None = None
    days: Count | None = None
    share: float | None = None


class Method(StrEnum):
    """How the warmth of a day is worked out from its lowest and highest temperature."""

    AVERAGE = "average"
    AVERAGE_CLIPPED = "average_clipped"
    SINGLE_TRIANGLE = "single_triangle"
    SINGLE_SINE = "single_sine"


class Cutoff(StrEnum):
    """What warmth above the upper threshold does to the pest."""

    HORIZONTAL = "horizontal"
    INTERMEDIATE = "intermediate"
    VERTICAL = "vertical"


@dataclass(frozen=True, slots=True)
class Generations:
    """The room was warm enough for so many generations of a pest since the clock began.

    Thresholds are in °C; `degree_days` is the warmth of one generation above the lower one.
    """

    pest: Name
    number: Count
    degree_days: float
    lower: float
    upper: float | None = None
    cutoff: Cutoff = Cutoff.HORIZONTAL
    method: Method = Method.SINGLE_SINE


@dataclass(frozen=True, slots=True)
class Inspection:
    """One official inspection that the release rests on."""

    number: Count
    active_growth: bool = False
    most_days_before_release: Count | None = None
    all_plants: bool = True


@dataclass(frozen=True, slots=True)
class LabTest:
    """A test that must be negative for release.

    Without `laboratories` any will do. The sample is taken since the clock began, and at most so
    many days before the release.
    """

    number: Count
    test: Name
    pest: Name | None = None
    laboratories: tuple[Name, ...] = ()
    most_days_before_release: Count | None = None


@dataclass(frozen=True, slots=True)
class DaysOff:
    """Days on which the authority issues nothing: of each week (1 is Monday), and by their date.

    Of those `yearly` only day and month count: they come again each year.
    """

    weekdays: tuple[Count, ...] = ()
    days: tuple[date, ...] = ()
    yearly: tuple[date, ...] = ()


@dataclass(frozen=True, slots=True)
class Consent:
    """Acts that need the authority's consent before they are done in quarantine."""

    acts: tuple[Name, ...]


@dataclass(frozen=True, slots=True)
class MostPlants:
    """The largest number of plants that the permit lets in."""

    plants: Count


@dataclass(frozen=True, slots=True)
class RecordsKept:
    """Records are kept for so many years after the last event."""

    years: Count
