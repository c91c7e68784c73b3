"""The acts of quarantine, each written on a phone without signal and read back at the office."""

import re
from collections.abc import Iterator
from datetime import date, timedelta
from zoneinfo import ZoneInfo

import pytest
from playwright.sync_api import Browser, expect

from nursery.ops.demo import names as n
from nursery.services import demo
from tests.journeys import seen
from tests.journeys.offices import Desk, Office, office_on
from tests.journeys.sheets import (
    bodies,
    chooses,
    is_killed,
    last,
    opens,
    photographs,
    saves,
    saves_as_it_is,
    ticks,
    turns,
    types,
)
from tests.journeys.storm import picks
from tests.journeys.workers import Worker, somebody_goes_in

EVENING = demo.EVENINGS[3]
ROOM = n.QUARANTINE
REST = tuple(tray for tray in n.TRAYS if tray != n.T4)


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_on(tmp_path_factory.mktemp("acts"), 3) as office:
        yield office


@pytest.fixture(scope="module")
def desk(office: Office) -> Desk:
    return Desk(office.url)


@pytest.fixture(scope="module")
def grower(browser: Browser, office: Office) -> Iterator[Worker]:
    found = Worker(browser, office, demo.G, EVENING)
    yield found
    found.phone.context.close()


@pytest.fixture(scope="module")
def w2(browser: Browser, office: Office) -> Iterator[Worker]:
    found = Worker(browser, office, demo.W2, EVENING)
    yield found
    found.phone.context.close()


def types_order(worker: Worker, burned_by: date | None = None) -> None:
    """Q-09 of the story: destroy T4, treat the rest twice, count from the second time."""
    hand = worker.hand
    opens(worker, f"papers/{ROOM}/order")
    hand.type("paper.reference", "Q-09")
    photographs(worker, "shows.paper")
    ticks(worker, "order.do_destroy")
    turns(worker, "order.of", "T4")
    if burned_by is not None:
        destroy = hand.says("order.destroy")
        ticks(worker, "order.by_day", act=destroy)
        picks(hand, "order.due_on", burned_by, act=destroy)
    is_killed(worker, f"papers/{ROOM}/order")
    ticks(worker, "order.do_treat")
    ticks(worker, "order.do_restart")
    chooses(worker, "order.from", hand.says("order.after", n=2))
    saves(worker, "order.save", reference="Q-09")


def test_an_order_is_typed_act_by_act(grower: Worker, w2: Worker, desk: Desk) -> None:
    by = EVENING.date() + timedelta(days=4)
    types_order(grower, by)
    w2.hears()
    [destroy] = [one for one in bodies(desk, n.T4, "ordered") if one["reference"] == "Q-09"]
    assert (destroy["act"], destroy["due_on"]) == ("destroy", by.isoformat())
    assert destroy["photo"].startswith("photo-")
    acts = {one["act"]: one for one in bodies(desk, n.T1, "ordered")}
    assert (acts["treat"]["times"], acts["treat"]["interval_days"]) == (2, 10)
    assert acts["restart"]["after_treatment"] == 2
    shown = next(e for e in desk.records(n.T4, "photographed") if e["body"]["shows"] == "paper")
    assert set(shown["about"]) == {*n.TRAYS}
    assert grower.faults == []


def test_plants_are_destroyed_by_the_order(grower: Worker, desk: Desk) -> None:
    hand = grower.hand
    opens(grower, f"destroy/{n.T4}")
    expect(hand.page.locator("main h1 b")).to_have_text("53")
    types(grower, "arrive.weight", "arrive.weight", "3.1")
    hand.tap("method.burned")
    hand.reads("caution.fire")
    chooses(grower, "arrive.witness", demo.W1.name)
    photographs(grower, "shows.destroyed")
    saves(grower, "destroy.save", n=53)
    lost = last(desk, n.T4, "lost")
    assert (lost["count"], lost["fate"], lost["order"]) == (53, "destroyed", "Q-09")
    gone = last(desk, n.T4, "disposed")
    assert (gone["what"], gone["method"], gone["kg"]) == ("destroyed_plants", "burned", 3.1)
    assert gone["witness"] == demo.W1.name
    assert desk.get(f"batches/{n.T4}")["ledger"]["destroyed"] == 53


def fills_in(worker: Worker) -> None:
    hand = worker.hand
    for key, text in (
        ("bath.other_name", "Orrin white oil"),
        ("treat.active", "paraffin oil"),
        ("treat.registration", "OR-1182"),
        ("treat.batch_number", "L-77"),
        ("treat.licence", "AP-204"),
    ):
        hand.type(key, text)
    for key, figures in (("mix", "200"), ("rate", "1.5"), ("hours", "12")):
        types(worker, "treat.amount", f"treat.{key}", figures)
    chooses(worker, "treat.told", demo.W1.name)
    for key, figures in (("sign", "1620"), ("start", "1630"), ("end", "1650")):
        types(worker, "treat.clock", f"treat.{key}", figures)


