"""Labels of what is held: dated, with who says so and what is forbidden; none when it has ended."""

import io
from typing import Any

import pytest
import zxingcpp
from PIL import Image

from nursery.domain import codes
from nursery.domain.codes import Code, What
from nursery.paper import labels, typeset
from nursery.paper.errors import LabelLacks, NotHeld
from nursery.paper.labels import TEMPLATE, Wanted
from nursery.services import held_now
from tests.paper.conftest import NOW, T3, T5, Desk

QR = zxingcpp.BarcodeFormats(zxingcpp.BarcodeFormat.QRCode)
HOLD = {"act": "hold", "reference": "Q-09"}
HELD = Wanted((T3,), each=1, hold=True)


def on_labels(wanted: Wanted) -> list[dict[str, Any]]:
    data, _ = labels.composed("veshmere", wanted, NOW)
    return [label for page in data["pages"] for label in page]


def said(label: dict[str, Any]) -> list[str]:
    return [line["says"] for line in label["lines"]]


@pytest.fixture
def counted(desk: Desk) -> Desk:
    for tray in (T3, T5):
        desk.write("counted", [tray], {"method": "full", "alive": 50})
    return desk


def test_a_hold_by_order_says_since_when_by_which_order_and_what_is_forbidden(
    counted: Desk,
) -> None:
    counted.write("ordered", [T3], HOLD)
    (label,) = on_labels(HELD)
    assert label["band"]["says"] == ["QUARANTINE", "DO NOT MOVE"]
    assert label["word"] == "T3"
    assert said(label) == [
        "Held since 3 MAR 2031, 12:00",
        "order Q-09 of the authority",
        "No move, pot, prune, cut, send.",
        "printed 3 MAR 2031",
    ]


def test_it_speaks_the_language_of_the_place(counted: Desk) -> None:
    body = {"name": "Veshmere", "zone": "Etc/GMT-10", "languages": ["es", "en"]}
    counted.put("nursery", "veshmere", body)
    counted.write("ordered", [T3], HOLD)
    (label,) = on_labels(HELD)
    assert label["band"]["says"] == ["CUARENTENA", "NO MOVER"]
    assert said(label)[:2] == [
        "Retenido desde 3 MAR 2031, 12:00",
        "orden Q-09 de la autoridad",
    ]


def test_a_find_says_where_and_who_wrote_it_until_an_order_takes_its_place(counted: Desk) -> None:
    """Rule E-9."""
    counted.put("person", "p-1", {"name": "Nima", "role": "worker"})
    counted.write("found", [T3], {"suspicion": True})
    (label,) = on_labels(Wanted((T5,), each=1, hold=True))
    assert said(label)[1].startswith("find in T3, by ")
    (plain,) = on_labels(Wanted((T5,), each=1))
    assert said(plain)[0] == "held since 3 MAR 2031 · find in T3"
    counted.write("ordered", ["q-room"], {**HOLD, "reference": "EM-77"})
    (label,) = on_labels(Wanted((T5,), each=1, hold=True))
    assert said(label)[1] == "order EM-77 of the authority"


def test_the_ordinary_label_of_what_is_held_says_it_too(counted: Desk) -> None:
    (plain,) = on_labels(Wanted((T3,), each=1))
    assert plain["band"]["says"] == []
    counted.write("ordered", [T3], HOLD)
    held, other = on_labels(Wanted((T3, T5), each=1))
    assert held["band"]["says"] == ["QUARANTINE", "DO NOT MOVE"]
    assert said(held)[0] == "held since 3 MAR 2031 · Q-09"
    assert "Ember Pearl · Finger-lime" in said(held)
    assert other["band"]["says"] == []


def test_a_room_and_a_block_have_hold_labels_of_their_own(counted: Desk) -> None:
    for place in ("q-room", "terrace-3"):
        counted.write("ordered", [place], {**HOLD, "reference": f"O-{place}"})
    room, block = on_labels(Wanted((), ("q-room", "terrace-3"), each=1, hold=True))
    assert (room["word"], said(room)[1]) == ("Q", "order O-q-room of the authority")
    assert said(block)[2] == "No cuttings, lifting, sending."


