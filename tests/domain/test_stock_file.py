"""Rows of a spreadsheet as stock: what they become, and every fault of them (rules I-4 to I-9)."""

from dataclasses import replace
from datetime import date, datetime
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nursery.domain import stock_file
from nursery.domain.formulas import kept
from nursery.domain.kinds import common, read
from nursery.domain.stock_file import ADD, CODES, Choices, Fault, Field, Here, Plan, Sheet, Wording
from nursery.domain.stock_file.cells import DAY_FIRST, MONTH_FIRST, key
from nursery.domain.stock_file.here import against, of_book
from nursery.domain.stock_file.plan import arrived
from nursery.domain.stock_file.records import drafts
from tests.domain.house import TERMS, House, day, day_1, instant, place, term

TODAY = date(2031, 5, 20)
# As a workbook has it: without any zone.
NOON = datetime.fromisoformat("2031-05-03T12:00")
HEADINGS = (
    *("Label", "Crop", "Count (plants)", "Estimate", "Counted on", "Place", "Pot or tray"),
    *("Cells", "Goods", "Arrived on", "Permit", "Stage", "Lot", "Notes"),
)
WORDING = Wording(
    {key(name.partition("(")[0]): one for name, one in zip(HEADINGS, Field, strict=True)},
    {"growing on": "growing_on", "seed": "seed", "in quarantine": "quarantine"},
    {"mar": 3, "may": 5, "ene": 1},
)
HERE = Here(
    TODAY,
    {
        "crop": {"open citrus": frozenset({"lime"}), "bay": frozenset({"bay"})},
        "place": {
            "shade house": frozenset({"h-1"}),
            "bench 1": frozenset({"b-1", "b-2"}),
            "shade house / bench 1": frozenset({"b-1"}),
            "h-1": frozenset({"h-1"}),
        },
        "goods": {"spring goods": frozenset({"c-1"})},
        "permit": {"cq-117": frozenset({"p-1"}), "cq-118": frozenset({"p-2"})},
    },
    {"T9": "b-nine"},
    frozenset({"b-nine"}),
    {"c-1": "p-1"},
    {},
    conditions=True,
)
GOOD: dict[str, Any] = {
    "label": "T1",
    "crop": "Open  CITRUS",
    "count": "54",
    "counted_on": "2031-05-12",
    "place": "Shade house",
}


def sheet(*rows: dict[str, Any]) -> Sheet:
    numbered = enumerate(rows, start=2)
    return Sheet(
        HEADINGS, tuple((n, tuple(row.get(f.value) for f in Field)) for n, row in numbered)
    )


def planned(*rows: dict[str, Any], here: Here = HERE, **said: Any) -> Plan:
    return stock_file.plan(sheet(*rows), Choices(**said), here, WORDING)


def faults(*rows: dict[str, Any], **said: Any) -> list[tuple[int, str, str]]:
    return [(one.row, one.column, one.code) for one in planned(*rows, **said).faults]


def test_a_row_becomes_a_batch_with_its_count_and_place() -> None:
    found = planned(GOOD | {"estimate": "sí", "cells": 54.0, "stage": "Growing on"})
    [one] = found.incoming
    assert (one.label, one.plants, one.estimate, one.crop, one.place) == (
        *("T1", 54, True, "lime", "h-1"),
    )
    assert (one.counted_on, one.cells, one.stage) == (date(2031, 5, 12), 54, "growing_on")
    assert found.at_places() == [{"place": "h-1", "batches": 1, "plants": 54, "estimates": 1}]
    assert (found.plants, found.may_come(0), found.may_come(1)) == (54, True, False)


