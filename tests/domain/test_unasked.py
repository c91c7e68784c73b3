"""New plants beside others unasked: one walk through a room finds what asking each pair finds."""

from collections.abc import Iterable
from datetime import UTC, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from hypothesis import given, settings
from hypothesis import strategies as st

from nursery.domain import conditions, doubtful, reference, unasked
from nursery.domain.batch import Batch, Stay
from nursery.domain.book import Book, Standing
from nursery.domain.place import Place
from nursery.domain.record import Acceptance
from nursery.domain.terms import AllOut
from tests.domain.house import term
from tests.examples import examples

ZONE = ZoneInfo("Etc/GMT-10")
DAY_0 = datetime(2031, 3, 3, 2, tzinfo=UTC)
NAMES = ("a", "b", "c", "d", "e", "f")
PLACES = ("bench-1", "bench-2", "room-2", "cellar")


def rows(terms: list[dict[str, Any]], own: dict[str, Any] | None) -> dict[str, dict[str, Any]]:
    raw = [
        ("place", "room-1", {"name": "Room 1", "kind": "room"}),
        ("place", "room-2", {"name": "Room 2", "kind": "room"}),
        ("place", "bench-1", {"name": "Bench 1", "kind": "bench", "parent": "room-1"}),
        ("place", "bench-2", {"name": "Bench 2", "kind": "bench", "parent": "room-1"}),
        ("permit", "p", {"reference": "P", "holder": "G", "terms": terms}),
        ("consignment", "goods-1", {"name": "One", "permit": "p"}),
        ("consignment", "goods-2", {"name": "Two", "permit": "p"}),
        ("consignment", "goods-3", {"name": "Three", "without_conditions": True}),
    ]
    if own is not None:
        raw.append(("due_rule", "own", {"name": "Own", "term": own, "places": ["room-1"]}))
    found: dict[str, dict[str, Any]] = {}
    for kind, ident, body in raw:
        found.setdefault(kind, {})[ident] = reference.read(kind, ident, body)
    return found


def pairs(book: Book) -> dict[str, set[tuple[str, str]]]:
    """What the rule says, asked of each pair that ever stood in a room (rule A-5)."""
    found: dict[str, set[tuple[str, str]]] = {}
    for room, standings in book.in_room.items():
        for one in standings:
            there = [other.batch for other in standings if was_there(other, one, book)]
            if there and not let_in(room, one, book):
                for name in (one.batch, *there):
                    found.setdefault(name, set()).add((one.batch, room))
    return found


def was_there(other: Standing, one: Standing, book: Book) -> bool:
    if not arrivals(one.batch, book).isdisjoint(arrivals(other.batch, book)):
        return False
    on = book.day(one.since)
    here = book.day(other.since) < on and (other.until is None or other.until > one.since)
    return here and bool(conditions.of_batch(other.batch, AllOut, on, book))


def arrivals(batch: str, book: Book) -> set[str]:
    line = {batch, *book.ancestors(batch)}
    goods = {book.batches[name].consignment for name in line if name in book.batches}
    return line | {one for one in goods if one is not None}


def let_in(room: str, one: Standing, book: Book) -> bool:
    return room in book.places and any(
        said.what == "arrival" and said.paper and said.at <= one.since
        for said in book.places[room].record.acceptances
    )


instants = st.integers(0, 60).map(lambda n: DAY_0 + timedelta(hours=8 * n))


@st.composite
def stays(draw: st.DrawFn) -> list[Stay]:
    some = sorted(draw(st.lists(instants, min_size=1, max_size=4)))
    ends: Iterable[datetime | None] = (*some[1:], draw(st.none() | instants))
    return [Stay(draw(st.sampled_from(PLACES)), a, b) for a, b in zip(some, ends, strict=True)]


@st.composite
def books(draw: st.DrawFn) -> Book:
    days = st.integers(-5, 20).map(lambda n: (DAY_0 + timedelta(days=n)).date().isoformat())
    all_out = term("out", "all_out", {"empty_hours": 24}, since=draw(days))
    all_out["reaches_running"] = draw(st.booleans())
    own = draw(st.none() | days.map(lambda day: {**all_out, "id": "own-out", "since": day}))
    batches: dict[str, Batch] = {}
    for n, name in enumerate(draw(st.permutations(NAMES))):
        notice = {"at": draw(instants).isoformat()} if draw(st.booleans()) else None
        batch = Batch(name, label=name, released=notice, stays=draw(stays()))
        batch.began_at = batch.stays[0].since
        batch.opened_on = draw(st.none() | days)
        batch.consignment = draw(st.sampled_from((None, "goods-1", "goods-2", "goods-3")))
        before = st.sampled_from(("lost", *list(batches)[:n]))
        batch.parents = draw(st.lists(before, max_size=2, unique=True))
        batches[name] = batch
    room = Place("room-1")
    if draw(st.booleans()):
        said = Acceptance("e", draw(instants), "arrival", "R", paper=draw(st.booleans()))
        room.record.acceptances.append(said)
    return Book(ZONE, batches, {"room-1": room}, rows(draw(some_of(all_out)), own), [])


def some_of(one: dict[str, Any]) -> st.SearchStrategy[list[dict[str, Any]]]:
    return st.sampled_from(([one], []))


def check(book: Book) -> dict[str, set[tuple[str, str]]]:
    """Hold what is doubted against what asking each pair says, and return it."""
    told = {
        name: {(one.entries[0], str(one.params["place"])) for one in unasked.odd(batch, book)}
        for name, batch in book.batches.items()
    }
    called = {"room-1": "Room 1", "room-2": "Room 2"}
    wanted = {
        name: {(newcomer, called.get(room, room)) for newcomer, room in some}
        for name, some in pairs(book).items()
    }
    assert {name: some for name, some in told.items() if some} == wanted
    return wanted


@settings(max_examples=examples(200))
@given(books())
def test_one_walk_through_a_room_finds_what_asking_each_pair_of_plants_finds(book: Book) -> None:
    """Rule A-5, by the rule asked of every pair as the reference."""
    check(book)


def test_a_term_that_holds_before_its_day_binds_plants_that_are_released_by_then() -> None:
    """Their clock was opened on a later day than that of the term (rules A-5, T-1, T-4)."""
    days = [DAY_0 + timedelta(days=n) for n in range(11)]
    first, second = (Batch(name, label=name) for name in ("a", "b"))
    first.began_at, first.stays = days[0], [Stay("bench-1", days[0])]
    first.consignment, first.opened_on = "goods-1", days[10].date().isoformat()
    first.released = {"at": days[4].isoformat()}
    second.began_at, second.stays = days[2], [Stay("bench-2", days[2])]
    out = term("out", "all_out", {"empty_hours": 24}, since=days[8].date().isoformat())
    batches = {"a": first, "b": second}
    assert check(Book(ZONE, batches, {}, rows([out], None), [])).keys() == {"a", "b"}


def test_of_plants_that_the_book_has_not_nothing_is_doubted() -> None:
    book = Book(ZONE, {}, {}, rows([], None), [])
    assert doubtful.beyond(Batch("lost"), book) == ()