def test_a_torn_room_is_held_until_the_authority_decides(counted: Desk) -> None:
    """Rule E-7."""
    torn = {"what": "screen", "exposed_from": "2031-03-03T00:00:00.000Z"}
    counted.write("breached", ["q-room"], torn)
    (label,) = on_labels(HELD)
    assert said(label)[1].startswith("breach of Quarantine room, by ")
    (plain,) = on_labels(Wanted((T3,), each=1))
    assert said(plain)[0] == "held since 3 MAR 2031 · breach of Quarantine room"


def test_when_the_hold_has_ended_there_is_no_such_label_and_the_old_ones_are_named(
    counted: Desk,
) -> None:
    with pytest.raises(NotHeld) as refused:
        on_labels(HELD)
    assert refused.value.params == {"value": "T3"}
    counted.write("ordered", [T3], HOLD)
    assert held_now.report("veshmere") == {
        "held": [
            {
                "what": "batch",
                "id": T3,
                "name": "T3",
                "since": "2031-03-03T02:00:00.000Z",
                "orders": ["Q-09"],
                "kind": "order",
                "where": None,
                "who": None,
            }
        ],
        "ended": [],
    }
    counted.write("ordered", [T3], {"act": "lift", "reference": "LF-12", "lifts": "Q-09"})
    with pytest.raises(NotHeld):
        on_labels(HELD)
    (plain,) = on_labels(Wanted((T3,), each=1))
    assert plain["band"]["says"] == []
    assert held_now.report("veshmere") == {
        "held": [],
        "ended": [
            {
                "what": "batch",
                "id": T3,
                "name": "T3",
                "since": "2031-03-03",
                "until": "2031-03-03",
                "order": "Q-09",
            }
        ],
    }


def test_a_place_of_a_hold_that_ended_is_named_and_a_find_names_no_order(counted: Desk) -> None:
    counted.write("looked", [T5], {"answer": "nothing", "plants": 50})
    counted.write("found", [T3], {"suspicion": True})
    assert {one["name"] for one in held_now.report("veshmere")["held"]} >= {"T3"}
    counted.write("ordered", ["q-room"], {"act": "lift", "reference": "LF-12"})
    ended = held_now.report("veshmere")["ended"]
    assert {(one["what"], one["name"], one["order"]) for one in ended} == {
        ("batch", "T3", None),
        ("place", "Quarantine room", None),
    }


def test_a_batch_without_a_label_is_named(counted: Desk) -> None:
    counted.write("counted", ["ghost"], {"method": "full", "alive": 3})
    counted.write("ordered", ["ghost"], HOLD)
    with pytest.raises(LabelLacks):
        on_labels(Wanted(("ghost",), each=1, hold=True))


SIZES: dict[str, dict[str, Any]] = {
    "the usual label": {},
    "a tag": {"width_mm": 25, "height_mm": 90, "stock": "roll"},
    "the smallest label": {"width_mm": 40, "height_mm": 21, "stock": "roll"},
    "a large label": {"width_mm": 100, "height_mm": 150, "stock": "roll"},
}


@pytest.mark.parametrize("size", SIZES.values(), ids=SIZES.keys())
@pytest.mark.parametrize("hold", [True, False])
def test_its_code_is_read_and_the_words_above_it_leave_the_quiet_zone_white(
    counted: Desk, size: dict[str, Any], hold: bool
) -> None:
    body = {"name": "Veshmere Terraces", "zone": "Etc/GMT-10", "label": size}
    counted.put("nursery", "veshmere", body)
    counted.write("ordered", [T3], HOLD)
    data, day = labels.composed("veshmere", Wanted((T3,), each=1, hold=hold), NOW)
    (page,) = typeset.pictures(TEMPLATE, data, day, 300)
    seen = zxingcpp.read_barcodes(Image.open(io.BytesIO(page)).convert("L"), formats=QR)
    assert [one.text for one in seen] == [codes.write(Code(What.BATCH, T3))]
    assert labels.sheets("veshmere", Wanted((T3,), each=1, hold=hold), NOW).startswith(b"%PDF-")