def test_nobody_is_sprayed_on(w2: Worker) -> None:
    hand = w2.hand
    w2.hears()
    somebody_goes_in(w2, demo.W1.name)
    opens(w2, f"treat/{ROOM}")
    hand.reads("treat.inside", names=[demo.W1.name])
    expect(hand.one("gate.happened")).to_be_visible()
    w2.go(f"access/{ROOM}")
    hand.tap_named(hand.says("access.out_says", name=demo.W1.name))


def test_a_treatment_says_until_when_nobody_goes_in(w2: Worker, desk: Desk) -> None:
    hand = w2.hand
    opens(w2, f"treat/{ROOM}")
    chooses(w2, "treat.operator", demo.W2.name)
    hand.reads("reason.licence_none", name=demo.W2.name)
    chooses(w2, "treat.operator", demo.G.name)
    expect(hand.page.get_by_label(hand.says("treat.licence"))).to_have_value("AL-311")
    fills_in(w2)
    is_killed(w2, f"treat/{ROOM}")
    expect(hand.page.locator("main .out")).to_contain_text("04:50")
    expect(hand.page.locator("main .out")).to_contain_text(
        "MON 5 MAY" if hand.language == "en" else "LU 5 MAY"
    )
    hand.reads("treat.litres", n=3)
    hand.reads("treat.of_product", n=4.5, unit="mL")
    saves(w2, "treat.save")
    done = last(desk, n.T1, "treated")
    assert set(done["about"]) == {ROOM, *REST}
    assert (done["order"], done["litres"], done["area_m2"]) == ("Q-09", 3, 15)
    assert done["reentry_until"] == "2031-05-04T18:50:00.000Z"
    assert done["sign_posted_at"] == "2031-05-04T06:20:00.000Z"
    assert (done["operator"], done["told"]) == (demo.G.id, [demo.W1.id])
    assert desk.get(f"places/{ROOM}")["reentry_until"] == "2031-05-04T18:50:00.000Z"
    assert w2.faults == []


def test_the_next_treatment_is_planned_for_no_day_on_which_it_would_not_count(
    w2: Worker, desk: Desk
) -> None:
    hand = w2.hand
    opens(w2, f"treat/{ROOM}/plan")
    hand.tap_named(hand.says("when.other"))
    hand.page.get_by_role("button", name=hand.says("date.month.5"), exact=True).click()
    hand.pad("13")
    soon = {"number": 2, "on": "2031-05-13", "days": 9, "needed": 10, "plan": "2031-05-14"}
    hand.reads("reason.course_too_soon", **soon)
    hand.tap_named(hand.says("plan.then", on="2031-05-14"))
    chooses(w2, "plan.who", demo.W1.name)
    hand.reads("reason.licence_none", name=demo.W1.name)
    expect(hand.one("plan.save_blank")).to_be_disabled()
    assert seen.wrongs(hand.page) == []
    chooses(w2, "plan.who", demo.G.name)
    saves(w2, "plan.save", on="2031-05-14")
    planned = last(desk, n.T1, "booked")
    assert planned["operator"] == demo.G.id
    assert (planned["act"], planned["on"], planned["order"]) == ("treatment", "2031-05-14", "Q-09")


def test_a_permission_waits_for_its_photo_until_that_is_taken(grower: Worker, desk: Desk) -> None:
    hand = grower.hand
    opens(grower, f"papers/{ROOM}/accept")
    hand.tap("accept.potting")
    hand.type("paper.reference", "P-31")
    hand.reads("paper.waits")
    saves_as_it_is(grower, "accept.save", reference="P-31")
    assert "photo" not in last(desk, n.T1, "accepted")
    opens(grower, f"papers/{ROOM}")
    hand.page.get_by_role("link").filter(has_text="P-31").click()
    photographs(grower, "shows.paper")
    saves(grower, "papers.save_photo", reference="P-31")
    told = last(desk, n.T1, "accepted")
    assert (told["what"], told["reference"]) == ("potting", "P-31")
    assert told["photo"].startswith("photo-")


def test_an_official_inspection_is_of_all_plants(grower: Worker, desk: Desk) -> None:
    hand = grower.hand
    opens(grower, f"papers/{ROOM}/inspect")
    hand.type("inspect.name", demo.P.name)
    ticks(grower, "inspect.growth")
    hand.tap_named(hand.says("inspect.nothing"))
    saves(grower, "inspect.save", n=251)
    for tray, plants in zip(REST, (53, 53, 53, 48, 44), strict=True):
        seen = last(desk, tray, "inspected")
        assert (seen["plants"], seen["active_growth"], seen["answer"]) == (plants, True, "nothing")


