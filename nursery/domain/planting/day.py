"""Go, wait or no-go on a planting day: a list of checks, each with its figures (rules V-1 to V-4).

A check that nobody brought a figure for cannot be told, and is never green.
"""

from collections.abc import Callable, Collection, Iterable, Iterator
from dataclasses import asdict, dataclass, replace
from enum import StrEnum
from typing import Any

from nursery.domain.gate import LAW
from nursery.domain.kinds.shape import Name
from nursery.domain.reference import Levels
from nursery.domain.toughening import Advice, Doing


class Colour(StrEnum):
    GO = "go"
    WAIT = "wait"
    NO = "no"
    CANNOT_TELL = "cannot_tell"


@dataclass(frozen=True, slots=True)
class Block:
    """A part of the field: pits, and the row that is to shade it (None where none is wanted)."""

    id: Name
    planned: int
    pits: int | None = None
    nurse_cm: float | None = None
    nurse_wanted_cm: float | None = None


@dataclass(frozen=True, slots=True)
class Plants:
    """The plants for the day: `fit` are those at the smallest size worth planting or above it.

    `released` is None for plants that no law holds. `full_weeks` says how many weeks their pots
    have been full; less than one is not late.
    """

    fit: int
    released: int | None = None
    held: bool = False
    reentry: bool = False
    toughened: Advice | None = None
    full_weeks: int | None = None


@dataclass(frozen=True, slots=True)
class Odds:
    """So many years of weather behind a risk; an `invented` series is never told as measured."""

    years: int
    invented: bool


@dataclass(frozen=True, slots=True)
class Day:
    """The day's figures: rain, probe, forecast of the days ahead, people booked.

    The risk of a dry spell was typed, or it is of `dry_spell_odds`.
    """

    wet_to_cm: float | None = None
    wet_days_ahead: int | None = None
    dry_spell_risk: float | None = None
    high_c: float | None = None
    days_left: int | None = None
    people: int | None = None
    people_wanted: int | None = None
    wind_kmh: float | None = None
    dry_spell_odds: Odds | None = None


@dataclass(frozen=True, slots=True)
class Check:
    """One line of the list; `block` names the part of the field that it is about."""

    what: str
    colour: Colour
    params: dict[str, Any]
    block: str | None = None

    @property
    def key(self) -> str:
        """What a signature names: the check, of its block."""
        return f"{self.what}:{self.block}" if self.block else self.what

    @property
    def may_be_signed(self) -> bool:
        return self.colour is not Colour.GO and self.what not in LAW


def checks(plants: Plants, day: Day, blocks: Iterable[Block], levels: Levels) -> tuple[Check, ...]:
    """Return every check of a planting day, in the order in which growers rank them."""
    fields = tuple(blocks)
    planned = sum(block.planned for block in fields)
    return (
        *_law(plants, planned),
        _falling("soil", day.wet_to_cm, levels.wet_to_cm, levels.wet_wait_cm),
        _outlook(day, levels),
        _dry_spell(day, levels),
        _toughened(plants.toughened),
        _share("fit", plants.fit, planned, (levels.fit_go, levels.fit_wait)),
        *_pots(plants.full_weeks),
        *(one for block in fields for one in _field(block, levels)),
        _people(day),
        _rising("heat", day.high_c, levels.heat_go_c, levels.heat_no_c),
        *_wind(day.wind_kmh, levels),
        _days_left(day.days_left, levels),
    )


def verdict(found: Iterable[Check], signed: Collection[str], block: str | None = None) -> Colour:
    """Return what a day comes to for one block, or for all: the worst check that nobody signed.

    A signature counts for a check that may be signed, and for no other.
    """
    open_checks = [
        check.colour
        for check in found
        if (block is None or check.block in (None, block))
        and not (check.may_be_signed and check.key in signed)
    ]
    return max(open_checks, key=_WORST.index, default=Colour.GO)


_WORST = (Colour.GO, Colour.WAIT, Colour.CANNOT_TELL, Colour.NO)


def _law(plants: Plants, planned: int) -> Iterator[Check]:
    if plants.released is not None:
        enough = plants.released >= planned
        params = {"released": plants.released, "planned": planned}
        yield Check("released", Colour.GO if enough else Colour.NO, params)
    yield Check("holds", Colour.NO if plants.held else Colour.GO, {})
    yield Check("reentry", Colour.NO if plants.reentry else Colour.GO, {})


