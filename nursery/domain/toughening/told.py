"""What phones are told of toughening: programs with their light once, and of each batch its own."""

from dataclasses import fields
from datetime import date
from typing import Any

from nursery.domain.book import Book
from nursery.domain.program import Program, light_of
from nursery.domain.reference import Site
from nursery.domain.toughening.course import Course, of_batch


def of_book(book: Book, today: date) -> dict[str, Any]:
    """Return the programs that batches follow, with the light under each step, and the batches."""
    found = {
        name: of_batch(batch, book, today)
        for name, batch in sorted(book.batches.items())
        if not batch.closed
    }
    known = {name: course for name, course in found.items() if course is not None}
    programs = {course.program.id: course.program for course in known.values()}
    return {
        "programs": {name: _program(one, book, today) for name, one in sorted(programs.items())},
        "batches": {name: _course(course) for name, course in known.items()},
    }


def _course(course: Course) -> dict[str, Any]:
    advice, standing, sky, seen = course.advice, course.standing, course.sky, course.seen
    told: dict[str, Any] = {"program": course.program.id, "at": None}
    if standing is None or advice is None:
        return told
    return {
        **told,
        "at": standing.at,
        "since": standing.since.isoformat(),
        "wants": list(course.wants),
        "seen": {
            "scorched": seen.scorched,
            "scorched_of": seen.scorched_of,
            "wilted": seen.wilted,
            "wilted_of": seen.wilted_of,
            "checks": sorted(seen.checks),
        },
        "sky": {
            "highs_c": list(sky.highs_c),
            "lows_c": list(sky.lows_c),
            "wind_kmh": list(sky.wind_kmh),
            "mean_high_c": sky.mean_high_c,
            "water_failed": sky.water_failed,
        },
        "advice": {
            "doing": advice.doing.value,
            "step": advice.to.id,
            "reasons": [one.as_json() for one in advice.reasons],
            "on": None if advice.on is None else advice.on.isoformat(),
        },
    }


def _program(program: Program, book: Book, today: date) -> dict[str, Any]:
    steps = [{f.name: getattr(step, f.name) for f in fields(step)} for step in program.steps]
    return {
        "name": program.name,
        "source": program.source,
        "steps": [
            {**step, "wind": step["wind"].value, "checks": list(step["checks"])} for step in steps
        ],
        "limits": {f.name: getattr(program.limits, f.name) for f in fields(program.limits)},
        "light": _light(program, book, today),
    }


def _light(program: Program, book: Book, today: date) -> list[float]:
    """Return the light under each step today [mol m-2 d-1]; nothing where no site is known."""
    site: Site | None = next((row for _, row in book.rows_of("site")), None)
    if site is None:
        return []
    day = [today.timetuple().tm_yday]
    steps = program.steps
    return [round(light_of(step, site.latitude, day, site.sunshine), 1) for step in steps]
