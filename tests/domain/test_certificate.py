"""Certificate and permit, held against each other field by field; and how long records are kept."""

from typing import Any

import pytest

from nursery.domain import certificate, outlook
from tests.domain.house import TERMS, TRAYS, House, day_1, instant, term

PERMIT: dict[str, Any] = {
    "reference": "CQ-118",
    "holder": "G",
    "valid_from": "2031-01-01",
    "valid_to": "2031-06-30",
    "crops": ["finger-lime"],
    "origin": "Tellaveen",
    "form": "budded_liners",
    "treatments": ["Dip, soap 1 %", "Fumigated"],
    "declaration": "Grown in a screened house.",
    "terms": list(TERMS),
}
PAPER: dict[str, Any] = {
    "name": "Liners",
    "permit": "cq-118",
    "origin": "tellaveen ",
    "certificate_on": "2031-02-25",
    "arrived_on": "2031-03-03",
    "form": "budded_liners",
    "treatments": ["fumigated", "dip,  soap 1 %", "Washed"],
    "declaration": "Grown in a screened  house.",
    "lines": [{"id": "l-1", "crop": "finger-lime", "stated": 324}],
}


def house(permit: dict[str, Any], paper: dict[str, Any]) -> House:
    made = day_1()
    made.row("crop", "finger-lime", {"name": "Finger lime", "botanical": "Citrus australasica"})
    made.row("permit", "cq-118", PERMIT | permit)
    made.row("consignment", "c-1", PAPER | paper)
    return made


def compared(permit: dict[str, Any], paper: dict[str, Any]) -> dict[str, certificate.Field]:
    book = house(permit, paper).book()
    return {
        one.field: one for one in certificate.against_permit(book.row("consignment", "c-1"), book)
    }


def test_papers_that_say_the_same_in_every_field() -> None:
    """Rule G-15: case and spaces are no difference, and more treatments than asked are none."""
    found = compared({}, {})
    assert list(found) == [
        "taxa",
        "origin",
        "form",
        "quantity",
        "days",
        "treatments",
        "declaration",
    ]
    assert {one.held.value for one in found.values()} == {"same"}
    assert found["taxa"].as_json() == {
        "field": "taxa",
        "held": "same",
        "permit": ["Citrus australasica"],
        "certificate": ["Citrus australasica"],
    }
    assert (found["quantity"].permit, found["quantity"].certificate) == (330, 324)
    assert found["days"].certificate == ["2031-02-25", "2031-03-03"]


OTHER: dict[str, tuple[dict[str, Any], dict[str, Any], str, str]] = {
    "another taxon": ({"crops": ["lemon"]}, {}, "taxa", "different"),
    "no line on the certificate": ({}, {"lines": []}, "taxa", "missing"),
    "no taxon on the permit": ({"crops": []}, {}, "taxa", "not_asked"),
    "another origin": ({}, {"origin": "Orrin"}, "origin", "different"),
    "no origin": ({}, {"origin": None}, "origin", "missing"),
    "another form": ({}, {"form": "seed"}, "form", "different"),
    "more than the permit": (
        {},
        {"lines": [{"id": "l-1", "crop": "finger-lime", "stated": 331}]},
        "quantity",
        "different",
    ),
    "no figure on the certificate": (
        {},
        {"lines": [{"id": "l-1", "crop": "finger-lime"}]},
        "quantity",
        "missing",
    ),
    "no figure on the permit": ({"terms": []}, {}, "quantity", "not_asked"),
    "a permit that had run out": ({"valid_to": "2031-03-02"}, {}, "days", "different"),
    "a permit that was not yet valid": ({"valid_from": "2031-03-01"}, {}, "days", "different"),
    "no day on the certificate": (
        {},
        {"certificate_on": None, "arrived_on": None},
        "days",
        "missing",
    ),
    "a permit without days": ({"valid_from": None, "valid_to": None}, {}, "days", "not_asked"),
    "a treatment that is not there": ({}, {"treatments": ["Fumigated"]}, "treatments", "different"),
    "no treatment at all": ({}, {"treatments": []}, "treatments", "missing"),
    "another declaration": ({}, {"declaration": "Free of it."}, "declaration", "different"),
    "no declaration wanted": ({"declaration": None}, {}, "declaration", "not_asked"),
}