def test_parts_go_to_the_laboratory_and_its_answer_comes_back(grower: Worker, desk: Desk) -> None:
    hand = grower.hand
    opens(grower, f"sample/{n.T1}")
    chooses(grower, "look.part", hand.says("part.leaf_underside"))
    grower.add(hand.says("sample.of_plants"), 2)
    chooses(grower, "sample.test", hand.says("test.pcr"))
    hand.page.get_by_role("group", name=hand.says("sample.due")).get_by_role("button").first.click()
    saves(grower, "sample.save", sample="S-04", n=3)
    taken = last(desk, n.T1, "sampled")
    week = EVENING.astimezone(ZoneInfo(demo.ZONE)) + timedelta(days=7)
    assert (taken["whole"], taken["part"], taken["plants"]) == (False, "leaf_underside", 3)
    assert taken["result_due"] == week.date().isoformat()
    assert desk.alive("T1") == [53], "parts leave the plants alive"
    opens(grower, f"papers/{ROOM}/result")
    hand.page.get_by_role("button", name=re.compile("^S-04")).click()
    chooses(grower, "result.what", hand.says("result.negative"))
    photographs(grower, "shows.paper")
    saves(grower, "result.save", sample="S-04", result=hand.says("result.negative"))
    told = last(desk, n.T1, "resulted")
    assert (told["sample"], told["verdict"], told["about"]) == ("S-04", "negative", [n.T1])


def test_the_officers_bag_is_shown_and_then_burned(grower: Worker, desk: Desk) -> None:
    hand = grower.hand
    opens(grower, f"bag/{ROOM}")
    hand.reads("bag.unseen", n=2)
    opens(grower, f"bag/{ROOM}/shown")
    hand.type("inspect.name", demo.P.name)
    saves(grower, "bag.save_shown", n=2)
    assert last(desk, n.T5, "shown")["plants"] == [{"id": n.T5, "count": 2}]
    opens(grower, f"bag/{ROOM}/gone")
    hand.pad("0.4")
    hand.tap("method.burned")
    saves(grower, "bag.save_gone", n=2)
    gone = last(desk, n.T5, "disposed")
    assert (gone["what"], gone["kg"], gone["plants"]) == (
        "dead_plants",
        0.4,
        [{"id": n.T5, "count": 2}],
    )


def test_pots_and_what_left_make_what_came_in(grower: Worker, desk: Desk) -> None:
    hand = grower.hand
    opens(grower, f"pot/{n.T6}")
    for key, figures in (("culled", "3"), ("out", "40")):
        types(grower, "pot.figures", f"pot.{key}", figures)
    hand.reads("ledger.difference", n=1)
    hand.page.get_by_role("button", name=hand.says("keys.back")).click()
    hand.pad("1")
    hand.reads("pot.sum", n=44, out=41, culled=3, dead=0)
    hand.tap("container.air_pot")
    hand.type("pot.litres", "2.5")
    saves(grower, "gate.happened")
    assert desk.alive("T6") == [41]
    potted = last(desk, n.T6, "potted")
    assert (potted["container"], potted["litres"]) == ("air-pruned pot", 2.5)
    culled = last(desk, n.T6, "lost")
    assert (culled["count"], culled["cause"], culled["kept"]) == (3, "j_root", True)


def test_roots_of_several_trays_are_classed_together(grower: Worker, desk: Desk) -> None:
    opens(grower, f"roots/{n.T1}")
    turns(grower, "treat.which", "T2")
    for key, figures in (("none", "21"), ("few", "6"), ("many", "3")):
        types(grower, "roots.classes", f"roots.{key}", figures)
    photographs(grower, "shows.roots")
    saves(grower, "roots.save", n=30)
    seen = last(desk, n.T2, "plugged")
    assert (seen["none"], seen["few"], seen["many"]) == (21, 6, 3)
    assert set(seen["about"]) == {n.T1, n.T2}


def test_pruning_asks_for_clean_blades(grower: Worker, desk: Desk) -> None:
    hand = grower.hand
    opens(grower, f"prune/{n.T1}")
    hand.reads("caution.blade")
    ticks(grower, "prune.blades")
    saves(grower, "gate.happened")
    assert last(desk, n.T1, "pruned")["about"] == [n.T1]


def test_a_notice_with_an_old_figure_is_told_and_kept(grower: Worker, desk: Desk) -> None:
    hand = grower.hand
    opens(grower, f"papers/{ROOM}/release")
    hand.type("release.notice", "RN-204")
    photographs(grower, "shows.paper")
    ticks(grower, "release.as_alive")
    types(grower, "release.total", "release.total", "250")
    hand.reads("release.differs", said=250, alive=248)
    hand.type("release.conditions", "Look again at six months")
    saves_as_it_is(grower, "gate.happened")
    told = last(desk, n.T1, "released")
    assert (told["notice"], told["count"]) == ("RN-204", 250)
    assert {one["id"]: one["count"] for one in told["plants"]}[n.T6] == 41
    assert told["conditions"] == "Look again at six months"


def test_a_room_with_plants_is_not_empty(grower: Worker, desk: Desk) -> None:
    hand = grower.hand
    opens(grower, f"room/{ROOM}/empty")
    hand.reads("reason.plants_inside", labels=["T1", "T2", "T3", "T5", "T6"])
    saves(grower, "gate.happened")
    opens(grower, f"room/{ROOM}/clean")
    hand.tap("bath.copper")
    hand.type("room.clean_rate", "10 g/L")
    saves(grower, "button.save")
    opens(grower, f"room/{ROOM}/ready")
    hand.reads("room.accepts_from")
    expect(hand.page.locator("main .from")).to_contain_text("SUN 11 MAY")
    saves(grower, "gate.happened")
    assert grower.faults == []