BAD: dict[str, tuple[dict[str, Any], str, str]] = {
    "no label": ({"label": " "}, "label", "lacks"),
    "a label without a sign of ours": ({"label": "—"}, "label", "label_signs"),
    "a label that a living batch wears": ({"label": "t 09"}, "label", "label_used"),
    "a label too long": ({"label": "T" * 65}, "label", "text_long"),
    "a label with what nobody keeps": ({"label": "T\x001"}, "label", "text_unfit"),
    "a formula that came to nothing": ({"label": "#REF!"}, "label", "sheet_fault"),
    "a crop that is not known": ({"crop": "plum"}, "crop", "unknown"),
    "a place that is not known": ({"place": "Bench 7"}, "place", "unknown"),
    "a place of which there are two": ({"place": "Bench 1"}, "place", "several"),
    "goods that are not known": (
        {"goods": "Winter goods", "arrived_on": "2031-05-01"}, "goods", "unknown",
    ),
    "a permit that is not known": (
        {"permit": "CQ-9", "arrived_on": "2031-05-01"}, "permit", "unknown",
    ),
    "a stage that is not known": ({"stage": "sleeping"}, "stage", "unknown"),
    "seed, which is no plant": ({"stage": "Seed"}, "stage", "stage_seed"),
    "no count": ({"count": None}, "count", "lacks"),
    "a word for a count": ({"count": "many"}, "count", "no_number"),
    "a yes for a count": ({"count": True}, "count", "no_number"),
    "fewer than none": ({"count": "-3"}, "count", "negative"),
    "fewer than none, in parts": ({"count": "-3,5"}, "count", "negative"),
    "half a plant with a comma": ({"count": "53,5"}, "count", "fraction"),
    "half a plant with a point": ({"count": "53.5"}, "count", "fraction"),
    "half a plant of a workbook": ({"count": 53.5}, "count", "fraction"),
    "a count that may be either": ({"count": "1.234"}, "count", "either_number"),
    "a count that may be either, by comma": ({"count": "1,234"}, "count", "either_number"),
    "nothing alive": ({"count": "0"}, "count", "nothing"),
    "more than any nursery": ({"count": 10**12}, "count", "too_many"),
    "figures without end": ({"count": "9" * 400}, "count", "no_number"),
    "a count beyond all counting": ({"count": float("inf")}, "count", "no_number"),
    "more than the tray has cells": ({"cells": "50"}, "cells", "over_cells"),
    "neither yes nor no": ({"estimate": "perhaps"}, "estimate", "no_flag"),
    "no day": ({"counted_on": ""}, "counted_on", "lacks"),
    "a word for a day": ({"counted_on": "lately"}, "counted_on", "no_day"),
    "a day that no calendar has": ({"counted_on": "2031-02-30"}, "counted_on", "no_day"),
    "a month that is not known": ({"counted_on": "3 XYZ 2031"}, "counted_on", "no_day"),
    "a day of long ago": ({"counted_on": date(1805, 1, 1)}, "counted_on", "no_day"),
    "the number of a day": ({"counted_on": 47900}, "counted_on", "no_day"),
    "a day that may be two": ({"counted_on": "03/04/2031"}, "counted_on", "either_day"),
    "tomorrow": ({"counted_on": "2031-05-21"}, "counted_on", "day_ahead"),
    "counted before it came": (
        {"goods": "Spring goods", "arrived_on": "2031-05-13"}, "counted_on", "day_order",
    ),
    "goods without a day": ({"goods": "Spring goods"}, "arrived_on", "day_wanted"),
    "a permit without a day": ({"permit": "CQ-117"}, "arrived_on", "day_wanted"),
    "goods under another permit": (
        {"goods": "Spring goods", "permit": "CQ-118", "arrived_on": "2031-05-01"},
        "permit", "permit_differs",
    ),
}  # fmt: skip


@pytest.mark.parametrize(("cells", "column", "code"), BAD.values(), ids=BAD.keys())
def test_a_cell_that_is_amiss_is_named(cells: dict[str, Any], column: str, code: str) -> None:
    assert faults(GOOD | cells) == [(2, column, code)]


def test_every_way_to_be_amiss_is_tried() -> None:
    tried = {code for _, _, code in BAD.values()} | {"label_twice"}
    assert tried == set(CODES)


def test_every_fault_of_a_row_is_told_and_not_the_first_alone() -> None:
    """Rule I-5."""
    bad = {"label": "", "crop": "plum", "count": "-1", "counted_on": "x", "place": "y"}
    assert [code for _, _, code in faults(GOOD | bad)] == [
        *("negative", "unknown", "unknown", "no_day", "lacks"),
    ]