def _graded(
    what: str, value: float | None, colour: Callable[[float], Colour], params: dict[str, Any]
) -> Check:
    if value is None:
        return Check(what, Colour.CANNOT_TELL, params)
    return Check(what, colour(value), {**params, "value": value})


def _falling(what: str, value: float | None, go: float, wait: float) -> Check:
    """Less is worse: go at `go` or above, wait at `wait` or above."""

    def colour(known: float) -> Colour:
        return Colour.GO if known >= go else Colour.WAIT if known >= wait else Colour.NO

    return _graded(what, value, colour, {"go": go, "wait": wait})


def _rising(what: str, value: float | None, go: float, no: float) -> Check:
    """More is worse: go below `go`, no-go above `no`."""

    def colour(known: float) -> Colour:
        return Colour.GO if known < go else Colour.WAIT if known <= no else Colour.NO

    return _graded(what, value, colour, {"go": go, "no": no})


def _outlook(day: Day, levels: Levels) -> Check:
    def colour(known: float) -> Colour:
        return Colour.GO if known >= levels.wet_days else Colour.WAIT if known else Colour.NO

    return _graded("outlook", day.wet_days_ahead, colour, {"go": levels.wet_days})


def _dry_spell(day: Day, levels: Levels) -> Check:
    found = _rising("dry_spell", day.dry_spell_risk, levels.dry_spell_go, levels.dry_spell_no)
    if day.dry_spell_odds is None:
        return found
    return replace(found, params={**found.params, **asdict(day.dry_spell_odds)})


def _wind(strongest: float | None, levels: Levels) -> Iterator[Check]:
    """Wind is judged where somebody forecast it (rule V-10)."""
    if strongest is not None:
        yield _rising("wind", strongest, levels.wind_go_kmh, levels.wind_no_kmh)


def _toughened(advice: Advice | None) -> Check:
    if advice is None:
        return Check("toughened", Colour.CANNOT_TELL, {})
    params = {"step": advice.to.id, "shade": advice.to.shade_percent}
    done = advice.doing is Doing.DONE and not advice.reasons
    hurt = advice.doing is Doing.BACK
    return Check("toughened", Colour.GO if done else Colour.NO if hurt else Colour.WAIT, params)


def _share(
    what: str, have: int, of: int, levels: tuple[float, float], block: str | None = None
) -> Check:
    go, wait = levels
    colour = Colour.GO if have >= go * of else Colour.WAIT if have >= wait * of else Colour.NO
    return Check(what, colour, {"have": have, "of": of}, block)


def _pots(full_weeks: int | None) -> Iterator[Check]:
    """Roots that have circled do harm for years, yet less than a lost season: never a no-go."""
    if full_weeks is not None:
        late = full_weeks >= 1
        yield Check("pots_full", Colour.WAIT if late else Colour.GO, {"weeks": full_weeks})


def _field(block: Block, levels: Levels) -> Iterator[Check]:
    if block.pits is None:
        yield Check("pits", Colour.CANNOT_TELL, {"of": block.planned}, block.id)
    else:
        yield _share("pits", block.pits, block.planned, (1.0, levels.pits_wait), block.id)
    if block.nurse_wanted_cm is not None:
        params = {"wanted": block.nurse_wanted_cm}
        if block.nurse_cm is None:
            yield Check("nurse_row", Colour.CANNOT_TELL, params, block.id)
        else:
            tall = block.nurse_cm >= block.nurse_wanted_cm
            params["value"] = block.nurse_cm
            yield Check("nurse_row", Colour.GO if tall else Colour.WAIT, params, block.id)


def _people(day: Day) -> Check:
    if day.people is None or day.people_wanted is None:
        return Check("people", Colour.CANNOT_TELL, {})
    enough = day.people >= day.people_wanted
    params = {"have": day.people, "of": day.people_wanted}
    return Check("people", Colour.GO if enough else Colour.WAIT, params)


def _days_left(left: int | None, levels: Levels) -> Check:
    def colour(known: float) -> Colour:
        if known > levels.days_go:
            return Colour.GO
        return Colour.WAIT if known >= levels.days_wait else Colour.NO

    return _graded("days_left", left, colour, {"go": levels.days_go, "wait": levels.days_wait})
