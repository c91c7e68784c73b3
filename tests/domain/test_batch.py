"""What a batch is now: where it stands, what holds it, what was found, and its release."""

from typing import Any

import pytest

from nursery.domain import fold
from nursery.domain.batch import Batch
from tests.domain.pen import Pen

CONDITIONS = {"suspicion": True, "symptom": "black bodies", "tag": "T5-17"}


def folded(pen: Pen, batch: str = "t5") -> Batch:
    return fold.batch(batch, pen.entries, {"w1"})


def open_doubts(state: Batch) -> list[str]:
    return [doubt.code for doubt in state.doubts if doubt.settled_by is None]


def arrived() -> Pen:
    pen = Pen()
    pen.arrive()
    return pen


def test_facts_about_a_batch_that_nothing_brought_in_are_doubted() -> None:
    """Rule B-12."""
    pen = Pen()
    pen.count(54, "08:00")
    state = folded(pen)
    assert (state.alive, open_doubts(state)) == (54, ["unknown_subject"])
    assert open_doubts(folded(pen, "t6")) == []


def test_two_arrivals_of_one_batch_are_doubted() -> None:
    """Rule B-12."""
    pen = arrived()
    pen.arrive(at="09:00", alive=None)
    state = folded(pen)
    assert open_doubts(state) == ["begun_twice"]
    assert state.began_at is not None
    assert state.began_at.hour == 7


def test_an_arrival_that_names_other_batches_is_no_arrival() -> None:
    pen = Pen()
    pen.arrive("t6", alive=None)
    pen.write("received", {"consignment": "c-1", "batches": []}, about=("t5",))
    assert open_doubts(folded(pen)) == ["unknown_subject"]


def test_stays_follow_each_other() -> None:
    pen = arrived()
    pen.write("moved", {"to": "house-1"}, "10:00")
    pen.write("moved", {"to": "house-1"}, "11:00")
    pen.write("potted", {"container": "pot_4_l", "place": "bench-2"}, "12:00")
    pen.write("potted", {"container": "pot_9_l"}, "13:00")
    state = folded(pen)
    stays = [(stay.place, stay.since.hour, stay.until and stay.until.hour) for stay in state.stays]
    assert stays == [("room-1", 7, 10), ("house-1", 10, 12), ("bench-2", 12, None)]
    assert (state.container, state.place) == ("pot_9_l", "bench-2")
    assert state.as_json()["stays"][0]["until"] == "2031-03-03T10:00:00.000Z"


def test_a_new_label_keeps_the_old_one() -> None:
    pen = arrived()
    pen.write("relabelled", {"old": "T5", "new": "Z5"}, "10:00")
    state = folded(pen)
    assert (state.label, state.old_labels) == ("Z5", ["T5"])


def test_toughening_is_a_stage() -> None:
    pen = arrived()
    pen.write("stepped", {"step": "forward", "shade_percent": 50}, "10:00")
    assert folded(pen).stage == "toughening"


def test_a_clock_that_began_before_the_book_is_known() -> None:
    pen = Pen()
    body = {
        "batch": {"id": "k1", "label": "K1", "place": "room-1"},
        "alive": 20,
        "method": "full",
        "clock_started_on": "2031-01-15",
        "permit": "cq-117",
    }
    pen.write("taken_on", body, about=("k1",))
    state = folded(pen, "k1")
    assert (state.opened_on, state.permit, state.alive) == ("2031-01-15", "cq-117", 20)


def test_a_look_that_did_not_look_is_none() -> None:
    pen = arrived()
    pen.write("looked", {"answer": "not_looked", "why": "storm"}, "10:00")
    assert folded(pen).last_looked_at is None
    pen.write("looked", {"answer": "nothing"}, "11:00")
    assert folded(pen).as_json()["last_looked_at"] == "2031-03-03T11:00:00.000Z"


