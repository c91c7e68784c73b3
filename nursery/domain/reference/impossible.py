"""What a row cannot say: fields that contradict each other, or that nothing can meet (rule R-1)."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any

from nursery.domain.kinds.shape import LONGEST_NAME
from nursery.domain.program import CHECKS, Program
from nursery.domain.reference.checklists import Checklist, Said
from nursery.domain.reference.growing import SeedLot, Site
from nursery.domain.reference.layouts import Layout
from nursery.domain.reference.papers import Consignment, Permit
from nursery.domain.reference.people import Person
from nursery.domain.reference.planting_levels import FALLING, RISING, Levels
from nursery.domain.reference.rows import (
    Crop,
    Nursery,
    Pest,
    Place,
    PlaceKind,
    Product,
)
from nursery.domain.reference.substances import LEAST_TOXIC, LOW_RISK_NEVER, MOST_TOXIC, Substance
from nursery.domain.terms.possible import LONGEST_DAYS

# More than has ever fallen anywhere in a year.
MOST_RAIN_MM = 30_000.0
MOST_MONTHS = 120

Odd = Iterator[tuple[str, object]]


def impossible(row: Any) -> Odd:
    """Yield each field of a row that contradicts another, or that nothing can meet (rule R-1)."""
    yield from _IMPOSSIBLE.get(type(row), _nothing)(row)


def _nothing(_: Any) -> Odd:
    yield from ()


def _person(row: Person) -> Odd:
    yield from _over(row)
    if (row.pin_hash is None) != (row.pin_salt is None):
        yield "pin_salt", row.pin_salt
    for field in ("trainings", "licences"):
        for paper in getattr(row, field):
            if not paper.what.strip():
                yield f"{field}.what", paper.what
            if paper.since is not None and paper.until is not None and paper.until < paper.since:
                yield f"{field}.until", paper.until.isoformat()


def _place(row: Place) -> Odd:
    if row.parent == row.id:
        yield "parent", row.parent
    yield from _over(row)
    if row.trap_at is not None and row.kind is not PlaceKind.TRAP:
        yield "trap_at", row.trap_at
    if row.hangs_at is not None and row.kind is not PlaceKind.TRAP:
        yield "hangs_at", row.hangs_at


def _crop(row: Crop) -> Odd:
    yield from _named(row)
    yield from _over(row)
    yield from _twice("pots", [pot.container.casefold() for pot in row.pots])
    for pot in row.pots:
        if not pot.container.strip():
            yield "pots.container", pot.container
        if pot.full_days is not None and not 0 < pot.full_days <= LONGEST_DAYS:
            yield "pots.full_days", pot.full_days


def _pest(row: Pest) -> Odd:
    yield from _named(row)
    yield from _over(row)
    yield from _within(row, _OF_A_PEST)
    if row.develops is not None:
        yield from ((f"develops.{field}", value) for field, value in row.develops.impossible())


def _named(row: Pest | Crop) -> Odd:
    """Of rows that people choose by their names, in the languages that somebody wrote."""
    if not row.name.strip() or len(row.name) > LONGEST_NAME:
        yield "name", row.name
    yield from _said("called", row.called)


def _said(field: str, texts: Sequence[Said]) -> Odd:
    yield from _twice(f"{field}.language", [one.language for one in texts])
    for one in texts:
        if not one.text.strip():
            yield f"{field}.text", one.text


def _over(row: Any) -> Odd:
    if row.since and row.until and row.until < row.since:
        yield "until", row.until


def _permit(row: Permit) -> Odd:
    if row.valid_from and row.valid_to and row.valid_to < row.valid_from:
        yield "valid_to", row.valid_to
    yield from _twice("terms", [term.id for term in row.terms])


def _consignment(row: Consignment) -> Odd:
    if row.without_conditions and row.permit is not None:
        yield "without_conditions", row.permit
    yield from _twice("lines", [line.id for line in row.lines])


def _checklist(row: Checklist) -> Odd:
    yield from _over(row)
    if not row.name.strip():
        yield "name", row.name
    if not row.items:
        yield "items", 0
    yield from _twice("items", [item.id for item in row.items])
    for item in row.items:
        if not item.says:
            yield "items.says", item.id
        yield from _said("items.says", item.says)


def _product(row: Product) -> Odd:
    if not row.name.strip() or len(row.name) > LONGEST_NAME:
        # Records of treatments name it so.
        yield "name", row.name
    if row.reentry_hours is not None and not 0 <= row.reentry_hours <= LONGEST_DAYS * 24:
        yield "reentry_hours", row.reentry_hours
    if row.interval_days is not None and row.interval_days > LONGEST_DAYS:
        yield "interval_days", row.interval_days
    for field in ("litres_per_m2", "per_litre"):
        rate = getattr(row, field)
        if rate is not None and rate <= 0:
            yield field, rate
    yield from _twice("substances", [one.name.casefold() for one in row.substances])
    for one in row.substances:
        yield from _substance(one)
        if row.low_risk and one.category in LOW_RISK_NEVER:
            yield "low_risk", True
    yield from _over(row)


def _substance(row: Substance) -> Odd:
    for field in ("dermal", "eye", "skin", "oral"):
        category = getattr(row, field)
        if category is not None and not MOST_TOXIC <= category <= LEAST_TOXIC:
            yield f"substances.{field}", category


def _nursery(row: Nursery) -> Odd:
    if not row.languages:
        yield "languages", 0
    if row.rain_mm is not None and not 0 <= row.rain_mm <= MOST_RAIN_MM:
        yield "rain_mm", row.rain_mm
    if row.ends_days > LONGEST_DAYS:
        yield "ends_days", row.ends_days
    if not 1 <= row.access_months <= MOST_MONTHS:
        yield "access_months", row.access_months
    if not 1 <= row.trap_late_days <= LONGEST_DAYS:
        yield "trap_late_days", row.trap_late_days
    for field, value in row.label.impossible():
        yield f"label.{field}", value


def _twice(field: str, names: Sequence[str]) -> Odd:
    for name in names:
        if names.count(name) > 1:
            yield field, name


def _within(row: Any, spans: Mapping[str, tuple[float, float]]) -> Odd:
    for field, (least, most) in spans.items():
        value = getattr(row, field)
        if value is not None and not least <= value <= most:
            yield field, value


def _layout(row: Layout) -> Odd:
    yield from row.impossible()
    yield from _over(row)


_OF_A_PEST = {"noticed": (0.0001, 1), "seen": (0.01, 1)}
_OF_SEED = {
    "moisture_percent": (0, 100),
    "germination_percent": (0, 100),
    "seeds_per_kg": (1, 1e9),
    "grams": (0, 1e9),
}
_OF_A_SITE = {
    "latitude": (-90, 90),
    "elevation_m": (-500, 9000),
    "hole_cm": (5, 300),
    "root_cm": (5, 300),
    "follow_up_days": (1, 366),
    "hot_c": (-20, 60),
    "windy_kmh": (0, 500),
    "sunshine": (0, 1),
    "fit_share": (0.01, 1),
    "plants_per_day": (1, 1_000_000),
    "cost_plant": (0, 1e9),
    "cost_hour": (0, 1e9),
    "cost_pot": (0, 1e9),
}
_OF_RAINS = {
    "amount_mm": (0.1, 1000),
    "within_days": (1, 60),
    "dry_days": (1, 366),
    "ahead_days": (1, 366),
}


def _seed_lot(row: SeedLot) -> Odd:
    if not row.name.strip() or len(row.name) > LONGEST_NAME:
        yield "name", row.name
    yield from _within(row, _OF_SEED)
    yield from _over(row)


_OF_LEVELS = {
    "wet_to_cm": (0, 300),
    "wet_wait_cm": (0, 300),
    "wet_days": (1, 10),
    "wet_day_mm": (0.1, 100),
    "heat_go_c": (-20, 60),
    "heat_no_c": (-20, 60),
    "wind_go_kmh": (0, 500),
    "wind_no_kmh": (0, 500),
    **dict.fromkeys(("dry_spell_go", "dry_spell_no", "fit_go", "fit_wait", "pits_wait"), (0, 1)),
    "days_go": (0, 366),
    "days_wait": (0, 366),
}


def _site(row: Site) -> Odd:
    yield from _within(row, _OF_A_SITE)
    yield from ((f"rains.{field}", value) for field, value in _within(row.rains, _OF_RAINS))
    yield from ((f"planting.{field}", value) for field, value in _levels(row.planting))


def _levels(levels: Levels) -> Odd:
    """Yield a level that no figure can meet, or by which wait would be better than go."""
    yield from _within(levels, _OF_LEVELS)
    for high, low in (*FALLING, *RISING):
        if getattr(levels, high) < getattr(levels, low):
            yield high, getattr(levels, high)


_OF_LIMITS = {
    "scorch_share": (0, 1),
    "wilt_share": (0, 1),
    "heat_c": (-20, 60),
    "heat_above_mean_c": (0, 60),
    "wind_kmh": (0, 500),
    "cold_c": (-60, 40),
}
_OF_A_STEP = {"days": (1, 366), "sun_hours": (0, 24), "water_every_days": (0.1, 60)}


def _program(row: Program) -> Odd:
    yield from _over(row)
    if not row.name.strip() or len(row.name) > LONGEST_NAME:
        yield "name", row.name
    for step in row.steps:
        yield from ((f"steps.{field}", value) for field, value in _within(step, _OF_A_STEP))
        yield from (("steps.checks", one) for one in step.checks if one not in CHECKS)
    yield from ((f"limits.{field}", value) for field, value in _within(row.limits, _OF_LIMITS))


_IMPOSSIBLE: Mapping[type, Callable[[Any], Odd]] = {
    Person: _person,
    Place: _place,
    Crop: _crop,
    Pest: _pest,
    Permit: _permit,
    Consignment: _consignment,
    Checklist: _checklist,
    Product: _product,
    Nursery: _nursery,
    SeedLot: _seed_lot,
    Site: _site,
    Program: _program,
    Layout: _layout,
}
