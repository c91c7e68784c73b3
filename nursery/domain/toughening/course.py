"""How far a batch has come on its program of toughening, as its records tell it (rules U-6 to U-9).

Nothing says on which step a batch stands but its own records: each `stepped` leads to a shade, and
the program's step with that shade is where it stands. What was counted since the step began, and
what is forecast, then say what to do.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from typing import Any

from nursery.domain.batch import Batch
from nursery.domain.book import Book
from nursery.domain.kinds import life
from nursery.domain.kinds import place as rooms
from nursery.domain.kinds.health import Answer
from nursery.domain.program import PESTS, ROOTS, SCORCH, WILT, Program, Step
from nursery.domain.record import Happening, Look
from nursery.domain.toughening.advice import Advice, Seen, Sky, Standing, advise

FORWARD, STAY, BACK = "forward", "stay", "back"
# A step is looked at for as long as the next one waits at least; the mean is of a week.
AHEAD = timedelta(days=5)
BEHIND = timedelta(days=7)
LEAST_DAYS_OF_MEAN = 3
# A watering that failed counts until water came, and no longer than this.
WATER_FAILED = timedelta(days=2)


@dataclass(frozen=True, slots=True)
class Course:
    """A batch on its program."""

    program: Program
    standing: Standing | None
    seen: Seen
    sky: Sky
    advice: Advice | None
    done: Mapping[str, Sequence[Happening | Look]] = field(default_factory=dict)

    @property
    def step(self) -> Step | None:
        return None if self.standing is None else self.program.steps[self.standing.at]

    @property
    def wants(self) -> tuple[str, ...]:
        """The checks of the step that nobody has done since it began."""
        if self.step is None:
            return ()
        return tuple(check for check in self.step.checks if check not in self.seen.checks)


def of_batch(batch: Batch, book: Book, today: date) -> Course | None:
    """Return how far a batch has come; None where it has no program.

    A batch with a program that has made no step yet has no standing and no advice.
    """
    known = book.once(_courses)
    if (batch.id, today) not in known:
        known[batch.id, today] = _course(batch, book, today)
    return known[batch.id, today]


def _courses(_: Book) -> dict[tuple[str, date], Course | None]:
    """The answers so far: phones, checks and planting days ask for the same courses."""
    return {}


def _course(batch: Batch, book: Book, today: date) -> Course | None:
    steps = steps_of(batch, book)
    program = program_of(batch, steps, book, today)
    if program is None:
        return None
    sky = sky_over(batch, book, today)
    come = reached(program, steps)
    if come is None or book.day(come[1]) > today:
        return Course(program, None, Seen(), sky, None)
    at, since = come
    standing = Standing(at, book.day(since))
    done = done_since(batch, steps, since)
    seen = seen_in(done)
    advice = advise(program, standing, today, seen, sky)
    return Course(program, standing, seen, sky, advice, done)


def steps_of(batch: Batch, book: Book) -> Sequence[Happening]:
    """Return the steps of a batch, and of what it came from until it left it (rule U-7)."""
    own = batch.record.told(life.Stepped)
    born = batch.began_at
    kin = [
        one
        for name in book.ancestors(batch.id)
        if name in book.batches and born is not None
        for one in book.batches[name].record.told(life.Stepped)
        if one.at <= born
    ]
    return sorted((*kin, *own), key=lambda told: (told.at, told.entry))


def program_of(batch: Batch, steps: Sequence[Happening], book: Book, today: date) -> Program | None:
    """Return the program that the last step names, else that for the crop (rule U-6)."""
    named = [told.body.program for told in steps if told.body.program is not None]
    row: Program | None = book.row("program", named[-1]) if named else None
    if row is not None:
        return row
    crop = crop_of(batch, book)
    known = book.row("crop", crop)
    usual = None if known is None or known.profile is None else known.profile.program()
    return own_program(crop, book, today) or usual


def own_program(crop: str | None, book: Book, today: date) -> Program | None:
    """Return the nursery's own program for a crop, by the first row that is in use today."""
    found: Iterator[Program] = (row for _, row in book.rows_of("program"))
    in_use = (
        one
        for one in found
        if not (one.since and one.since > today) and not (one.until and one.until < today)
    )
    return next((one for one in in_use if crop in one.crops), None)


def crop_of(batch: Batch, book: Book) -> str | None:
    """Return the crop of a batch: its own, its parents', or the only one of its consignment."""
    names = (batch.id, *book.ancestors(batch.id))
    some = [book.batches[name] for name in names if name in book.batches]
    own = next((one.crop for one in some if one.crop is not None), None)
    if own is not None:
        return own
    rows = (book.row("consignment", one.consignment) for one in some)
    lines = {line.crop for row in rows if row is not None for line in row.lines}
    return lines.pop() if len(lines) == 1 else None


def reached(program: Program, steps: Sequence[Happening]) -> tuple[int, datetime] | None:
    """Return the step on which the plants stand, and the instant at which it began."""
    found: tuple[int, datetime] | None = None
    for told in steps:
        at = _place(program, told.body, None if found is None else found[0])
        if found is None or at != found[0] or told.body.step == BACK:
            found = (at, told.at)
    return found


