"""Day 10 of the story: 196 of 214 live, nine gaps lie together, and seven plants may fill them."""

import re
from collections.abc import Iterator
from datetime import date
from typing import Any

import pytest
from playwright.sync_api import Browser, expect

from nursery.ops.demo import names as n
from nursery.ops.demo.day_10 import NOT_ALIVE
from nursery.ops.demo.terraces import HOLES
from nursery.services import demo
from tests.journeys.hands import Hand
from tests.journeys.offices import Desk, Office, office_at
from tests.journeys.sheets import opens
from tests.journeys.workers import Worker, at_the_desk, person, there

MONDAY, FRIDAY = date(2032, 9, 13), date(2032, 10, 1)
BEGAN = there(MONDAY, "06:50")
TR3, TR4, TR5 = n.TERRACES
SHORT = {TR3: "TR3", TR4: "TR4", TR5: "TR5"}
# Those that were planted after the rain, as the count finds them; the one that lives is left out.
CAUSE = {"drought": "drought", "waterlogging": "waterlogging", None: "unknown"}
NINE = ["61", "62", "63", "64", "66", "67", "68", "69", "70"]


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_at(tmp_path_factory.mktemp("day-ten-count"), BEGAN) as office:
        yield office


@pytest.fixture(scope="module")
def desk(office: Office) -> Desk:
    return Desk(office.url)


@pytest.fixture(scope="module")
def w1(browser: Browser, office: Office) -> Iterator[Worker]:
    yield from person(browser, office, demo.W1, BEGAN)


def sees(worker: Worker, state: str, cause: str | None = None) -> None:
    """Say how the plant stands at which the sheet is; one that is gone or harmed has a cause."""
    hand = worker.hand
    # "Alive" is not "Alive, but harmed".
    says = re.compile(rf"^{re.escape(hand.says(f'survey.{state}'))}(?!,)")
    hand.taps += 1
    hand.page.locator("main").get_by_role("button", name=says).first.click()
    if cause is not None:
        hand.tap(f"survey.cause_{cause}")


def is_at(worker: Worker, position: str) -> None:
    expect(worker.hand.page.locator("main [data-position]")).to_have_text(position)


def counted(worker: Worker) -> Any:
    """How many of the row are counted, in the head of the sheet."""
    return worker.hand.page.locator("main h1 .fig b")


def standing(desk: Desk, place: str = n.FIELD) -> Any:
    return desk.get(f"blocks/{place}/standing")


def sums(found: Any) -> tuple[int, ...]:
    return tuple(found[key] for key in ("planted", "alive", "dead", "missing", "rootstock_only"))


def test_the_count_after_six_months_is_due_and_every_row_is_asked_for(w1: Worker) -> None:
    opens(w1, "survey")
    w1.hand.reads("survey.due", n=6, on="2032-09-12")
    opens(w1, f"survey/{TR5}")
    w1.hand.reads("survey.span", first=61, last=70)
    rows = w1.hand.page.locator("main li")
    expect(rows).to_have_count(5)
    expect(rows.last).to_contain_text(w1.hand.says("survey.done_of", n=0, all=10))


def test_hole_by_hole_each_tap_is_kept_though_the_page_is_killed(w1: Worker) -> None:
    opens(w1, f"survey/{TR5}/5")
    gone = NOT_ALIVE[TR5]
    for position in range(61, 71):
        is_at(w1, str(position))
        state, cause = gone.get(position, (None, None))
        if state is None:
            sees(w1, "alive")
        else:
            sees(w1, state.value, CAUSE[cause])
        if position == 65:
            # The head of the sheet tells what is on the disk.
            kept = re.compile(r"(^|\s)5 (not sent|sin mandar)")
            head = w1.hand.page.locator("header .where")
            expect(head).to_contain_text(kept, use_inner_text=True)
            w1.reloads()
            opens(w1, f"survey/{TR5}/5")
    w1.hand.reads("survey.row_counted", n=10)


def test_a_mistap_is_taken_back_and_the_position_is_asked_again(w1: Worker) -> None:
    opens(w1, f"survey/{TR5}/1")
    is_at(w1, "1")
    sees(w1, "missing", "theft")
    is_at(w1, "2")
    w1.hand.page.locator("nav.thumbs").get_by_role("button").nth(1).click()
    is_at(w1, "1")
    expect(counted(w1)).to_have_text("0")
    sees(w1, "harmed", "weeding")


def test_the_rest_of_a_row_lives_only_by_an_act_that_names_how_many(w1: Worker, desk: Desk) -> None:
    hand = w1.hand
    hand.tap("survey.rest", n=14)
    hand.reads("survey.rest_asks", n=14, first="2", last="15")
    expect(counted(w1)).to_have_text("1")
    hand.tap("survey.rest_yes", n=14)
    expect(counted(w1)).to_have_text("15")
    w1.is_sent()
    [row] = [one for one in standing(desk, TR5)["blocks"][0]["rows"] if one["number"] == 1]
    assert (row["planted"], row["alive"], row["open"]) == (15, 15, 0)
    found = standing(desk, TR5)
    assert found["harmed"] == 1
    assert sums(found["first"]) == (70, 61, 7, 1, 1)


def test_until_all_rows_are_counted_the_office_says_which_are_not(
    browser: Browser, office: Office, desk: Desk
) -> None:
    page = at_the_desk(browser, office)
    hand = Hand(page)
    page.goto(f"/#/standing/{TR5}")
    hand.reads("standing.undone", n=3, rows=["2", "3", "4"])
    page.context.close()