def test_a_row_that_ends_early_lacks_what_it_does_not_have() -> None:
    short = Sheet(HEADINGS, ((5, ("T1", "Bay")),))
    found = stock_file.plan(short, Choices(), HERE, WORDING)
    assert {(one.row, one.column, one.code) for one in found.faults} == {
        (5, column, "lacks") for column in ("count", "counted_on", "place")
    }


def test_one_label_in_two_rows_is_told_at_the_second_with_the_first() -> None:
    found = planned(GOOD, GOOD | {"label": "t 01"})
    assert found.faults == (Fault(3, "label", "t 01", "label_twice", {"other": 2}),)
    assert found.faults[0].as_json()["params"] == {"other": 2}
    assert [one.row for one in found.incoming] == [2]
    assert (found.faulty, found.may_come(0), found.may_come(1)) == (1, False, True)


KEPT = {
    "a formula": "=1+1",
    "a command": "@SUM(A1)",
    "a plus": "+T1",
    "a minus": "-T1",
}


@pytest.mark.parametrize("label", KEPT.values(), ids=KEPT.keys())
def test_what_begins_like_a_formula_is_text(label: str) -> None:
    """Rule I-6."""
    [one] = planned(GOOD | {"label": label, "notes": label}).incoming
    assert (one.label, one.notes) == (label, label)
    # As a table of ours has it, which a spreadsheet program saved.
    [same] = planned(GOOD | {"label": kept(label), "notes": kept(label)}).incoming
    assert same == one


NUMBERS = {
    "plain": ("54", 54), "spaced": ("1\u00a0234", 1234), "whole with a comma": ("54,0", 54),
    "a number": (54, 54), "a whole one of a workbook": (54.0, 54),
}  # fmt: skip


@pytest.mark.parametrize(("cell", "plants"), NUMBERS.values(), ids=NUMBERS.keys())
def test_whole_numbers_are_read_however_they_are_written(cell: Any, plants: int) -> None:
    assert [one.plants for one in planned(GOOD | {"count": cell}).incoming] == [plants]


DAYS: dict[str, tuple[Any, str | None, date]] = {
    "the year first": ("2031-5-3", None, date(2031, 5, 3)),
    "with an hour": ("2031-05-03 07:00", None, date(2031, 5, 3)),
    "of a workbook": (NOON, None, date(2031, 5, 3)),
    "of a workbook, bare": (date(2031, 5, 3), None, date(2031, 5, 3)),
    "the day above twelve": ("13/05/2031", None, date(2031, 5, 13)),
    "the month second": ("05/13/2031", None, date(2031, 5, 13)),
    "both alike": ("05.05.2031", None, date(2031, 5, 5)),
    "the day first, as was said": ("03/04/2031", DAY_FIRST, date(2031, 4, 3)),
    "the month first, as was said": ("03/04/2031", MONTH_FIRST, date(2031, 3, 4)),
    "said one way and plainly the other": ("05/13/2031", DAY_FIRST, date(2031, 5, 13)),
    "with its month's name": ("3 MAY 2031", None, date(2031, 5, 3)),
    "in Spanish": ("3 de enero de 2031", None, date(2031, 1, 3)),
}


@pytest.mark.parametrize(("cell", "order", "day"), DAYS.values(), ids=DAYS.keys())
def test_days_are_read_however_they_are_written(cell: Any, order: str | None, day: date) -> None:
    found = planned(GOOD | {"counted_on": cell}, order=order)
    assert [one.counted_on for one in found.incoming] == [day]


def test_days_that_another_row_proves_are_read_as_that_row_s() -> None:
    """Rule I-6."""
    first, second = GOOD | {"counted_on": "03/04/2031"}, GOOD | {"label": "T2"}
    proved = planned(first, second | {"counted_on": "24/03/2031"})
    assert [one.counted_on for one in proved.incoming] == [date(2031, 4, 3), date(2031, 3, 24)]
    assert (proved.order, proved.asks_order) == (DAY_FIRST, False)
    both = second | {"counted_on": "03/24/2031"}, GOOD | {"label": "T3", "counted_on": "24.03.2031"}
    open_ = planned(first, *both)
    assert [one.code for one in open_.faults] == ["either_day"]
    assert (open_.order, open_.asks_order) == (None, True)
    assert open_.faults[0].params == {"one": "2031-04-03", "other": "2031-03-04"}
    told = planned(first, order=MONTH_FIRST)
    assert (told.order, told.asks_order, told.faults) == (MONTH_FIRST, True, ())


