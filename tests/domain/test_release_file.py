"""The release file of a consignment: what it tells, of which batches, and what it leaves out."""

import json
from typing import Any

import pytest

from nursery.domain.release_file.told import places_of, written_at
from tests.domain.house import TRAYS, House, term, with_terms
from tests.domain.release_scene import composed, file_of, told_of, whole


@pytest.fixture(scope="module")
def told() -> dict[str, Any]:
    return file_of(whole(), "2031-05-20")


def test_it_is_plain_json(told: dict[str, Any]) -> None:
    assert json.loads(json.dumps(told)) == told


def test_the_account_is_that_of_the_whole_consignment(told: dict[str, Any]) -> None:
    account = told["account"]
    assert (account["stated"], account["counted"]) == (324, 318)
    assert account["ledger"]["in"] == 318
    assert account["ledger"]["destroyed"] == 54
    assert [one["code"] for one in told["notices"]] == ["short"]


def test_batches_of_a_lost_label_balance_together_and_stand_in_one_line(
    told: dict[str, Any],
) -> None:
    lines = [line["batches"] for line in told["ledger"]]
    assert lines == [["t1"], ["t2"], ["t3", "t5", "u"], ["t4"], ["t6"]]
    together = told["ledger"][2]
    assert (together["in"], together["mixed"]) == (108, 0)


def test_the_clock_is_told_once_for_all_batches_that_share_it(told: dict[str, Any]) -> None:
    clocks = told["clocks"]
    assert sum(len(one["batches"]) for one in clocks) == 6  # T4 is gone
    assert {one["earliest"] for one in clocks} == {"2031-08-30"}
    assert {one["started_on"] for one in clocks} == {"2031-03-03"}


def week(told: dict[str, Any], first: str) -> dict[str, Any]:
    return next(one for one in told["looks"]["weeks"] if one["from"] == first)


def test_a_week_in_which_every_batch_was_looked_over_is_done_with_its_minutes(
    told: dict[str, Any],
) -> None:
    done = week(told, "2031-03-24")
    assert (done["answer"], done["batches"], done["done"]) == ("nothing", 6, 6)
    assert (done["minutes"], done["plants"], done["by"]) == (54, 168, ["w1"])
    assert [one["batch"] for one in done["looks"]] == list(TRAYS)


def test_the_other_answers_of_a_week(told: dict[str, Any]) -> None:
    answers = {one["from"]: one["answer"] for one in told["looks"]["weeks"]}
    assert answers["2031-05-05"] == "blank"
    assert answers["2031-05-12"] == "part"
    assert answers["2031-05-19"] == "running"
    part = week(told, "2031-05-12")
    assert part["found_in"] == ["t2"]
    said = next(one for one in part["not_done"] if one["batch"] == "t1")
    assert (said["why"], said["accepted"]) == ("screen", None)
    assert week(told, "2031-05-05")["not_done"][0]["accepted"] == "AC-5"
    looks = told["looks"]
    assert (looks["over"], looks["done"], looks["not_done"]) == (11, 8, 3)


def test_a_week_that_nobody_looked_and_all_said_why_is_not_done() -> None:
    house = House()
    house.arrive("2031-03-03 07:30", trays=("t1", "t2"))
    for tray in ("t1", "t2"):
        house.count(tray, 54, "2031-03-03 08:10")
    house.looked("2031-03-04 08:00", ("t1", "t2"))
    house.looked("2031-03-11 08:00", ("t1", "t2"), "not_looked", why="screen")
    house.looked("2031-03-18 08:00", ("t1",), "not_looked", why="screen")
    house.looked("2031-03-19 08:00", ("t2",), "found")
    told = file_of(house, "2031-03-24")
    assert [one["answer"] for one in told["looks"]["weeks"]] == [
        "nothing",
        "not_done",
        "part",
        "running",
    ]


def test_finds_and_papers_stand_in_their_lists(told: dict[str, Any]) -> None:
    assert [one["kind"] for one in told["incidents"]] == ["find"]
    assert [one["body"]["reference"] for one in told["notified"]] == ["EM-77"]
    assert [one["body"]["act"] for one in told["orders"]] == ["destroy"]
    assert [one["kind"] for one in told["ways"]] == ["mixed"]
    assert [one["kind"] for one in told["room"]] == ["cleaned"]
    assert told["treatments"] == told["inspections"] == told["releases"] == []


def test_corrections_keep_both_versions_with_who_when_and_why(told: dict[str, Any]) -> None:
    mended, cancelled = told["corrections"]
    first, second = mended["versions"]
    assert (first["body"]["count"], second["body"]["count"]) == (3, 2)
    assert (first["by"], second["by"], second["why"]) == ("w2", "g", "miscounted")
    assert second["entry"] == mended["stands"]
    assert second["received_at"] == "2031-05-16T23:01:00.000Z"
    assert second["written_at"] == second["at"]
    assert cancelled["stands"] is None
    assert [one["withdrawn"] for one in cancelled["versions"]] == [False, True]
    assert [one["corrected"] for one in told["losses"] if one["at"] == first["at"]] == [True]


def test_photos_are_named_with_their_files_as_far_as_they_are_known(
    told: dict[str, Any],
) -> None:
    photos = {one["name"]: one for one in told["photos"]}
    assert photos["picture-1"]["sha256"] == "ab" * 32
    assert (photos["picture-1"]["about"], photos["picture-1"]["shows"]) == (["t4"], "find")
    assert photos["picture-2"]["sha256"] is None
    assert len(photos["picture-2"]["named_by"]) == 1