@pytest.mark.parametrize(("permit", "paper", "field", "held"), OTHER.values(), ids=OTHER.keys())
def test_a_field_that_differs_or_is_not_there(
    permit: dict[str, Any], paper: dict[str, Any], field: str, held: str
) -> None:
    found = compared(permit, paper)
    assert found[field].held.value == held
    others = {one.held.value for name, one in found.items() if name != field}
    assert others <= {"same", "not_asked", "missing"}


def test_a_crop_that_nobody_described_is_named_by_its_id() -> None:
    assert compared({"crops": ["lemon"]}, {})["taxa"].permit == ["lemon"]


def test_a_crop_without_a_botanical_name_is_named_as_it_is_called() -> None:
    made = house({}, {})
    made.row("crop", "finger-lime", {"name": "Finger lime"})
    book = made.book()
    first = certificate.against_permit(book.row("consignment", "c-1"), book)[0]
    assert first.permit == ["Finger lime"]


def consignment(made: House, at: str = "2031-03-04 12:00") -> dict[str, Any]:
    told: list[dict[str, Any]] = outlook.compose(made.book(), instant(at))["consignments"]
    (one,) = told
    return one


def test_the_outlook_has_the_two_papers_side_by_side() -> None:
    told = consignment(house({}, {}))
    assert [one["held"] for one in told["compared"]] == ["same"] * 7
    made = house({}, {})
    made.rows["permit"].clear()
    assert consignment(made)["compared"] == []
    made.rows["consignment"].clear()
    assert consignment(made)["compared"] == []


LEVEL = {"at": "inspection", "all_plants": True, "prevalence": 0.05, "confidence": 0.95}


def test_the_outlook_says_how_many_of_a_consignment_to_look_at() -> None:
    """Rule C-10: of 307 plants 55 would show 5 %."""
    told = consignment(house({"terms": [*TERMS, term("level", "sample_level", LEVEL)]}, {}))
    plan = told["plans"]["inspection"]
    assert (plan["lot"], plan["number"], plan["to_notice"]) == (307, 307, 55)
    assert consignment(house({}, {}))["plans"] == {}


def everything_gone(made: House, at: str) -> None:
    for tray, alive in zip(TRAYS, (53, 53, 53, 54, 50, 44), strict=True):
        made.add("lost", tray, at, {"count": alive, "fate": "destroyed"})


KEPT = term("kept", "records_kept", {"years": 3})


@pytest.mark.parametrize(
    ("terms", "gone_on", "until"),
    [
        ([KEPT], "2031-09-01 09:00", "2034-09-01"),
        ([KEPT], "2032-02-29 09:00", "2035-03-01"),
        ([], "2031-09-01 09:00", None),
        ([KEPT], None, None),
    ],
    ids=["three years", "a leap day", "no term", "still alive"],
)
def test_records_are_kept_from_the_last_event_on(
    terms: list[dict[str, Any]], gone_on: str | None, until: str | None
) -> None:
    """Rule R-7."""
    made = house({"terms": [*TERMS, *terms]}, {})
    if gone_on is not None:
        everything_gone(made, gone_on)
    assert consignment(made)["kept_until"] == until


def test_of_a_consignment_that_has_not_come_nothing_is_kept_yet() -> None:
    made = house({"terms": [KEPT]}, {})
    made.row("consignment", "c-2", {"name": "Later", "permit": "cq-118"})
    told = outlook.compose(made.book(), instant("2031-03-04 12:00"))["consignments"]
    assert [one["kept_until"] for one in told] == [None, None]


def test_plants_whose_clock_has_not_begun_have_no_term() -> None:
    made = house({"terms": [KEPT]}, {})
    stuck = {"batch": {"id": "cut", "label": "CUT"}, "cuttings": 20, "parents": ["nobody", "t1"]}
    made.add("stuck", ("cut", "t1"), "2031-05-01 09:00", stuck)
    assert consignment(made)["kept_until"] is None