def test_a_cell_of_a_workbook_that_is_a_number_or_a_day_can_be_a_label() -> None:
    rows = [GOOD | {"label": cell} for cell in (7, 8.0, 8.5, NOON)]
    assert [one.label for one in planned(*rows).incoming] == ["7", "8", "8.5", "2031-05-03"]


def test_a_yes_of_a_workbook_is_a_yes() -> None:
    rows = GOOD | {"estimate": True}, GOOD | {"label": "T2", "estimate": False}
    third = GOOD | {"label": "T3", "estimate": "no"}
    assert [one.estimate for one in planned(*rows, third).incoming] == [True, False, False]


# Columns


def test_columns_that_must_be_there_are_named_and_no_row_is_read() -> None:
    found = stock_file.plan(
        Sheet(("Label", "Sort"), ((2, ("T1", "bay")),)), Choices(), HERE, WORDING
    )
    assert found.lacking == (Field.CROP, Field.COUNT, Field.COUNTED_ON, Field.PLACE)
    assert (found.faults, found.incoming, found.may_come(0)) == ((), (), False)


def test_what_a_column_means_can_be_said() -> None:
    headings = ("No.", "Label", "Crop", "Count", "Counted on", "Place")
    row = ("T1", "old", "bay", 3, "2031-05-03", "h-1")
    said = {0: Field.LABEL, 1: None}
    found = stock_file.plan(Sheet(headings, ((2, row),)), Choices(columns=said), HERE, WORDING)
    assert [one.label for one in found.incoming] == ["T1"]
    assert found.taken[0] is Field.LABEL
    assert 1 not in found.taken


def test_of_two_columns_of_one_heading_the_left_one_counts() -> None:
    assert stock_file.taken_as(("Label", "label", "LABEL (tray)"), WORDING, {}) == {0: Field.LABEL}


# Names


def test_a_name_that_is_not_known_can_be_another_s_or_be_made() -> None:
    rows = GOOD | {"crop": "Plum"}, GOOD | {"label": "T2", "crop": "plum"}
    found = planned(*rows)
    assert [(u.column, u.said, u.rows, u.made) for u in found.unknown] == [
        ("crop", "Plum", 2, True),
    ]
    as_bay = planned(*rows, names={"crop": {"plum": "bay"}})
    assert ([one.crop for one in as_bay.incoming], as_bay.crops()) == (["bay", "bay"], [])
    made = planned(*rows, names={"crop": {"plum": ADD}})
    assert [one.crop for one in made.incoming] == [None, None]
    assert made.crops() == ["plum"]
    assert made.unknown == ()


def test_a_place_is_never_made_by_a_file() -> None:
    unknown = GOOD | {"place": "Bench 7"}
    found = planned(unknown, names={"place": {"bench 7": ADD}})
    assert [(one.code, u.made) for one, u in zip(found.faults, found.unknown, strict=True)] == [
        ("unknown", False)
    ]
    assert planned(unknown, names={"place": {"bench 7": "h-1"}}).incoming[0].place == "h-1"


def test_goods_that_are_made_hold_all_their_rows() -> None:
    new = {"goods": "Hill nursery", "arrived_on": "2031-05-02"}
    rows = GOOD | new, GOOD | new | {"label": "T2", "goods": "hill  nursery"}
    chosen = {"goods": {"hill nursery": ADD}}
    known = GOOD | new | {"label": "T3", "goods": "Spring goods"}
    found = planned(*rows, known, names=chosen)
    [(name, some)] = found.goods().items()
    assert (name, [one.label for one in some]) == ("Hill nursery", ["T1", "T2"])
    assert arrived(some) == date(2031, 5, 2)
    assert arrived([some[0], replace(some[1], arrived_on=date(2031, 5, 1))]) is None
    other = rows[1] | {"permit": "CQ-117"}
    assert faults(rows[0], other, names=chosen) == [(3, "permit", "permit_differs")]
    assert [one.row for one in planned(rows[0], other, names=chosen).incoming] == [2]