def _place(program: Program, body: life.Stepped, before: int | None) -> int:
    """Return the step that a record leads to: by its shade, and without one by its way (U-5)."""
    if body.shade_percent is not None:
        alike = (body.shade_percent, body.sun_hours)
        for n, step in enumerate(program.steps):
            if (step.shade_percent, step.sun_hours) == alike:
                return n
        return program.nearest(body.shade_percent)
    if before is None:
        return 0
    way = {FORWARD: 1, BACK: -1}.get(body.step, 0)
    return min(max(0, before + way), len(program.steps) - 1)


def shades(batch: Batch, book: Book) -> list[dict[str, Any]]:
    """Return since which day plants stand under how much shade, for their bed line."""
    told = ((book.day(one.at), one.body.shade_percent) for one in steps_of(batch, book))
    return [{"on": day.isoformat(), "percent": shade} for day, shade in told if shade is not None]


def done_since(
    batch: Batch, steps: Sequence[Happening], since: datetime
) -> Mapping[str, Sequence[Happening | Look]]:
    """Return the records that answer each check since a step began, oldest first (rule U-8).

    Who takes a step tells what was seen before it; who stays tells what is seen on this one.
    """
    counted = [
        told
        for told in steps
        if told.body.step == STAY and told.body.of and told.body.scorched is not None
    ]
    looks = [one for one in batch.record.looks if one.answer is not Answer.NOT_LOOKED]
    found: dict[str, Iterable[Happening | Look]] = {
        SCORCH: counted,
        WILT: batch.record.told(life.Wilted),
        ROOTS: batch.record.told(life.Plugged),
        PESTS: looks,
    }
    return {
        check: kept
        for check, some in found.items()
        if (kept := [one for one in some if one.at >= since])
    }


def seen_in(done: Mapping[str, Sequence[Any]]) -> Seen:
    """Return the last count of each check."""
    scorch = done[SCORCH][-1].body if SCORCH in done else None
    wilt = done[WILT][-1].body if WILT in done else None
    return Seen(
        scorched=None if scorch is None else scorch.scorched,
        scorched_of=0 if scorch is None else scorch.of,
        wilted=None if wilt is None else wilt.wilted,
        wilted_of=0 if wilt is None else wilt.of,
        checks=frozenset(done),
    )


def sky_over(batch: Batch, book: Book, today: date, told: datetime | None = None) -> Sky:
    """Return what is forecast for the days of the coming step, by the latest word on each (U-9).

    With `told` it is the word that was known at that instant.
    """
    said = book.once(forecasts) if told is None else _forecasts(book, told)
    coming = [said[day] for day in _days(today, today + AHEAD) if day in said]
    behind = [said[day].high_c for day in _days(today - BEHIND, today) if day in said]
    known = [high for high in behind if high is not None]
    mean = sum(known) / len(known) if len(known) >= LEAST_DAYS_OF_MEAN else None
    return Sky(
        highs_c=tuple(one.high_c for one in coming if one.high_c is not None),
        lows_c=tuple(one.low_c for one in coming if one.low_c is not None),
        wind_kmh=tuple(one.wind_kmh for one in coming if one.wind_kmh is not None),
        mean_high_c=mean,
        water_failed=told is None and _dry(batch, book, today),
    )


def _days(first: date, end: date) -> Iterable[date]:
    return (first + timedelta(days=i) for i in range((end - first).days))


def forecasts(book: Book) -> Mapping[date, rooms.SkyOn]:
    """Return the latest forecast of each day, whatever place or plants it was written about."""
    return _forecasts(book, None)


def _forecasts(book: Book, until: datetime | None) -> Mapping[date, rooms.SkyOn]:
    return {
        day.on: day for at, days in book.once(_said) if until is None or at <= until for day in days
    }


def _said(book: Book) -> list[tuple[datetime, tuple[rooms.SkyOn, ...]]]:
    """Return every forecast in order: asked for each step of each batch, and they are few."""
    records = (one.record for some in (book.places, book.batches) for one in some.values())
    said = [one for record in records for one in record.told(rooms.Forecast)]
    said.sort(key=lambda one: (one.at, one.entry))
    return [(one.at, one.body.days) for one in said]


def _dry(batch: Batch, book: Book, today: date) -> bool:
    """Whether the last watering here did not come, within the days that matter."""
    around = () if batch.place is None else book.outward(batch.place)
    known = book.once(_watered)
    some = [known[name] for name in (batch.id, *around) if name in known]
    last = max(some, key=lambda one: (one.at, one.entry), default=None)
    recent = last is not None and book.day(last.at) > today - WATER_FAILED
    return last is not None and recent and bool(last.body.failed)


def _watered(book: Book) -> Mapping[str, Happening]:
    """Return the last watering that was written of each batch and place."""
    return {
        name: max(told, key=lambda one: (one.at, one.entry))
        for some in (book.batches, book.places)
        for name, state in some.items()
        if (told := state.record.told(rooms.Watered))
    }