# How an open suspicion is answered: the entries after the find (named `find` here).
ANSWERS: dict[str, tuple[list[tuple[str, dict[str, Any]]], bool]] = {
    "by nothing": ([], False),
    "by a negative result of its sample": (
        [
            ("sampled", {"sample": "S-3", "plants": 1, "found": "find"}),
            ("resulted", {"sample": "S-3", "verdict": "negative"}),
        ],
        True,
    ),
    "not by a confirmed result": (
        [
            ("sampled", {"sample": "S-3", "plants": 1, "found": "find"}),
            ("resulted", {"sample": "S-3", "verdict": "confirmed"}),
        ],
        False,
    ),
    "not by the result of a sample taken for something else": (
        [
            ("sampled", {"sample": "S-3", "plants": 1}),
            ("resulted", {"sample": "S-3", "verdict": "negative"}),
        ],
        False,
    ),
    "by a lift of everything": (
        [("ordered", {"act": "lift", "reference": "LF-12", "photo": "f"})],
        True,
    ),
    "by a lift that names it": (
        [("ordered", {"act": "lift", "reference": "LF-12", "photo": "f", "lifts": "find"})],
        True,
    ),
    "not by the lift of a hold": (
        [("ordered", {"act": "lift", "reference": "LF-12", "photo": "f", "lifts": "Q-1"})],
        False,
    ),
    "by the grower, with a reason": (
        [("settled", {"doubt": "suspicion:find", "reason": "water stain"})],
        True,
    ),
    "not by somebody else": (
        [("settled", {"doubt": "suspicion:find", "reason": "water stain", "author": "w2"})],
        False,
    ),
    "not by the grower without a reason": (
        [("settled", {"doubt": "suspicion:find", "reason": ""})],
        False,
    ),
    "not by settling something else": (
        [("settled", {"doubt": "suspicion:another", "reason": "water stain"})],
        False,
    ),
    "not by an order to treat": (
        [("ordered", {"act": "treat", "reference": "Q-9", "photo": "f"})],
        False,
    ),
}


@pytest.mark.parametrize(("after", "answered"), ANSWERS.values(), ids=ANSWERS.keys())
def test_a_suspicion_is_open_until_it_is_answered(
    after: list[tuple[str, dict[str, Any]]], answered: bool
) -> None:
    """Rules H-2 and E-8."""
    pen = arrived()
    find = pen.write("found", CONDITIONS, "09:00")
    last = find
    for hour, (kind, body) in enumerate(after, 10):
        named = {
            name: value.replace("find", find) if isinstance(value, str) else value
            for name, value in body.items()
        }
        envelope: dict[str, Any] = {"author": named.pop("author")} if "author" in named else {}
        last = pen.write(kind, named, f"{hour}:00", **envelope)
    state = folded(pen)
    (doubt,) = (doubt for doubt in state.doubts if doubt.code == "suspicion")
    assert doubt.blocks is not answered
    assert state.open_finds == ([] if answered else [find])
    if answered:
        assert doubt.settled_by == last


def test_a_find_without_suspicion_is_none() -> None:
    pen = arrived()
    pen.write("found", {"suspicion": False, "pest": "thrips"}, "09:00")
    assert folded(pen).open_finds == []


def test_a_corrected_find_is_answered_by_either_of_its_ids() -> None:
    pen = arrived()
    find = pen.write("found", CONDITIONS, "09:00")
    again = pen.write("found", {**CONDITIONS, "saw": find}, "09:00", corrects=find)
    assert folded(pen).open_finds == [find]
    pen.write("sampled", {"sample": "S-3", "plants": 1, "found": again}, "10:00")
    pen.write("resulted", {"sample": "S-3", "verdict": "negative"}, "11:00")
    assert folded(pen).open_finds == []


def hold(pen: Pen, reference: str, at: str = "09:00") -> str:
    body = {"act": "hold", "reference": reference, "photo": "f-1"}
    return pen.write("ordered", body, at)


LIFTS: dict[str, tuple[str | None, list[str]]] = {
    "one of two": ("Q-1", ["Q-2"]),
    "all, where it names none": (None, []),
    "none, where it names another": ("Q-7", ["Q-1", "Q-2"]),
}