def test_known_goods_under_their_own_permit_are_no_fault() -> None:
    row = {"goods": "Spring goods", "permit": "CQ-117", "arrived_on": "2031-05-01"}
    assert [one.goods for one in planned(GOOD | row).incoming] == ["c-1"]


# What is here


def house() -> House:
    found = day_1()
    said = [{"language": "es", "text": "Limón de dedo"}]
    crop = {"name": "Finger lime", "botanical": "Citrus mitis", "cultivar": "Red", "called": said}
    found.row("crop", "finger-lime", crop)
    found.row(*place("bench-2", "bench", "shade", name="Bench"))
    found.row(*place("bench-3", "bench", "room", name="Bench"))
    return found


def here(found: House, at: str = "2031-03-24 12:00") -> Here:
    return of_book(found.book(), instant(at))


def test_a_crop_is_found_by_each_of_its_names() -> None:
    crops = here(house()).names["crop"]
    names = ("finger lime", "citrus mitis", "finger lime red", "limon de dedo", "finger-lime")
    assert {name: set(crops[name]) for name in names} == {name: {"finger-lime"} for name in names}
    plain = House([("crop", "bay", {"name": "Bay"})])
    assert here(plain).names["crop"] == {"bay": frozenset({"bay"})}


def test_a_place_is_found_by_its_name_and_by_what_is_around_it() -> None:
    places = here(house()).names["place"]
    assert places["bench"] == {"bench", "bench-2", "bench-3"}
    assert places["shade / bench"] == {"bench-2"}
    assert places["tr3"] == {"tr3"}
    assert "trap-a" not in places
    assert "veshmere" not in places


def test_a_place_in_no_place_that_is_known_has_its_name_alone() -> None:
    found = House([place("bench", "bench", "gone")])
    assert set(here(found).names["place"]) == {"bench"}
    outermost = House([place("hut", "house", None), place("bench", "bench", "hut")])
    assert set(here(outermost).names["place"]) == {"hut", "bench", "hut / bench"}


def test_labels_of_living_batches_are_taken_and_those_of_closed_ones_free() -> None:
    found = house()
    found.add("lost", "t1", "2031-03-20 08:00", {"count": 53, "fate": "died"})
    told = here(found)
    assert "T1" not in told.labels
    assert told.labels["T2"] == "t2"
    assert "t1" in told.begun
    assert told.permit_of == {"c-1": "cq-118"}
    assert (told.today, told.conditions) == (day("2031-03-24"), True)


def test_goods_are_found_by_name_and_permits_by_reference() -> None:
    names = here(house()).names
    assert names["goods"]["liners"] == frozenset({"c-1"})
    assert names["permit"]["cq-118"] == frozenset({"cq-118"})


# What is told of a room


def spoken(found: House, at: str = "2031-03-24 12:00") -> list[tuple[str, str]]:
    book = found.book()
    return [(answer.value, why.code) for answer, why in against("bench", book, instant(at))]


def test_a_room_that_nothing_speaks_against_says_nothing() -> None:
    """Rule I-9."""
    assert spoken(house()) == []


def test_a_held_room_and_a_torn_screen_are_told() -> None:
    """Rule I-9."""
    found = house()
    found.find("t2", "2031-03-20 08:00")
    found.add("breached", "room", "2031-03-21 08:00", {"what": "tear", "vent": "vent-2"})
    assert spoken(found) == [("wait", "breach_open"), ("no", "room_held")]


def test_a_room_that_goes_out_together_is_told_as_its_gate_says_it() -> None:
    """Rule I-9."""
    found = house()
    terms = [*TERMS, term("out", "all_out", {"empty_hours": 168})]
    found.row("permit", "cq-118", {"reference": "CQ-118", "holder": "G", "terms": terms})
    assert spoken(found) == [("no", "room_has_plants")]


# Once


