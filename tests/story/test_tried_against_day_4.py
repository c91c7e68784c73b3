"""What days 4 and 4b are tried against: too soon, without a licence, a sample that nobody took.

The story is told once up to the first treatment; each test goes on from there by itself.
"""

from collections.abc import Iterator
from typing import Any

import pytest

from nursery.ops.demo import names as n
from nursery.ops.demo.play import Teller
from nursery.services.demo import W1, G
from tests.story.reading import add, going_on, may, read, record, said, there, told_until

pytestmark = pytest.mark.django_db

TREATED = there("2031-05-17T18:00")
SOAP = {"product": n.OIL_SOAP, "operator": G.id, "licence": "AL-311", "order": "Q-09"}


@pytest.fixture(scope="module")
def treated_once(django_db_setup: None, django_db_blocker: Any) -> Iterator[Teller]:
    with told_until(django_db_blocker, TREATED) as teller:
        yield teller


@pytest.fixture
def teller(treated_once: Teller, django_db_blocker: Any) -> Iterator[Teller]:
    with going_on(django_db_blocker, treated_once) as teller:
        yield teller


def doubts(reading: Any, code: str) -> list[tuple[str, dict[str, Any]]]:
    return [
        (item["subject"], doubt["params"])
        for item in reading.needs["doubts"]
        for doubt in item["doubts"]
        if doubt["code"] == code
    ]


def test_booking_treatment_2_for_26_may_is_refused_and_for_27_may_is_not(teller: Teller) -> None:
    refused = may(teller, "treating", n.T1, "2031-05-26")
    assert said(refused) == ("wait", "treatment_too_soon")
    assert (refused["params"]["days"], refused["params"]["needed"]) == (9, 10)
    assert refused["params"]["plan"] == "2031-05-27"
    assert may(teller, "treating", n.T1, "2031-05-27")["answer"] == "yes"


def test_booked_for_26_may_all_the_same_is_kept_and_doubted(teller: Teller) -> None:
    body = {"act": "treatment", "on": "2031-05-26", "order": "Q-09"}
    add(teller, n.OFFICE_PHONE, G.id, TREATED, record("booked", n.SPARED, **body))
    after = read(teller, there("2031-05-17T18:10"))
    assert {subject for subject, _ in doubts(after, "booked_too_soon")} == set(n.SPARED)
    assert after.forecast(n.T1)["clock"]["only_if"]["params"]["on"] == "2031-05-27"


def spray(teller: Teller, day: str, **other: Any) -> str:
    body = {
        **SOAP,
        "started_at": f"{day}T06:30:00.000Z",
        "ended_at": f"{day}T06:50:00.000Z",
        "reentry_until": f"{day}T18:50:00.000Z",
        **other,
    }
    told = {name: value for name, value in body.items() if value is not None}
    at = there(f"{day}T16:50")
    teller.tell(at)
    act = record("treated", (*n.SPARED, n.QUARANTINE), **told)
    return add(teller, n.ROOM_PHONE, G.id, at, act)


def test_sprayed_on_the_26th_is_kept_doubted_and_starts_no_clock(teller: Teller) -> None:
    spray(teller, "2031-05-26")
    after = read(teller, there("2031-05-26T18:00"))
    asked = doubts(after, "treated_too_soon")
    assert {subject for subject, _ in asked} == set(n.SPARED)
    assert asked[0][1] == {"reference": "Q-09", "days": 9, "interval_days": 10}
    assert len(after.places[n.QUARANTINE]["record"]["treatments"]) == 2
    for clock in after.clocks(n.SPARED):
        assert clock["started_on"] != "2031-05-26"
        assert clock["only_if"]["params"]["on"] == "2031-05-27"
        assert "treatment_missing" in {reason["code"] for reason in clock["unmet"]}
    assert after.room()["reentry_until"] == "2031-05-26T18:50:00.000Z"


def test_the_door_is_shut_until_ten_to_five_and_open_at_it(teller: Teller) -> None:
    teller.tell(there("2031-05-18T04:49"))
    room = read(teller, there("2031-05-18T04:49")).room()
    assert room["people"][W1.id]["answer"] == "wait"
    assert room["people"][W1.id]["opens_at"] == "2031-05-17T18:50:00.000Z"


