"""Who is authorised, and is their training in date? As of today, for a person or the authority."""

from datetime import date, datetime
from typing import Any

import orjson

from nursery.domain import gates, people_ends, reference, trainings
from nursery.domain.book import Book
from nursery.domain.people_ends import End, Held
from nursery.domain.reference import Person, Place
from nursery.domain.reference.rows import USUAL_ENDS
from nursery.services import outlook, rows
from nursery.store.scope import Scope, scope


def ends(nursery: str, now: datetime) -> list[End]:
    """Return the papers that have ended or end within the days that the nursery wants to know."""
    with scope(nursery) as book:
        every = (reference.read(row.type, row.id, row.body) for row in rows.every(book, "person"))
        people = [row for row in every if isinstance(row, Person)]
        return people_ends.ends(people, _today(book, now), _within(book))


def now(nursery: str, moment: datetime) -> dict[str, Any]:
    """Return the people who work here with their papers, the rooms they may go into, and ends."""
    with scope(nursery) as book:
        known, today, within = outlook.read_book(book), _today(book, moment), _within(book)
    people = [one for one in _people(known) if people_ends.works(one, today)]
    found = people_ends.ends(people, today, within)
    return {
        "on": today.isoformat(),
        "within": within,
        "ends": [one.as_json() for one in found],
        "people": [_told(one, known, today) for one in sorted(people, key=lambda p: p.name)],
    }


def _people(known: Book) -> list[Person]:
    return [person for _, person in known.rows_of("person")]


def _told(person: Person, known: Book, today: date) -> dict[str, Any]:
    rooms = [row for _, row in known.rows_of("place") if row.trainings or _orders(row, known)]
    lacks = dict.fromkeys(
        what
        for row in rooms
        for what in row.trainings
        if people_ends.training(person, what, today)[0] is not Held.IN_DATE
    )
    return {
        "id": person.id,
        "name": person.name,
        "role": person.role.value,
        "papers": people_ends.papers(person, today),
        "rooms": [row.name for row in rooms if _may_go_in(person, row, today, known)],
        "lacks": list(lacks),
    }


def _may_go_in(person: Person, row: Place, today: date, known: Book) -> bool:
    untrained = any(trainings.against(person.id, row.id, today, known))
    return gates.is_admitted(person.id, row.id, known) and not untrained


def _orders(row: Place, known: Book) -> bool:
    return known.rooms.get(row.id) == row.id and bool(gates.admitting(row.id, known))


def _today(book: Scope, moment: datetime) -> date:
    return moment.astimezone(book.zone).date()


def _within(book: Scope) -> int:
    row = book.refs.filter(type="nursery", ident=book.ident, gone=False).first()
    told = None if row is None else orjson.loads(row.text).get("ends_days")
    return int(USUAL_ENDS if told is None else told)
