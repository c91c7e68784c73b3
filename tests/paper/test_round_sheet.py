"""A round on paper: what it asks for, in which order, and what it warns of."""

import io
from datetime import timedelta
from itertools import pairwise
from typing import Any

import pytest
from PIL import Image

from nursery.paper import round_sheet, typeset
from nursery.paper.errors import NothingToPrint
from nursery.services import round_sheet as facts
from nursery.services.errors import Unknown
from tests.paper.conftest import NOW, T3, T5, Desk

WEEKLY = {
    "reference": "CQ-118",
    "holder": "Veshmere Terraces",
    "terms": [
        {"id": "look", "rule": "look_over", "says": {}, "since": "2030-01-01", "source": "CQ-118"},
        {"id": "read", "rule": "trap_reading", "says": {}, "since": "2030-01-01", "source": "x"},
    ],
}


@pytest.fixture
def asked(desk: Desk) -> Desk:
    """Trays that a permit wants looked over every week, and a trap that is read as often."""
    desk.put("permit", "cq-118", WEEKLY)
    for tray, alive in ((T3, 54), (T5, 51)):
        desk.write("counted", [tray], {"method": "full", "alive": alive})
    return desk


def sheet(*rooms: str, language: str | None = None, every: bool = False) -> dict[str, Any]:
    return round_sheet.composed(facts.read("veshmere", rooms, NOW, every=every), language)


@pytest.mark.usefixtures("asked")
def test_it_has_each_tray_with_three_boxes_and_each_trap() -> None:
    (room,) = sheet()["rooms"]
    assert room["name"] == "Quarantine room"
    assert [(one["label"], one["alive"], one["stands"]) for one in room["lines"]] == [
        ("T3", "54", "Bench 1"),
        ("T5", "51", "Bench 1"),
    ]
    assert room["traps"] == ["Trap A"]
    assert sheet()["boxes"] == ["Looked, nothing", "I see something", "Not looked"]
    assert sheet(language="es")["boxes"] == ["Revisé, nada", "Veo algo", "No revisé"]


def test_what_was_looked_over_is_not_asked_for_again(asked: Desk) -> None:
    asked.write("looked", [T3], {"answer": "nothing", "plants": 54})
    (room,) = sheet()["rooms"]
    assert [one["label"] for one in room["lines"]] == ["T5"]
    (room,) = sheet("q-room", every=True)["rooms"]
    assert [one["label"] for one in room["lines"]] == ["T3", "T5"]


def test_a_suspect_tray_comes_last_and_the_room_says_that_nothing_leaves_it(asked: Desk) -> None:
    asked.write("found", [T3], {"suspicion": True})
    (room,) = sheet()["rooms"]
    assert [(one["label"], one["doubt"]) for one in room["lines"]] == [
        ("T5", "held"),
        ("T3", "suspect"),
    ]
    assert room["warnings"] == [
        "Held for what was seen on MON 3 MAR: nothing leaves this room.",
    ]


@pytest.mark.parametrize(
    ("until", "warned"),
    [
        ("2031-03-03T18:50:00.000Z", "Nobody goes in before TUE 4 MAR 04:50."),
        (None, "Nobody goes in before somebody has asked."),
    ],
)
def test_a_room_that_is_shut_says_so_above_its_trays(
    asked: Desk, until: str | None, warned: str
) -> None:
    begun = NOW - timedelta(minutes=20)
    asked.write(
        "treated",
        [T3],
        {
            "product": "oil soap",
            "started_at": begun.isoformat(timespec="milliseconds").replace("+00:00", "Z"),
            "ended_at": NOW.isoformat(timespec="milliseconds").replace("+00:00", "Z"),
            **({} if until is None else {"reentry_until": until}),
        },
    )
    (room,) = sheet()["rooms"]
    assert any(warned in one for one in room["warnings"])


@pytest.mark.usefixtures("desk")
def test_where_nothing_is_asked_for_there_is_nothing_to_print() -> None:
    with pytest.raises(NothingToPrint):
        sheet()
    with pytest.raises(Unknown):
        sheet("terrace-3")


@pytest.mark.usefixtures("asked")
def test_a_box_is_six_millimetres_and_the_page_is_a4() -> None:
    data = sheet()
    (page,) = typeset.pictures(round_sheet.TEMPLATE, data, NOW.date(), 254)
    picture = Image.open(io.BytesIO(page)).convert("L")
    assert picture.size == (2100, 2970)
    # Along the middle of the first tray's line, dark runs of a box's two edges lie 60 dots apart.
    edges = {
        tuple(x for x in range(900, 1500) if picture.getpixel((x, y)) == 0) for y in range(300, 900)
    }
    assert any(_has_box(some) for some in edges)


def _has_box(dark: tuple[int, ...]) -> bool:
    starts = [x for at, x in enumerate(dark) if at == 0 or dark[at - 1] != x - 1]
    return sum(55 <= b - a <= 65 for a, b in pairwise(starts)) >= 2


@pytest.mark.usefixtures("asked")
def test_the_same_round_gives_the_same_bytes_and_is_called_by_its_hour() -> None:
    one = round_sheet.pdf("veshmere", (), NOW, "es", every=False)
    assert one == round_sheet.pdf("veshmere", (), NOW, "es", every=False)
    assert sheet()["number"] == "Sheet 2031-03-03 1200"