def test_a_row_that_came_in_is_known_however_it_is_written() -> None:
    """Rule I-7."""
    [one] = planned(GOOD).incoming
    after = replace(HERE, begun=frozenset({one.id}), labels={"T1": "b-other"})
    again = GOOD | {"label": "t01", "count": 54, "counted_on": datetime.fromisoformat("2031-05-12")}
    found = planned(again, GOOD | {"label": "T2"}, here=after)
    assert [known.id for known in found.known] == [one.id]
    assert [new.label for new in found.incoming] == ["T2"]
    changed = planned(GOOD | {"count": 53}, here=after)
    assert [one.code for one in changed.faults] == ["label_used"]


# Records


def written(row: dict[str, Any], goods: str | None = None) -> list[tuple[str, str, dict[str, Any]]]:
    [one] = planned(row).incoming
    some = drafts(one, "lime", goods, {"name": "stock.csv", "sha256": "ab"}, WORDING)
    return [(draft.kind, draft.on.isoformat(), dict(draft.body)) for draft in some]


def test_stock_is_taken_on_by_its_count() -> None:
    """Rule I-8."""
    extra = {"lot": "L-4", "notes": "by the door", "arrived_on": "2031-05-01", "estimate": "x"}
    (kind, on, body), (note, _, said) = written(GOOD | extra | {"container": "1 L", "cells": 60})
    assert (kind, on, note) == ("taken_on", "2031-05-12", "noted")
    assert body["method"] == "estimate"
    assert body["file"] == {"name": "stock.csv", "sha256": "ab", "row": 2}
    assert (body["batch"]["container"], body["batch"]["cells"]) == ("1 L", 60)
    assert said["text"] == "by the door\nLot: L-4\nArrived: 2031-05-01"


def test_stock_under_a_permit_counts_from_its_paper() -> None:
    """Rule I-8."""
    [(kind, _, body)] = written(GOOD | {"permit": "CQ-117", "arrived_on": "2031-05-01"})
    assert (kind, body["permit"], body["clock_started_on"]) == ("taken_on", "p-1", "2031-05-01")
    assert body["batch"]["stage"] == "quarantine"


def test_goods_arrive_on_their_day_and_are_counted_on_theirs() -> None:
    """Rule I-8."""
    row = GOOD | {"goods": "Spring goods", "arrived_on": "2031-05-01", "lot": "L-4"}
    some = written(row, goods="c-1")
    assert [(kind, on) for kind, on, _ in some] == [
        ("received", "2031-05-01"), ("counted", "2031-05-12"), ("noted", "2031-05-12"),
    ]  # fmt: skip
    assert some[0][2]["consignment"] == "c-1"
    assert some[1][2] == {"method": "full", "alive": 54}
    assert some[2][2]["text"] == "Lot: L-4"


def test_what_is_written_of_a_row_can_be_read() -> None:
    row = GOOD | {"goods": "Spring goods", "arrived_on": "2031-05-01", "notes": "x"}
    for kind, _, body in (*written(row, goods="c-1"), *written(GOOD)):
        assert not isinstance(read(kind, 1, body), common.Unread)


# Any cells at all

CELLS = st.one_of(
    st.none(),
    st.text(max_size=40),
    st.sampled_from(["54", "1.234", "-1", "03/04/2031", "2031-05-01", "T1", "bay", "h-1", "yes"]),
    st.integers(),
    st.floats(),
    st.booleans(),
    st.dates(),
    st.datetimes(),
)
ROWS = st.lists(st.lists(CELLS, max_size=len(Field) + 1), max_size=5)


@given(ROWS, st.sampled_from([None, DAY_FIRST, MONTH_FIRST]))
def test_whatever_stands_in_cells_is_read_or_named(
    rows: list[list[Any]], order: str | None
) -> None:
    numbered = tuple((n, tuple(row)) for n, row in enumerate(rows, start=2))
    found = stock_file.plan(Sheet(HEADINGS, numbered), Choices(order=order), HERE, WORDING)
    out = {fault.row for fault in found.faults}
    assert {one.row for one in (*found.incoming, *found.known)} | out == {n for n, _ in numbered}
    assert all(f.column in set(Field) and f.code in CODES for f in found.faults)
    for one in found.incoming:
        assert one.row not in out
        for draft in drafts(one, one.crop or "c", one.goods, {"name": "f", "sha256": "a"}, WORDING):
            assert not isinstance(read(draft.kind, 1, draft.body), common.Unread)
