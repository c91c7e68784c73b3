"""What holds the batches of a trace: orders, their places and ground, finds and breaches.

The rules look across subjects, so they get a book of those that matter: the family, the places
around it, and, where a find or a breach may concern it, whoever stood in the same rooms. Of a book
without such an incident nothing more is read than the records that could have opened one.
"""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import replace
from typing import Any

import orjson
from django.db.models import Q

from nursery.domain import assembled, exposure, holds
from nursery.domain.batch import Batch
from nursery.domain.book import Book
from nursery.domain.holds import Hold
from nursery.domain.kinds.law import Act
from nursery.domain.occupants import Field
from nursery.domain.place import Place
from nursery.services import kinship, states
from nursery.store import lines
from nursery.store.models import SubjectRow
from nursery.store.scope import Scope

# What opens an incident, and what else says how it goes on; a report of a breach holds nothing.
OPENING = ("found", "breached", "resulted")
OF_INCIDENTS = (*OPENING, "sampled", "settled", "withdrawn")
# What is asked of a plant in the same room: when it was last seen clean, what frees it.
ROOM_MATES = frozenset(("orders", "scions", "looks", "inspections"))
PLACE_SHELVES = frozenset(("orders",))
NO_BATCHES: Mapping[str, Batch] = {}


def of_family(
    rows: Scope, family: Collection[str], book: Book, fields: Mapping[str, Field]
) -> Mapping[str, list[dict[str, Any]]]:
    """Return what holds each batch of a family that is held, as the whole book would say it.

    `book` has the family and all that it came of; `fields` say who stands where it was planted.
    """
    near = {
        name: one if name in family else _without_plants(one) for name, one in book.batches.items()
    }
    finds = lines.of_kinds(rows, OF_INCIDENTS) if _any(rows) else []
    known = Book(book.zone, near, {}, book.rows, finds)
    every = {**_mates(rows, known, family), **near}
    places = states.some_places(rows, _around(every.values(), known), PLACE_SHELVES)
    whole = Book(book.zone, dict(sorted(every.items())), places, book.rows, finds)
    whole.given(assembled.of_book, fields)
    papers = _papers(whole)
    return {
        name: [_written(one, papers) for one in found]
        for name, found in holds.of_book(whole).items()
        if name in family
    }


def _without_plants(batch: Batch) -> Batch:
    """Return a batch without what became of its plants in the field, of which nothing is read."""
    return replace(batch, record=replace(batch.record, happenings=[]))


def _any(rows: Scope) -> bool:
    return rows.feed.filter(type="entry", what__in=OPENING).exists()


def _mates(rows: Scope, book: Book, family: Collection[str]) -> Mapping[str, Batch]:
    """Return who shared a room with the family when something was found there, and their kin."""
    named = exposure.concerned(book.finds, book)
    about = kinship.whole(rows, named - set(book.batches), ROOM_MATES)
    known = {**about, **book.batches}
    rooms = _rooms((one for name in named for one in kinship.line(name, known)), book)
    rooms |= {book.rooms[one] for one in named if one in book.rooms}
    mine = (one for name in family for one in kinship.line(name, known))
    if named.isdisjoint(book.batches) and rooms.isdisjoint(_rooms(mine, book)):
        return NO_BATCHES
    inside = {place for room in rooms for place in book.subtree(room)}
    return about | kinship.whole(rows, _stood_in(rows, inside) - set(known), ROOM_MATES)


def _rooms(batches: Iterable[Batch], book: Book) -> set[str]:
    places = {stay.place for one in batches for stay in one.stays}
    return {book.rooms.get(place, place) for place in places}


def _stood_in(rows: Scope, places: Iterable[str]) -> set[str]:
    """Return the batches whose states name one of these places: too many, and none is missed."""
    wanted = Q(stale_from__isnull=False)
    for place in sorted(places):
        wanted |= Q(state__contains=orjson.dumps({"place": place}).decode()[1:-1])
    some = rows.subjects.filter(type=SubjectRow.BATCH).filter(wanted)
    return set(some.values_list("ident", flat=True))


def _around(batches: Iterable[Batch], book: Book) -> set[str]:
    """Return the places whose orders may hold any of these: where they stood, and the field."""
    some = tuple(batches)
    places = {stay.place for one in some for stay in one.stays} | kinship.seats(some)
    places |= {name for one in book.finds for name in one.about} - set(book.batches)
    return {around for place in places for around in book.outward(place)}


def _papers(book: Book) -> set[str]:
    """Return the orders to hold of which somebody photographed the paper."""
    subjects: list[Batch | Place] = [*book.batches.values(), *book.places.values()]
    return {
        order.reference
        for one in subjects
        for order in one.record.orders
        if order.act is Act.HOLD and order.paper
    }


def _written(hold: Hold, papers: Collection[str]) -> dict[str, Any]:
    names = hold.orders or (hold.reference,)
    return {**hold.as_json(), "paper": any(name in papers for name in names)}
