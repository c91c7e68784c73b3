"""Plants that were measured before their batch was split, or joined (rules J-2 and J-3)."""

import pytest

from nursery.domain.planted_together import items
from nursery.domain.season_sheet import growth, kin, planting_days
from tests.domain.house import House
from tests.domain.test_toughening_course import PROFILE

FIVE = "12345"


def house() -> House:
    """Forty seedlings of one crop: `s`, sown on 3 March."""
    made = House()
    made.row("crop", "lime", {"name": "Lime", "profile": PROFILE})
    sow(made, "s", "2031-03-03")
    return made


def sow(made: House, batch: str, on: str, crop: str = "lime") -> None:
    new = {"id": batch, "label": batch.upper(), "crop": crop}
    made.add("sown", batch, f"{on} 08:00", {"batch": new, "seeds": 40})
    made.add("emerged", batch, "2031-03-30 08:00", {"total": 40})


def measure(made: House, batch: str, on: str, tags: str = FIVE, size: float = 20) -> None:
    plants = [{"tag": tag, "height_cm": size + int(tag)} for tag in tags]
    made.add("measured", batch, f"{on} 13:00", {"plants": plants})


def split(
    made: House, parents: dict[str, int], children: str, on: str, kind: str = "split"
) -> None:
    new = [{"id": name, "label": name.upper(), "count": 10} for name in children]
    left = [{"id": name, "left": n} for name, n in parents.items()]
    made.add(kind, (*parents, *children), f"{on} 08:00", {"parents": left, "children": new})


def grown(made: House, crop: str = "lime") -> growth.Growth:
    book = made.book()
    item = next(one for one in items(book) if one.id == crop)
    return growth.of_group(item.batches, planting_days.profile_of(item, book)[1], book)


def rows(made: House) -> dict[str, list[float]]:
    """The heights of each plant, by the batch in which it got its tag."""
    found = grown(made).sizes["height_cm"]
    return {plant: list(of.values()) for plant, of in sorted(found.items())}


@pytest.mark.parametrize("kind", ["split", "pricked"])
def test_what_was_measured_before_a_split_still_counts(kind: str) -> None:
    """Split while it was hardened off: nothing that is known is lost."""
    made = house()
    measure(made, "s", "2031-06-01")
    measure(made, "s", "2031-07-01", size=28)
    split(made, {"s": 0}, "abcd", "2031-07-20", kind)
    found = grown(made)
    assert (found.state, [one["n"] for one in found.means()]) == (growth.FORECAST, [5, 5])


WAYS: dict[str, tuple[dict[str, str], dict[str, list[float]]]] = {
    "in one of them": ({"a": "12"}, {"s 1": [21, 31], "s 2": [22, 32]}),
    "in two of them": (
        {"a": "1", "b": "1"}, {"a 1": [31], "b 1": [31], "s 1": [21], "s 2": [22]},
    ),
    "in one, and in what was left": (
        {"a": "1", "s": "1"}, {"a 1": [31], "s 1": [21, 31], "s 2": [22]},
    ),
    "one in each": ({"a": "1", "b": "2"}, {"s 1": [21, 31], "s 2": [22, 32]}),
    "a tag of its own": ({"a": "7"}, {"a 7": [37], "s 1": [21], "s 2": [22]}),
}  # fmt: skip


@pytest.mark.parametrize(("then", "plants"), WAYS.values(), ids=WAYS)
def test_a_tag_that_goes_on_in_one_batch_alone_is_the_same_plant(
    then: dict[str, str], plants: dict[str, list[float]]
) -> None:
    """Rule J-2."""
    made = house()
    measure(made, "s", "2031-06-01", "12")
    split(made, {"s": 20}, "ab", "2031-06-20")
    for batch, tags in then.items():
        measure(made, batch, "2031-07-01", tags, 30)
    assert rows(made) == plants


def test_a_plant_keeps_its_tag_through_two_splits() -> None:
    made = house()
    measure(made, "s", "2031-06-01", "1")
    split(made, {"s": 0}, "a", "2031-06-10")
    measure(made, "a", "2031-06-20", "1", 25)
    split(made, {"a": 0}, "b", "2031-07-01")
    measure(made, "b", "2031-07-10", "1", 30)
    assert rows(made) == {"s 1": [21, 26, 31]}


def test_plants_of_two_batches_that_were_joined_stay_apart() -> None:
    made = house()
    sow(made, "t", "2031-02-20")
    for batch in "st":
        measure(made, batch, "2031-06-01", "1")
    split(made, {"s": 0, "t": 0}, "j", "2031-06-10", "mixed")
    measure(made, "j", "2031-07-01", "1", 30)
    assert rows(made) == {"j 1": [31], "s 1": [21], "t 1": [21]}
    book = made.book()
    sown = kin.sown_at(book.batches["j"], book)
    assert sown is not None
    assert book.day(sown).isoformat() == "2031-02-20"


def test_sizes_of_mother_plants_and_scions_are_not_those_of_what_came_of_them() -> None:
    made = house()
    measure(made, "s", "2031-06-01")
    cut = {"id": "c", "label": "C", "crop": "papaya"}
    made.add(
        "stuck", ("c", "s"), "2031-06-10 08:00", {"batch": cut, "cuttings": 9, "parents": ["s"]}
    )
    sow(made, "r", "2031-03-01", "papaya")
    made.add("worked", ("r", "s"), "2031-06-11 08:00",
             {"method": "grafted", "plants": 30, "scion": "s"})  # fmt: skip
    measure(made, "c", "2031-07-01", "1", 8)
    assert list(grown(made, "papaya").sizes["height_cm"]) == ["c 1"]
    book = made.book()
    assert kin.sown_at(book.batches["r"], book) == book.batches["r"].began_at
    assert kin.sown_at(book.batches["c"], book) is None


def test_a_ring_of_parents_ends() -> None:
    made = house()
    measure(made, "s", "2031-06-01", "1")
    split(made, {"s": 0}, "a", "2031-06-10")
    split(made, {"a": 5}, "s", "2031-06-20")
    for batch in "as":
        measure(made, batch, "2031-07-01", "1", 30)
    assert grown(made).state == growth.NOT_ENOUGH
    book = made.book()
    assert kin.sown_at(book.batches["a"], book) is None
