"""The card of an anteroom: who may go in, after what, in which order; and that it is one page."""

from datetime import timedelta
from typing import Any

import pytest

from nursery.domain.entry import write_instant
from nursery.paper import anteroom, typeset
from nursery.services import anteroom as facts
from nursery.services.errors import Unknown
from tests.paper.conftest import NOW, T3, T5, Desk


def person(name: str, **more: Any) -> dict[str, Any]:
    return {"name": name, "role": "worker", **more}


@pytest.fixture
def staffed(desk: Desk) -> Desk:
    for ident, name in (("p-1", "Nima"), ("p-2", "Oren"), ("p-3", "Tala")):
        desk.put("person", ident, person(name))
    desk.put("person", "p-4", person("Vero", until="2031-03-02"))
    for tray in (T3, T5):
        desk.write("counted", [tray], {"method": "full", "alive": 50})
    return desk


def card(language: str = "en", room: str = "q-room") -> dict[str, Any]:
    return anteroom.composed(facts.read("veshmere", room, NOW), language)


@pytest.mark.usefixtures("staffed")
def test_everybody_who_works_here_may_go_in_after_the_usual_steps() -> None:
    made = card()
    assert (made["room"], made["who"]["names"]) == ("Quarantine room", ["Nima", "Oren", "Tala"])
    assert made["who"]["kept"] == made["warnings"] == []
    assert made["steps"]["says"] == [
        "Hands: wash and disinfect",
        "Boots of this room, through the foot bath",
        "Clean suit of this room",
    ]
    assert made["steps"]["more"][0].startswith("Nobody wrote when the foot bath")
    assert made["inside"]["none"] == "Nobody inside"
    assert card("es")["before"] == "Antes de entrar"


def test_an_order_lets_in_some_and_the_card_names_who_is_kept_out(staffed: Desk) -> None:
    """Rule G-9."""
    order = {"act": "hold", "reference": "Q-09", "admits": ["p-1"], "paper": "typed"}
    staffed.write("ordered", ["q-room"], order)
    made = card()
    assert made["who"]["names"] == ["Nima"]
    assert made["who"]["only"] == "Q-09: only these people."
    assert made["who"]["kept"] == [
        "Oren and Tala: not before the authority lets them in again (Q-09)."
    ]
    assert made["warnings"] == ["HOLD, Q-09: nothing leaves this room."]


def test_a_training_that_is_asked_for_keeps_out_whoever_has_none(staffed: Desk) -> None:
    """Rule O-3."""
    row = {"name": "Quarantine room", "kind": "room", "parent": "site", "trainings": ["hygiene"]}
    staffed.put("place", "q-room", row)
    staffed.put("person", "p-2", person("Oren", trainings=[{"what": "Hygiene"}]))
    made = card()
    assert made["who"]["names"] == ["Oren"]
    assert made["who"]["kept"] == ["Nima and Tala: not before the training “hygiene” is in date."]
    assert made["who"]["more"][0] == "Asked for: training hygiene."


@pytest.mark.parametrize(
    ("hours", "warned"),
    [
        (12, "NOBODY GOES IN before TUE 4 MAR 00:00. Read the sign on the door"),
        (None, "NOBODY GOES IN: somebody treated here, and no re-entry hour is written."),
    ],
)
def test_a_room_that_is_shut_says_so_in_black(
    staffed: Desk, hours: int | None, warned: str
) -> None:
    body = {
        "product": "oil soap",
        "started_at": write_instant(NOW - timedelta(minutes=20)),
        "ended_at": write_instant(NOW),
    }
    if hours is not None:
        body["reentry_until"] = write_instant(NOW + timedelta(hours=hours))
    staffed.write("treated", ["q-room"], body)
    assert any(one.startswith(warned) for one in card()["warnings"])


def test_who_is_inside_stands_there_with_the_hour(staffed: Desk) -> None:
    staffed.write("entered", ["q-room"], {"person": "p-3", "purpose": "round"})
    staffed.write("entered", ["q-room"], {"visitor": {"name": "I. Moss", "firm": "Moss & Co"}})
    staffed.write("dosed", ["q-room"], {"product": "copper"})
    made = card()
    assert made["inside"]["says"] == [
        "Tala, since MON 3 MAR 12:00",
        "I. Moss, Moss & Co, since MON 3 MAR 12:00",
    ]
    assert made["steps"]["more"][0].startswith("Foot bath made fresh MON 3 MAR 12:00")


def test_rooms_stand_in_the_order_of_the_round_and_a_suspect_one_is_the_last(
    staffed: Desk,
) -> None:
    """Rules I-1 and I-2."""
    staffed.put("place", "a-house", {"name": "Shade house", "kind": "house", "parent": "site"})
    batch = {"id": "oc1", "label": "OC1", "place": "a-house"}
    staffed.write("received", ["oc1"], {"consignment": "con-1", "batches": [batch]})
    names = [one["name"] for one in card()["rooms"]["says"]]
    assert sorted(names) == ["Quarantine room", "Shade house"]
    staffed.write("found", [T3], {"suspicion": True})
    assert card()["rooms"]["says"] == [
        {"name": "Shade house", "note": "", "mine": False},
        {"name": "Quarantine room", "note": "held or suspect: last", "mine": True},
    ]
    assert card()["warnings"] == [
        "HOLD, what was seen MON 3 MAR 12:00: nothing leaves this room.",
    ]


def test_the_nurserys_own_routine_is_told_in_the_language_of_the_card(staffed: Desk) -> None:
    says = [{"language": "en", "text": "Hair net"}, {"language": "es", "text": "Redecilla"}]
    items = [{"id": "hair", "says": says}, {"id": "x", "says": says[:1]}]
    row = {"name": "Anteroom", "version": 1, "items": items}
    staffed.put("checklist", "hygiene", row)
    assert card()["steps"]["says"] == ["Hair net", "Hair net"]
    assert card("es")["steps"]["says"] == ["Redecilla", "Hair net"]


def test_the_numbers_that_are_called_stand_on_it(staffed: Desk) -> None:
    calls = [
        {"what": "plant_health", "number": "0800 118"},
        {"what": "Neighbour", "number": "77", "who": "Ilo"},
    ]
    staffed.put("emergency_card", "card", {"calls": calls})
    assert card()["calls"]["says"] == [
        {"what": "Plant health, duty officer", "number": "0800 118", "who": ""},
        {"what": "Neighbour", "number": "77", "who": "Ilo"},
    ]


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("people", [3, 60])
def test_it_is_one_page_however_many_people_there_are(
    staffed: Desk, people: int, language: str
) -> None:
    for n in range(people):
        staffed.put("person", f"q-{n}", person(f"Somebody with a long name {n}"))
    order = {"act": "hold", "reference": "Q-09", "admits": ["p-1"], "paper": "typed"}
    staffed.write("ordered", ["q-room"], order)
    made = typeset.pictures(anteroom.TEMPLATE, card(language), NOW.date(), 40)
    assert len(made) == 1
    file = anteroom.pdf("veshmere", "q-room", NOW, language)
    assert b"<pdfuaid:part>1</pdfuaid:part>" in file


@pytest.mark.usefixtures("desk")
def test_a_place_that_nobody_typed_has_no_card_and_nobody_may_go_in_where_nobody_is_typed() -> None:
    with pytest.raises(Unknown):
        card(room="nowhere")
    assert card()["who"]["none"] == "Nobody"
