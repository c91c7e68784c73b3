"""Bodies about what the authority decides: typed from its paper by the grower, with a photo."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from nursery.domain.kinds.count import Share
from nursery.domain.kinds.shape import Count, Name


@dataclass(frozen=True, slots=True)
class Opened:
    """The legal clock began on a day that the authority named; without it arrival is day 0."""

    on: date
    permit: Name
    paper: Name | None = None
    photo: Name | None = None


class Act(StrEnum):
    DESTROY = "destroy"
    TREAT = "treat"
    EXTEND = "extend"
    RESTART = "restart"
    HOLD = "hold"
    LIFT = "lift"
    LOOK = "look"


@dataclass(frozen=True, slots=True)
class Ordered:
    """One act of an order; an order with several acts is several entries of one reference.

    While a hold stands that `admits` people, nobody else may go in. `looks_on` are the days on
    which all plants are to be looked over; `due_on` is the last day for what is ordered.
    `count` is how many plants are to be destroyed, where that is not all of them.
    """

    act: Act
    reference: Name
    photo: Name | None = None
    days: Count | None = None
    times: Count | None = None
    interval_days: Count | None = None
    after_treatment: Count | None = None
    not_before: date | None = None
    lifts: Name | None = None
    admits: tuple[Name, ...] = ()
    looks_on: tuple[date, ...] = ()
    due_on: date | None = None
    count: Count | None = None


@dataclass(frozen=True, slots=True)
class Accepted:
    """The authority's permission or acceptance: potting, a week not done, a person let in again."""

    what: Name
    reference: Name
    photo: Name | None = None
    person: Name | None = None
    week_of: date | None = None


@dataclass(frozen=True, slots=True)
class Released:
    """The notice that opens the room, with what the person was shown when typing it."""

    notice: Name
    count: Count
    plants: tuple[Share, ...] = ()
    conditions: str | None = None
    photo: Name | None = None
    shown_earliest: date | None = None
    shown_rule: Name | None = None
