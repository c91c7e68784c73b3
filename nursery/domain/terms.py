"""The terms of a permit or of the nursery's own rules: data with a date and a source.

No number of the trade stands in code. A term says since when it holds, from which text it comes,
and whether it reaches consignments whose clock runs already; `in_force` picks what applies.
"""

from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass
from datetime import date
from enum import StrEnum
from typing import Any, TypeVar, cast

from nursery.domain.kinds.shape import Count, Misfit, Name, reader_of


@dataclass(frozen=True, slots=True)
class GrowingDays:
    """Days of growth in quarantine; release is possible from the morning of day `days`."""

    days: Count


@dataclass(frozen=True, slots=True)
class Inspection:
    """One official inspection that the release rests on."""

    number: Count
    active_growth: bool = False
    most_days_before_release: Count | None = None
    all_plants: bool = True


@dataclass(frozen=True, slots=True)
class LookOver:
    """The nursery's own look-over of each batch, every `every_days` days.

    Without `every_days` it is once a calendar week, Monday to Sunday.
    """

    every_days: Count | None = None


class Area(StrEnum):
    """Which area of a room a rule counts."""

    FLOOR = "floor"
    BENCH = "bench"


@dataclass(frozen=True, slots=True)
class Traps:
    """How many traps a room needs: one for each `m2_per_trap` begun, and more at its openings."""

    m2_per_trap: float
    area: Area
    per_door: Count
    per_vent: Count


@dataclass(frozen=True, slots=True)
class TrapReading:
    """Each trap is read every `every_days` days, or once a calendar week.

    A trap that could not be read is replaced within `replace_within_days` days.
    """

    every_days: Count | None = None
    replace_within_days: Count | None = None


@dataclass(frozen=True, slots=True)
class Reading:
    """An instrument is read at each place every `every_days` days, or once a calendar week."""

    what: Name
    every_days: Count | None = None


@dataclass(frozen=True, slots=True)
class Consent:
    """Acts that need the authority's consent before they are done in quarantine."""

    acts: tuple[Name, ...]


@dataclass(frozen=True, slots=True)
class MostPlants:
    """The largest number of plants that the permit lets in."""

    plants: Count


@dataclass(frozen=True, slots=True)
class LookBack:
    """How far back an exposed set reaches: `days` before the find.

    Without `days` it reaches back to the last clean look-over.
    """

    days: Count | None = None


@dataclass(frozen=True, slots=True)
class AllOut:
    """All in, all out: after cleaning the room stays empty for so many hours."""

    empty_hours: Count


@dataclass(frozen=True, slots=True)
class KeptForOfficer:
    """Plants of these fates are kept in the officer's bag until they have been seen."""

    fates: tuple[Name, ...]


@dataclass(frozen=True, slots=True)
class Listed:
    """Pests, by id, that the permit or the authority lists. A listing applies to finds at once."""

    pests: tuple[Name, ...]


@dataclass(frozen=True, slots=True)
class GateAge:
    """So many hours after it was worked out, a phone's answer to "may I?" is worth nothing."""

    hours: Count


@dataclass(frozen=True, slots=True)
class RecordsKept:
    """Records are kept for so many years after the last event."""

    years: Count


Rule = (
    GrowingDays
    | Inspection
    | LookOver
    | Traps
    | TrapReading
    | Reading
    | Consent
    | MostPlants
    | LookBack
    | AllOut
    | KeptForOfficer
    | Listed
    | GateAge
    | RecordsKept
)

RULES: Mapping[str, type] = {
    "growing_days": GrowingDays,
    "inspection": Inspection,
    "look_over": LookOver,
    "traps": Traps,
    "trap_reading": TrapReading,
    "reading": Reading,
    "consent": Consent,
    "most_plants": MostPlants,
    "look_back": LookBack,
    "all_out": AllOut,
    "kept_for_officer": KeptForOfficer,
    "listed": Listed,
    "gate_age": GateAge,
    "records_kept": RecordsKept,
}

CODES: Mapping[type, str] = {cls: code for code, cls in RULES.items()}

_READERS = {code: reader_of(cls) for code, cls in RULES.items()}


@dataclass(frozen=True, slots=True)
class Term:
    """One rule with its date and its source.

    `id` is unique in the nursery and stays with the term: due checks are named after it.
    """

    id: str
    rule: Rule
    since: date
    source: str
    reaches_running: bool = False

    @property
    def code(self) -> str:
        return CODES[type(self.rule)]

    def as_json(self) -> dict[str, Any]:
        says = {name: value for name, value in asdict(self.rule).items() if value is not None}
        return {
            "id": self.id,
            "rule": self.code,
            "says": {k: list(v) if isinstance(v, tuple) else v for k, v in says.items()},
            "since": self.since.isoformat(),
            "source": self.source,
            "reaches_running": self.reaches_running,
        }


@dataclass(frozen=True, slots=True)
class _Frame:
    """The outside of a term, as it is written."""

    id: Name
    rule: Name
    since: date
    source: str
    reaches_running: bool = False


_frame = reader_of(_Frame)


def read(raw: object) -> Term:
    """Return the term that decoded JSON `raw` holds, in the form of `Term.as_json`.

    Raises:
        Misfit: a field is missing or is not what it should be; names the field by its path.
    """
    if not isinstance(raw, Mapping):
        raise Misfit("term")
    frame: _Frame = _frame(raw)
    reader, says = _READERS.get(frame.rule), raw.get("says", {})
    if reader is None:
        raise Misfit("rule")
    if not isinstance(says, Mapping):
        raise Misfit("says")
    try:
        rule = _possible(reader(says))
    except Misfit as misfit:
        raise Misfit(f"says.{misfit}") from None
    return Term(frame.id, rule, frame.since, frame.source, frame.reaches_running)


def _possible(rule: Rule) -> Rule:
    """Turn down what no calendar and no room can meet: an interval or a share of nothing."""
    if getattr(rule, "every_days", None) == 0:
        raise Misfit("every_days")
    if isinstance(rule, Traps) and not rule.m2_per_trap > 0:
        raise Misfit("m2_per_trap")
    return rule


R = TypeVar("R")


def in_force(
    terms: Iterable[Term], rule: type[R], started_on: date, on: date
) -> tuple[tuple[Term, R], ...]:
    """Return the terms of one rule that apply on a day to plants whose clock started on a day.

    The term in force when the clock started applies, unless a newer one says that it reaches
    consignments already inside and holds by `on` (rules T-1, T-2). There is one inspection for each
    number, one reading for each figure, and at most one of any other rule.
    """
    best: dict[str, Term] = {}
    for term in terms:
        reaches = term.since <= started_on or (term.reaches_running and term.since <= on)
        if isinstance(term.rule, rule) and reaches:
            name = _for(term.rule)
            rival = best.get(name)
            if rival is None or (rival.since, rival.id) < (term.since, term.id):
                best[name] = term
    return tuple((best[name], cast("R", best[name].rule)) for name in sorted(best))


def _for(rule: Rule) -> str:
    match rule:
        case Inspection(number=number):
            return f"{number:09d}"
        case Reading(what=what):
            return what
        case _:
            return ""


def listed(terms: Iterable[Term], on: date) -> frozenset[str]:
    """Return the pests listed on a day: every listing counts from its date on (rule T-3)."""
    return frozenset(
        pest
        for term in terms
        if isinstance(term.rule, Listed) and term.since <= on
        for pest in term.rule.pests
    )
