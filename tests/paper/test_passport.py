"""A draft of a plant passport: what it says, what it leaves open, what speaks against it.

Elements A to D: EU 2016/2031 Annex VII part A, EU 2017/2313 (read in part).
"""

from typing import Any

import pytest

from nursery.paper import passport, typeset
from nursery.paper.errors import LabelLacks
from nursery.services.errors import Unknown
from tests.paper.conftest import NOW, T3, T5, Desk

LIME = {"name": "Finger-lime", "cultivar": "Ember Pearl", "botanical": "Citrus australasica"}
GOODS = {
    "name": "March 2031",
    "without_conditions": True,
    "origin": "Orrin",
    "certificate": "PC-77",
    "supplier": "Sela",
}


@pytest.fixture
def free(desk: Desk) -> Desk:
    """Trays that came under no conditions, counted."""
    desk.put("crop", "finger-lime", LIME)
    desk.put("consignment", "con-1", GOODS)
    for tray in (T3, T5):
        desk.write("counted", [tray], {"method": "full", "alive": 50})
    return desk


def sheet(batch: str = T3, language: str = "en") -> dict[str, Any]:
    return passport.composed("veshmere", batch, NOW, language)


def says(made: dict[str, Any]) -> dict[str, str]:
    return {one["letter"]: one["says"] for one in made["elements"]}


@pytest.mark.usefixtures("free")
def test_it_says_what_the_book_says_and_leaves_the_number_to_the_operator() -> None:
    made = sheet()
    assert says(made) == {
        "A": "Citrus australasica ‘Ember Pearl’",
        "B": "",
        "C": "T3",
        "D": "Orrin",
    }
    assert made["against"] == []
    assert made["not_valid"].startswith("This is no plant passport.")
    assert dict(made["facts"]["says"]) == {
        "Crop": "Finger-lime",
        "Plants alive": "50",
        "Stands in": "Bench 1",
        "Came with": "March 2031 · PC-77 · Sela",
        "Last look-over": "not told",
        "Last official inspection": "not told",
    }
    assert sheet(language="es")["words"] == "Pasaporte Fitosanitario / Plant Passport"


def test_what_nobody_typed_is_an_empty_line(free: Desk) -> None:
    free.put("crop", "finger-lime", {"name": "Finger-lime", "cultivar": "Ember Pearl"})
    free.put("consignment", "con-1", {"name": "March 2031", "without_conditions": True})
    assert says(sheet()) == {"A": "", "B": "", "C": "T3", "D": ""}
    child = {"id": "wild", "label": "W1"}
    free.write("taken_on", ["wild"], {"batch": child, "alive": 9, "method": "full"})
    assert says(sheet("wild")) == {"A": "", "B": "", "C": "W1", "D": ""}


def test_a_batch_of_lost_labels_names_the_origins_of_all_that_it_may_be(free: Desk) -> None:
    free.put("consignment", "con-2", {**GOODS, "name": "April", "origin": "Caldesh"})
    other = {"id": "oc1", "label": "OC1", "crop": "finger-lime"}
    free.write("received", ["oc1"], {"consignment": "con-2", "batches": [other]})
    free.write("counted", ["oc1"], {"method": "full", "alive": 20})
    parents = [{"id": T3, "left": 46}, {"id": "oc1", "left": 16}]
    child = {"id": "u", "label": "U", "count": 8, "container": "2.5 L"}
    free.write("mixed", [T3, "oc1", "u"], {"parents": parents, "children": [child]})
    assert says(sheet("u"))["D"] == "Orrin; Caldesh"


def test_plants_that_may_not_leave_get_the_reason_on_their_draft(free: Desk) -> None:
    free.write("ordered", [T3], {"act": "hold", "reference": "Q-09"})
    made = sheet()
    assert made["against"][0] == "Not to be issued now: these plants may not leave."
    assert any("Held by order Q-09" in one for one in made["against"][1:])


def test_a_permit_that_holds_the_plants_speaks_against_it_too(desk: Desk) -> None:
    desk.write("counted", [T3], {"method": "full", "alive": 50})
    assert sheet()["against"][0] == "Not to be issued now: these plants may not leave."


def test_looks_inspections_and_the_notice_stand_beside_it(free: Desk) -> None:
    free.write("looked", [T3], {"answer": "nothing", "plants": 50})
    free.write("inspected", [T3], {"inspector": "P", "answer": "nothing", "plants": 50})
    free.write("released", [T3], {"notice": "RN-204", "count": 50})
    told = dict(sheet()["facts"]["says"])
    assert told["Released"] == "Notice RN-204, MON 3 MAR, 50 plants"
    assert told["Last look-over"].startswith("MON 3 MAR: ")
    assert told["Last official inspection"] == "MON 3 MAR"


@pytest.mark.parametrize("language", ["en", "es"])
def test_it_is_one_page_that_a_screen_reader_can_read(free: Desk, language: str) -> None:
    free.write("ordered", [T3], {"act": "hold", "reference": "Q-09"})
    assert len(typeset.pictures(passport.TEMPLATE, sheet(language=language), NOW.date(), 40)) == 1
    file = passport.pdf("veshmere", T3, NOW, language)
    assert b"<pdfuaid:part>1</pdfuaid:part>" in file


def test_what_is_no_batch_has_no_draft(free: Desk) -> None:
    with pytest.raises(Unknown):
        sheet("nobody")
    free.write("counted", ["ghost"], {"method": "full", "alive": 3})
    with pytest.raises((Unknown, LabelLacks)):
        sheet("ghost")