@pytest.mark.parametrize(("lifts", "left"), LIFTS.values(), ids=LIFTS.keys())
def test_a_lift_ends_the_hold_that_it_names(lifts: str | None, left: list[str]) -> None:
    """Rule H-3."""
    pen = arrived()
    hold(pen, "Q-1")
    hold(pen, "Q-2")
    body = {"act": "lift", "reference": "LF-1", "photo": "f-2", "lifts": lifts}
    pen.write("ordered", body, "10:00")
    assert list(folded(pen).holds) == left


AGAINST: dict[str, dict[str, Any]] = {
    "moved": {"to": "house-1"},
    "potted": {"container": "pot_4_l"},
    "sent": {"receiver": "n-2", "plants": [{"id": "t5", "count": 2}]},
    "planted": {"block": "tr3", "positions": ["1"]},
    "stuck": {"batch": {"id": "q1", "label": "Q1"}, "cuttings": 6, "parents": ["t5"]},
    "worked": {"method": "budded", "plants": 5, "scion": "t5"},
    "released": {"notice": "RN-1", "count": 54, "photo": "f-3"},
}


@pytest.mark.parametrize(("kind", "body"), AGAINST.items(), ids=AGAINST.keys())
def test_what_was_done_against_a_hold_is_kept_and_doubted(kind: str, body: dict[str, Any]) -> None:
    """Rules H-4 and H-7."""
    pen = arrived()
    hold(pen, "Q-1")
    assert open_doubts(folded(pen)) == []
    act = pen.write(kind, body, "10:00")
    (doubt,) = folded(pen).doubts
    assert (doubt.id, doubt.params["held_by"]) == (f"against_hold:{act}", ["Q-1"])


def test_losing_and_counting_are_not_against_a_hold() -> None:
    pen = arrived()
    hold(pen, "Q-1")
    pen.lose(1, "10:00")
    pen.count(53, "11:00")
    assert open_doubts(folded(pen)) == []


PAPERS: dict[str, dict[str, Any]] = {
    "opened": {"on": "2031-03-03", "permit": "cq-118"},
    "ordered": {"act": "extend", "reference": "Q-9", "days": 10},
    "accepted": {"what": "potting", "reference": "P-31"},
    "released": {"notice": "RN-1", "count": 54},
}


@pytest.mark.parametrize(("kind", "body"), PAPERS.items(), ids=PAPERS.keys())
def test_an_act_of_the_authority_rests_on_the_picture_of_its_paper(
    kind: str, body: dict[str, Any]
) -> None:
    """Rule H-5."""
    pen = arrived()
    act = pen.write(kind, body, "10:00")
    assert open_doubts(folded(pen)) == ["no_paper"]
    pen.write(kind, {**body, "photo": "f-1", "saw": act}, "10:00", corrects=act)
    state = folded(pen)
    assert open_doubts(state) == []
    assert state.opened_on == body.get("on")


def release(pen: Pen, said: int | None, at: str = "12:00") -> str:
    plants = [] if said is None else [{"id": "t5", "count": said}]
    body = {"notice": "RN-204", "count": 241, "plants": plants, "photo": "f-9"}
    return pen.write("released", body, at)


def lose_before(pen: Pen) -> None:
    pen.lose(1, "11:00", typed="18:00")


def lose_after(pen: Pen) -> None:
    pen.lose(1, "13:00")


def find_before(pen: Pen) -> None:
    pen.write("found", CONDITIONS, "11:00", typed="18:00")


def find_after(pen: Pen) -> None:
    pen.write("found", CONDITIONS, "13:00")


def settle_in_time(pen: Pen) -> None:
    find = pen.write("found", CONDITIONS, "10:00")
    pen.write("settled", {"doubt": f"suspicion:{find}", "reason": "stain"}, "11:00")


def settle_too_late(pen: Pen) -> None:
    find = pen.write("found", CONDITIONS, "10:00")
    pen.write("settled", {"doubt": f"suspicion:{find}", "reason": "stain"}, "13:00")


def hold_before(pen: Pen) -> None:
    hold(pen, "Q-1", "11:00")


def hold_after(pen: Pen) -> None:
    hold(pen, "Q-1", "13:00")


def nothing(pen: Pen) -> None:
    pass