def test_an_ordered_treatment_without_a_licence_is_kept_and_blocks(teller: Teller) -> None:
    spray(teller, "2031-05-20", licence=None)
    after = read(teller, there("2031-05-20T18:00"))
    [(subject, _)] = doubts(after, "ordered_without_licence")
    assert subject == n.QUARANTINE
    assert len(after.places[n.QUARANTINE]["record"]["treatments"]) == 2


def test_people_who_had_not_gone_out_and_a_late_sign_are_named(teller: Teller) -> None:
    at = there("2031-05-20T16:00")
    teller.tell(at)
    add(teller, n.ROOM_PHONE, W1.id, at, record("entered", n.QUARANTINE))
    spray(teller, "2031-05-20", sign_posted_at="2031-05-20T06:40:00.000Z")
    after = read(teller, there("2031-05-20T16:55"))
    [(_, inside)] = doubts(after, "somebody_inside")
    assert inside["people"] == [W1.name]
    assert len(doubts(after, "sign_late")) == 1
    gate = may(teller, "leaving", n.QUARANTINE)
    assert said(gate) == ("yes", "leaving_is_free")


def test_a_result_of_an_unknown_sample_is_kept_and_asked_about(teller: Teller) -> None:
    result = record("resulted", n.T1, sample="S-30", verdict="confirmed", photo="photo-lr-450")
    add(teller, n.OFFICE_PHONE, G.id, TREATED, result)
    after = read(teller, there("2031-05-17T18:10"), [n.T1])
    [(subject, params)] = doubts(after, "unknown_sample")
    assert (subject, params) == (n.T1, {"sample": "S-30", "verdict": "confirmed"})
    assert after.timelines[n.T1][-1]["entry"]["body"]["sample"] == "S-30"


@pytest.mark.parametrize(
    ("kind", "body"),
    [
        ("lost", {"count": -2, "fate": "died"}),
        ("counted", {"method": "full", "alive": -1}),
        ("disposed", {"what": "bag", "method": "burned", "plants": [{"id": n.T1, "count": -1}]}),
    ],
)
def test_a_negative_quantity_is_kept_and_changes_nothing(
    teller: Teller, kind: str, body: dict[str, Any]
) -> None:
    ident = add(teller, n.OFFICE_PHONE, G.id, TREATED, record(kind, n.T1, **body))
    after = read(teller, there("2031-05-17T18:10"), [n.T1])
    assert after.alive() == [53, 53, 53, 0, 48, 44]
    [(subject, params)] = doubts(after, "unreadable_body")
    assert (subject, params["kind"]) == (n.T1, kind)
    assert ident in {line["entry"]["id"] for line in after.timelines[n.T1]}


@pytest.mark.parametrize(
    ("asked", "field"),
    [
        ("act=sprinkling&subject=b-t1", "act"),
        ("act=moving&subject=b-t1&on=2031-02-30", "on"),
        ("act=moving&subject=b-t1&on=0001-01-01", "on"),
    ],
)
def test_what_cannot_be_asked_is_said_at_the_desk(teller: Teller, asked: str, field: str) -> None:
    answer = teller.office.send("GET", f"/api/v1/may?{asked}")
    assert answer.status == 400
    assert field in str(answer.json())


@pytest.mark.parametrize("asked", ["act=moving&subject=b-t99", "act=entering&subject=cellar"])
def test_what_nobody_knows_is_not_found(teller: Teller, asked: str) -> None:
    assert teller.office.send("GET", f"/api/v1/may?{asked}").status == 404


def test_a_held_tray_scanned_in_another_room_is_kept_doubted_and_goes_nowhere(
    teller: Teller,
) -> None:
    moved = record("moved", n.T1, to=n.SHADE_HOUSE)
    add(teller, n.SECOND_PHONE, W1.id, TREATED, moved)
    after = read(teller, there("2031-05-17T18:10"))
    assert after.stock[n.T1]["place"] == n.SHADE_HOUSE
    assert [subject for subject, _ in doubts(after, "against_hold")] == [n.T1]
    for act in ("moving", "sending", "potting"):
        assert after.gate(n.T1, act)["answer"] == "no"
    # An exposure makes no other: what stands there is free.
    assert after.forecast(n.SEEDBED)["held"] == []
