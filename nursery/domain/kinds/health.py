"""Bodies about looking, finding, sampling and treating."""

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from nursery.domain.kinds.common import Sheet
from nursery.domain.kinds.shape import Count, Name


class Answer(StrEnum):
    """The three answers of a look. A nil result is proof; a blank is not."""

    NOT_LOOKED = "not_looked"
    NOTHING = "nothing"
    FOUND = "found"


@dataclass(frozen=True, slots=True)
class Item:
    """One line of a checklist: how many plants were looked at for it."""

    item: Name
    answer: Answer
    plants: Count | None = None


@dataclass(frozen=True, slots=True)
class Looked:
    """The nursery's own look-over of one batch."""

    answer: Answer
    plants: Count | None = None
    minutes: float | None = None
    checklist: Name | None = None
    version: Count | None = None
    items: tuple[Item, ...] = ()
    check: Name | None = None
    why: str | None = None
    sheet: Sheet | None = None


@dataclass(frozen=True, slots=True)
class Inspected:
    """An official inspection."""

    inspector: Name
    answer: Answer
    plants: Count
    active_growth: bool = False
    paper: Name | None = None
    photo: Name | None = None


@dataclass(frozen=True, slots=True)
class Found:
    """A pest, a symptom or "don't know". A suspicion starts a hold in quarantine.

    In the field the row is the subject, and `positions` of it are those of the plants that have it.
    """

    suspicion: bool
    pest: Name | None = None
    symptom: str | None = None
    part: Name | None = None
    tag: Name | None = None
    plants: Count | None = None
    per_leaf: float | None = None
    photos: tuple[Name, ...] = ()
    sheet: Sheet | None = None
    positions: tuple[Name, ...] = ()


@dataclass(frozen=True, slots=True)
class Sampled:
    """Material sent to a laboratory. A whole plant also leaves by a loss of fate sampled.

    On `result_due` the laboratory is to have answered.
    """

    sample: Name
    plants: Count
    whole: bool = False
    part: Name | None = None
    laboratory: Name | None = None
    found: Name | None = None
    test: Name | None = None
    result_due: date | None = None


class Verdict(StrEnum):
    REPORTED = "reported"
    PRESUMPTIVE = "presumptive"
    CONFIRMED = "confirmed"
    NEGATIVE = "negative"


@dataclass(frozen=True, slots=True)
class Resulted:
    sample: Name
    verdict: Verdict
    pest: Name | None = None
    paper: Name | None = None
    photo: Name | None = None


@dataclass(frozen=True, slots=True)
class Treated:
    """Product applied to batches and places; `reentry_until` stands here, worked out once."""

    product: Name
    started_at: datetime
    ended_at: datetime
    reentry_until: datetime | None = None
    active: str | None = None
    registration: str | None = None
    rate: str | None = None
    litres: float | None = None
    area_m2: float | None = None
    batch_number: str | None = None
    operator: Name | None = None
    licence: str | None = None
    told: tuple[Name, ...] = ()
    sign_posted_at: datetime | None = None
    order: Name | None = None


@dataclass(frozen=True, slots=True)
class Told:
    """Somebody was notified."""

    who: Name
    how: Name
    what: Name
    reference: str | None = None