def test_people_are_named_and_no_more_is_told_of_them() -> None:
    house = whole()
    house.row("person", "w1", {"name": "W1", "role": "worker", "pin_hash": "x", "pin_salt": "y"})
    told = file_of(house, "2031-05-20")
    assert told["names"]["person"]["w1"] == {"name": "W1", "role": "worker"}
    assert "pin" not in json.dumps(told)
    assert told["names"]["batch"]["u"] == "U"
    assert told["names"]["permit"] == {"cq-118": "CQ-118"}
    assert told["nursery"]["name"] == "Veshmere Terraces"


def test_what_concerns_other_places_and_times_is_left_out(told: dict[str, Any]) -> None:
    assert "soap elsewhere" not in json.dumps(told)
    house = whole()
    house.add("cleaned", "room", "2031-02-18 09:30", {"product": "earlier soap"})
    house.add("noted", "t1", "2031-04-18 09:30", {"text": "free words"})
    again = json.dumps(file_of(house, "2031-05-20"))
    assert "earlier soap" not in again
    assert "free words" not in again


@pytest.mark.parametrize(
    ("at", "told"),
    [("2031-03-02 07:31", True), ("2031-03-03 06:00", True), ("2031-03-02 07:29", False)],
)
def test_what_made_a_room_ready_is_told_from_a_day_before_its_plants_on(
    at: str, told: bool
) -> None:
    """Rule R-8; the plants came on 3 March at 07:30."""
    house = whole()
    house.add("cleaned", "room", at, {"product": "soap for a new stay"})
    room = file_of(house, "2031-05-20")["room"]
    assert ("soap for a new stay" in json.dumps(room)) is told


def test_what_is_open_is_said(told: dict[str, Any]) -> None:
    assert {one["code"] for one in told["open"]} >= {"suspicion"}
    house = whole()
    for one in told["open"]:
        body = {"doubt": one["id"], "reason": "seen"}
        house.add("settled", one["batch"], "2031-05-19 09:30", body)
    assert file_of(house, "2031-05-20")["open"] == []


def test_a_consignment_of_which_nothing_came_has_an_empty_file() -> None:
    house = House()
    told = file_of(house, "2031-03-03", "c-9")
    assert told["consignment"] == {"id": "c-9"}
    assert told["batches"] == told["permits"] == told["clocks"] == told["looks"]["weeks"] == []


def test_plants_without_conditions_have_no_clock_and_no_weeks() -> None:
    house = House()
    house.row("consignment", "c-1", {"name": "Free", "without_conditions": True})
    house.arrive("2031-03-03 07:30", ("t1",))
    told = file_of(house, "2031-03-24")
    assert told["clocks"] == told["looks"]["weeks"] == []


def test_clocks_that_differ_are_told_apart() -> None:
    house = with_terms(term("days", "growing_days", {"days": 180}))
    house.arrive("2031-03-03 07:30", ("t1", "t2"))
    house.order("t2", "2031-03-10 09:00", "extend", "Q-1", days=10)
    told = file_of(house, "2031-03-24")
    assert [(one["batches"], one["days"]) for one in told["clocks"]] == [
        (["t1"], 180),
        (["t2"], 190),
    ]


def test_when_all_plants_are_gone_their_clock_is_told_all_the_same() -> None:
    house = with_terms(term("days", "growing_days", {"days": 180}))
    house.arrive("2031-03-03 07:30", ("t1",))
    house.count("t1", 0, "2031-03-04 08:00")
    assert len(file_of(house, "2031-03-24")["clocks"]) == 1


def test_the_same_records_in_another_order_give_the_same_file() -> None:
    house = whole()
    told = told_of(house)
    turned = [*reversed(told)]
    one = composed(house, told, "2031-05-20", "c-1")
    assert composed(house, turned, "2031-05-20", "c-1") == one


def test_batches_of_another_consignment_have_a_file_of_their_own() -> None:
    house = whole()
    house.arrive("2031-05-06 07:30", ("x1",), consignment="c-2")
    ours, theirs = file_of(house, "2031-05-20"), file_of(house, "2031-05-20", "c-2")
    assert "x1" not in {one["batch"] for week in ours["looks"]["weeks"] for one in week["looks"]}
    assert [one["id"] for one in theirs["batches"]] == ["x1"]
    assert theirs["counts"] == []


def test_the_places_that_matter_are_those_of_its_rooms_and_around_them() -> None:
    house = whole()
    assert set(places_of(house.book(), TRAYS)) == {
        *("bench", "room", "veshmere"),
        *(f"trap-{at}" for at in ("a", "b", "door", "vent-1", "vent-2")),
    }


def test_an_id_that_is_no_time_has_the_last_of_times() -> None:
    assert written_at("ffffffff-ffff-7000-8000-000000000000").startswith("9999-12-31")


def test_each_treatment_is_told_with_the_licence_that_was_good_on_its_day() -> None:
    """Rule O-6."""
    house = House()
    house.arrive("2031-03-03 07:30", trays=("t1",))
    licence = {"what": "Spraying", "number": "L-7", "until": "2031-03-05"}
    house.row("person", "w1", {"name": "Wil", "role": "worker", "licences": [licence]})
    at = ""
    for on in ("2031-03-05", "2031-03-06"):
        at = f"{on}T02:00:00.000Z"
        body = {"product": "soap", "started_at": at, "ended_at": at, "operator": "w1"}
        house.add("treated", "t1", f"{on} 12:00", body)
    body = {"product": "soap", "started_at": at, "ended_at": at}
    house.add("treated", "t1", "2031-03-06 12:30", body)
    told = file_of(house, "2031-03-07")
    first, second, nobody = (one["entry"] for one in told["treatments"])
    assert nobody not in told["licences"]
    assert told["licences"][first] == {"on": "2031-03-05", "licence": licence}
    assert told["licences"][second] == {"on": "2031-03-06", "licence": None}
