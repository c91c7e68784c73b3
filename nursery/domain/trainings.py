"""Trainings that a place wants of whoever goes in: told, or in the way, and never of who leaves.

Held to `tests/vectors/untrained.json`, as `frontend/src/log/qualified.ts` is.
"""

from collections.abc import Iterable
from datetime import date
from typing import NamedTuple

from nursery.domain import people_ends
from nursery.domain.book import Book
from nursery.domain.gate import Answer, Gate
from nursery.domain.people_ends import Held
from nursery.domain.reason import Reason
from nursery.domain.reference import Person


class Wanted(NamedTuple):
    """A training by its name; without one that `stops` people stay out."""

    what: str
    stops: bool


def wanted(place: str, book: Book) -> list[Wanted]:
    """Return the trainings of a place and of all around it, of one name the strictest."""
    found: dict[str, Wanted] = {}
    for seat in book.outward(place):
        row = book.row("place", seat)
        for what in () if row is None else row.trainings:
            name = what.strip().casefold()
            before = found.get(name, Wanted(what, stops=False))
            found[name] = before._replace(stops=before.stops or row.training_stops)
    return list(found.values())


def stops(place: str, book: Book) -> bool:
    """Return whether some people stay out of a place for want of a training."""
    return any(one.stops for one in wanted(place, book))


def against(who: str | None, place: str, on: date, book: Book) -> Iterable[Gate]:
    """Yield what stands against somebody's going in on a day (rule O-5).

    Of a visitor, of somebody without a row, and of one whose row was erased nothing is known, and
    nothing is said.
    """
    person: Person | None = None if who is None else book.row("person", who)
    if person is None or person.erased is not None:
        return
    for what, strict in wanted(place, book):
        if strict:
            yield from _untrained(person, what, on)


def _untrained(person: Person, what: str, on: date) -> Iterable[Gate]:
    held, day = people_ends.training(person, what, on)
    about = {"name": person.name, "what": what, "day": None if day is None else day.isoformat()}
    opens = Reason("when_trained", about)
    if held is Held.MISSING:
        yield Gate(Answer.NO, "training_none", about, opens)
    elif held is Held.ENDED:
        yield Gate(Answer.NO, "training_ended", about, opens)
    elif held is Held.NOT_YET:
        yield Gate(Answer.NO, "training_not_yet", about, opens)