def the_rest(desk: Desk) -> None:
    """Type at the office what others counted of the rows that are open."""
    for terrace in n.TERRACES:
        first = 1
        for row, holes in enumerate(HOLES[terrace], start=1):
            names = range(first, first + holes)
            first += holes
            if terrace == TR5 and row in (1, 5):
                continue
            seen = [seen_at(terrace, position) for position in names]
            body = {"block": terrace, "row": str(row), "seen": seen}
            about = [f"{terrace}.{row}"]
            desk.ask("POST", "records", {"kind": "surveyed", "about": about, "body": body})


def seen_at(terrace: str, position: int) -> dict[str, Any]:
    found = NOT_ALIVE[terrace].get(position)
    if found is None:
        return {"position": str(position), "state": "alive"}
    return {"position": str(position), "state": found[0].value, "cause": found[1]}


def test_196_of_214_live_and_the_nine_of_terrace_5_lie_in_row_5(desk: Desk) -> None:
    the_rest(desk)
    found = standing(desk)
    assert sums(found["first"]) == (214, 196, 12, 4, 2)
    gone = {
        one["key"]: (one["planted"] - one["alive"], one["planted"])
        for one in found["groups"]["block"]["items"]
    }
    assert gone == {TR3: (4, 72), TR4: (5, 72), TR5: (9, 70)}
    rows = {one["key"]: one for one in found["groups"]["row"]["items"]}
    assert (rows[f"{TR5}.5"]["planted"], rows[f"{TR5}.5"]["alive"]) == (10, 1)
    assert found["groups"]["row"]["test"]["p"] < 0.001
    filling = {one["id"]: one["filling"] for one in found["blocks"]}
    assert [filling[one]["holes"] for one in n.TERRACES] == [[], [], NINE]
    assert (filling[TR5]["free"], filling[TR5]["short"]) == (11, 0)


def test_the_grower_reads_it_with_its_curve_and_who_differs(
    browser: Browser, office: Office, desk: Desk
) -> None:
    page = at_the_desk(browser, office)
    hand = Hand(page)
    page.goto(f"/#/standing/{n.FIELD}")
    hand.reads("standing.sum", n=214, alive=196, dead=12, missing=4, rootstock=2)
    hand.reads("standing.share", n=91.6)
    said = hand.says("standing.said", days=185, n=91.6)
    expect(page.get_by_role("img", name=re.compile(f"^{re.escape(said)}"))).to_be_visible()
    hand.tap("standing.by_row")
    hand.reads("standing.test_differ", n=1)
    hand.tap("standing.by_block")
    hand.reads("standing.test_alike", n=round(standing(desk)["groups"]["block"]["test"]["p"] * 100))
    row = page.get_by_role("row", name=re.compile("^Terrace 5"))
    expect(row).to_contain_text(re.compile(r"87.1 %\s*70\s*61"))
    expect(page.get_by_text("TR5-61 to TR5-64, TR5-66 to TR5-70")).to_be_visible()
    assert hand.faults == []
    page.context.close()


def test_what_the_call_holds_is_no_reserve_and_two_are_short(
    browser: Browser, office: Office, desk: Desk
) -> None:
    suspect = [n.T2, n.T5, n.MIXED]
    held = {"kind": "ordered", "about": suspect, "body": {"act": "hold", "reference": "BW-31"}}
    desk.ask("POST", "records", held)
    page = at_the_desk(browser, office)
    hand = Hand(page)
    page.goto(f"/#/standing/{TR5}")
    hand.reads("standing.short", n=2, holes=9)
    hand.reads("standing.reserve", n=7)
    page.context.close()


def test_on_1_october_seven_gaps_are_filled_and_held_plants_stop_at_the_gate(
    w1: Worker, office: Office, desk: Desk
) -> None:
    office.open(there(FRIDAY, "07:30"))
    w1.at("07:30", FRIDAY)
    w1.phone.offline(False)
    w1.hears()
    opens(w1, f"fill/{TR5}")
    hand = w1.hand
    reserve = hand.page.get_by_role("group", name=hand.says("fill.with"))
    reserve.get_by_role("button").filter(has=batch_tag(w1, "T2")).click()
    expect(hand.one("gate.happened")).to_be_visible()
    left = list(NINE)
    for label, plants in (("T1", 3), ("T6", 4)):
        reserve.get_by_role("button").filter(has=batch_tag(w1, label)).click()
        for _ in range(plants):
            hand.tap("fill.tap", at=f"TR5-{left.pop(0)}", label=label)
            expect(hand.page.locator("main h1 .fig")).to_have_text(str(len(left)))
    w1.is_sent()
    assert w1.faults == []
    found = standing(desk)
    assert sums(found["first"]) == (214, 196, 12, 4, 2)
    assert (found["filled"], found["standing"]["alive"]) == (7, 203)
    [tr5] = [one for one in found["blocks"] if one["id"] == TR5]
    assert tr5["filling"]["holes"] == ["69", "70"]
    row = desk.get(f"places/{TR5}.5")["positions"]
    assert {name: row[name]["batch"] for name in NINE[:7]} == {
        **dict.fromkeys(NINE[:3], n.T1),
        **dict.fromkeys(NINE[3:7], n.T6),
    }
    assert {row[name]["at"][:10] for name in NINE[:7]} <= {"2032-09-30", "2032-10-01"}
    assert not any(row[name]["first"] for name in NINE[:7])


def batch_tag(worker: Worker, label: str) -> Any:
    return worker.hand.page.get_by_role("img", name=re.compile(rf"\b{label}$"))


def test_what_was_filled_stays_out_of_the_curve(desk: Desk) -> None:
    found = standing(desk)
    assert [point[0] for point in found["curve"]["points"]] == [185]
    assert found["curve"]["looked_at"] == 214