RELEASES = {
    "the same figure": (54, nothing, []),
    "no figure for this batch": (None, lose_before, []),
    "another figure": (55, nothing, ["released_differs"]),
    "fewer": (50, nothing, ["released_differs"]),
    "a death told later that was before": (54, lose_before, ["released_differs"]),
    "a death after": (54, lose_after, []),
    "a find told later that was before": (54, find_before, ["before_release", "suspicion"]),
    "a find after": (54, find_after, ["suspicion"]),
    "a find answered before": (54, settle_in_time, []),
    "a find answered after": (54, settle_too_late, ["before_release"]),
    "a hold in force": (54, hold_before, ["against_hold"]),
    "a hold after": (54, hold_after, []),
}


@pytest.mark.parametrize(("said", "other", "doubts"), RELEASES.values(), ids=RELEASES.keys())
def test_what_stood_before_a_release_and_contradicts_it_is_doubted(
    said: int | None, other: Any, doubts: list[str]
) -> None:
    """Rules H-6 and H-7 (sync requirement 17)."""
    pen = arrived()
    notice = release(pen, said)
    kept = folded(pen).released
    other(pen)
    state = folded(pen)
    assert open_doubts(state) == doubts
    assert kept == {
        "entry": notice,
        "notice": "RN-204",
        "at": "2031-03-03T12:00:00.000Z",
        "count": 241,
        "said": said,
        "alive": 54,
        "out": 0,
    }
    # What happened before and is told later is in it; what happens after changes no signed record.
    assert state.released == kept | {"alive": 53 if other is lose_before else 54}


ENVELOPES: dict[str, tuple[dict[str, Any], list[str]]] = {
    "sound": ({}, []),
    "without a PIN": ({"confirmed": False}, ["unconfirmed"]),
    "a clock five minutes off": ({"skew_ms": 300_000}, []),
    "a clock more than five minutes off": ({"skew_ms": -300_001}, ["clock_off"]),
    "a clock that never heard from the office": ({"skew_ms": None}, []),
}


@pytest.mark.parametrize(("envelope", "doubts"), ENVELOPES.values(), ids=ENVELOPES.keys())
def test_an_envelope_in_doubt_keeps_no_fact_out(
    envelope: dict[str, Any], doubts: list[str]
) -> None:
    """Rules B-10 and B-11."""
    pen = arrived()
    pen.lose(3, "09:00", **envelope)
    state = folded(pen)
    assert (state.alive, open_doubts(state), state.blocking) == (51, doubts, False)


UNREAD: dict[str, tuple[str, dict[str, Any], int, str]] = {
    "an unknown kind": ("hummed", {"tune": "low"}, 1, "newer_version"),
    "a newer version": ("lost", {"count": 3, "fate": "died"}, 99, "newer_version"),
    "a body that does not fit": ("lost", {"count": "three"}, 1, "unreadable_body"),
}


@pytest.mark.parametrize(("kind", "body", "v", "code"), UNREAD.values(), ids=UNREAD.keys())
def test_what_cannot_be_read_changes_nothing_and_blocks(
    kind: str, body: dict[str, Any], v: int, code: str
) -> None:
    """Rule B-9 (sync requirement 18)."""
    pen = arrived()
    pen.write(kind, body, "09:00", v=v)
    state = folded(pen)
    assert (state.alive, open_doubts(state), state.blocking) == (54, [code], True)


def test_settling_a_doubt_closes_it_and_a_new_fact_opens_a_new_one() -> None:
    pen = arrived()
    odd = pen.lose(60, "09:00")
    closed = pen.write("settled", {"doubt": f"below_zero:{odd}", "reason": "seen"}, "10:00")
    (doubt,) = folded(pen).doubts
    assert (doubt.settled_by, doubt.blocks) == (closed, False)
    pen.lose(1, "11:00")
    assert open_doubts(folded(pen)) == ["below_zero"]


def test_the_whole_state_says_more_than_the_phones_part_and_the_same() -> None:
    state = folded(arrived())
    whole = state.as_json()
    assert {name: whole[name] for name in state.phone()} == state.phone()
    assert whole["facts"] == 2
