"""Labels: which are one, which are taken for another, and one on two living batches."""

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nursery.domain import doubtful, labels
from tests.domain.house import House, day_1

SAME = {
    "spaces and case": " t 3",
    "a leading zero": "T03",
    "a dash": "T-3",
    "wide signs": "\uff343",
}


@pytest.mark.parametrize("label", SAME.values(), ids=SAME.keys())
def test_one_label_is_written_in_several_ways(label: str) -> None:
    """Rule G-12."""
    assert labels.canonical(label) == "T3"


ALIKE = [("T3", "TR3"), ("T13", "T31"), ("B8", "88"), ("TA3", "TB3"), ("T0", "TO"), ("T3", "t3")]
APART = [
    ("T3", "T4"),
    ("T3", "TRX3"),
    ("T3", "TR4"),
    ("U", "T"),
    ("T1", "T11"),
    ("AB3", "BA3"),
    ("T3", "XY3"),
]


@pytest.mark.parametrize(("one", "other"), ALIKE)
def test_labels_that_are_taken_for_one_another(one: str, other: str) -> None:
    """Rule G-13."""
    assert labels.alike(one, other)
    assert labels.alike(other, one)


@pytest.mark.parametrize(("one", "other"), APART)
def test_labels_that_are_not(one: str, other: str) -> None:
    """Rule G-13: else every tray would look like its neighbour."""
    assert not labels.alike(one, other)


def test_a_label_is_read_aloud_by_letters_and_a_whole_number() -> None:
    assert [labels.spoken(one) for one in ("T3", "TR13", "U")] == ["T 3", "T R 13", "U"]


@given(st.lists(st.text("TROX013 ", min_size=1, max_size=4), max_size=12))
def test_the_quick_way_finds_the_pairs_that_comparing_each_with_each_finds(some: list[str]) -> None:
    """Rule G-13."""
    slow = {pair for pair in combinations(sorted(set(some)), 2) if labels.alike(*pair)}
    assert set(labels.look_alikes(some)) == slow


def test_one_label_on_two_living_trays_is_doubted_on_both() -> None:
    """Rule G-12."""
    house = day_1()
    house.arrive("2031-04-01 07:30", ["x"])
    house.add("relabelled", "x", "2031-04-01 08:00", {"old": "X", "new": "t 1"})
    book = house.book()
    found = dict(labels.twice(book.batches))
    assert set(found) == {"t1", "x"}
    doubt = found["t1"]
    assert (doubt.id, doubt.params) == ("label_twice:t1:x", {"label": "T1", "batches": ["t1", "x"]})
    assert doubt.blocks
    assert doubtful.beyond(book.batches["x"], book) == (doubt,)


def test_it_is_settled_by_an_entry_about_any_of_them() -> None:
    house = two_labels()
    body = {"doubt": "label_twice:t1:x", "reason": "X goes to the shade"}
    said = house.add("settled", "x", "2031-04-02 08:00", body)
    assert {doubt.settled_by for _, doubt in labels.twice(house.book().batches)} == {said}


def test_a_label_is_free_again_once_its_batch_is_closed() -> None:
    """Rule G-12: a label used again after a cull."""
    house = two_labels()
    house.add("lost", "t1", "2031-04-02 08:00", {"count": 53, "fate": "culled"})
    assert labels.twice(house.book().batches) == ()


def test_a_batch_that_only_others_name_wears_no_label() -> None:
    house = day_1()
    house.add("relabelled", "ghost", "2031-04-01 08:00", {"old": "X", "new": "T1"})
    assert labels.twice(house.book().batches) == ()


def two_labels() -> House:
    house = day_1()
    house.arrive("2031-04-01 07:30", ["x"])
    house.add("relabelled", "x", "2031-04-01 08:00", {"old": "X", "new": "T1"})
    return house
