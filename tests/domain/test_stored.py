"""Kept states, read back, decide what the fold's own values decide."""

import json
from typing import Any

import pytest
from hypothesis import given

from nursery.domain import outlook, stored
from nursery.domain.book import Book
from tests.domain.house import House, day_1, day_2, day_3, instant
from tests.domain.test_laws_of_holds import FEWER, NOW, Told, house_of, stories


def read_back(book: Book) -> Book:
    def kept(state: Any) -> Any:
        return json.loads(json.dumps(state.as_json()))

    return Book(
        book.zone,
        {name: stored.batch(kept(state)) for name, state in book.batches.items()},
        {name: stored.place(kept(state)) for name, state in book.places.items()},
        book.rows,
        book.finds,
    )


@pytest.mark.parametrize("tell", [day_1, day_2, day_3])
def test_days_1_to_3_read_back_have_the_same_outlook(tell: Any) -> None:
    book = tell().book()
    now = instant("2031-05-04 07:30")
    assert outlook.compose(read_back(book), now) == outlook.compose(book, now)


@FEWER
@given(stories)
def test_any_book_read_back_has_the_same_outlook(story: list[Told]) -> None:
    book = house_of(story).book()
    assert outlook.compose(read_back(book), NOW) == outlook.compose(book, NOW)


@FEWER
@given(stories)
def test_any_state_is_written_again_as_it_was_kept(story: list[Told]) -> None:
    """Only the id of the last count is left out: the entry itself is not kept."""
    book = house_of(story).book()
    again = read_back(book)
    for name, state in book.batches.items():
        assert again.batches[name].as_json() == {**state.as_json(), "last_count": None}
    for name, seat in book.places.items():
        assert again.places[name].as_json() == seat.as_json()


def test_who_is_inside_is_still_inside() -> None:
    house = House()
    house.add("entered", "room", "2031-05-04 07:10", {}, by="w2")
    book = read_back(house.book())
    assert [visit.who for visit in book.places["room"].inside] == ["w2"]
