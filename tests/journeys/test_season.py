"""The season on one sheet: three weeks' slip answered at once, at a desk and on a phone."""

from collections.abc import Iterator
from datetime import date
from math import floor
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from nursery.ops.demo import law
from nursery.services import demo, words
from nursery.services.word_forms import House
from tests.journeys import seen
from tests.journeys.hands import Hand
from tests.journeys.offices import Desk, Office, office_on
from tests.journeys.phones import DESK, PHONE
from tests.journeys.test_shell import sign_in
from tests.product import running, wait_until

JULY, MARCH = date(2031, 7, 30), date(2032, 3, 9)
WIDTHS = {"a desk": DESK, "a phone": PHONE}


@pytest.fixture(scope="module")
def july(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    """In quarantine still, half a year before it can be planted."""
    with office_on(tmp_path_factory.mktemp("season-july"), 5) as office:
        yield office


@pytest.fixture(scope="module")
def march(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    """In the planting weeks, measured four times; with its thirty years of weather worked out."""
    with office_on(tmp_path_factory.mktemp("season-march"), 8) as office:
        told = office.told(demo.EVENINGS[8])
        with running(told, office.folder / "worker.log", "worker", "--beat") as worker:
            desk = Desk(office.url)
            wait_until(lambda: desk.get("season")["odds"], why=worker.said())
            wait_until(lambda: sheet(desk)["readiness"]["fan"], why=worker.said())
        yield office


def sheet(desk: Desk) -> Any:
    """Return what the office says of the consignment's season."""
    items = desk.get("season")["items"]
    return next(one for one in items if one["id"] == law.CONSIGNMENT)


def reads(browser: Browser, office: Office, size: tuple[int, int]) -> Iterator[Hand]:
    width, height = size
    context = browser.new_context(
        base_url=office.url, viewport={"width": width, "height": height}, locale="en-GB"
    )
    page = context.new_page()
    hand = Hand(page)
    sign_in(page)
    page.goto(f"/#/season/{law.CONSIGNMENT}")
    expect(page.locator("main h1")).to_contain_text(sheet(Desk(office.url))["name"])
    yield hand
    assert hand.faults == []
    context.close()


@pytest.fixture(params=list(WIDTHS.values()), ids=list(WIDTHS))
def in_july(request: pytest.FixtureRequest, browser: Browser, july: Office) -> Iterator[Hand]:
    yield from reads(browser, july, request.param)


@pytest.fixture(params=list(WIDTHS.values()), ids=list(WIDTHS))
def in_march(request: pytest.FixtureRequest, browser: Browser, march: Office) -> Iterator[Hand]:
    yield from reads(browser, march, request.param)


def says(on: date, key: str, /, **params: object) -> str:
    """Return a sentence as it is read on a day: days of another year have their year."""
    return words.say("en", key, params, House(zone=demo.ZONE, today=on))


def rounded(figure: float) -> int:
    """Return the whole figure, halves upwards, as people round."""
    return floor(figure + 0.5)


def answer(page: Page) -> str:
    return page.locator("[role=status] .answer b").inner_text()


def later(hand: Hand, weeks: int) -> None:
    """Tap so many weeks more, four at a time."""
    tally = hand.page.get_by_role("group", name=hand.says("season.slip_weeks"))
    name = hand.says("tally.more", n=4, of=hand.says("season.slip_weeks"))
    for _ in range(weeks // 4):
        hand.taps += 1
        tally.get_by_role("button", name=name).click()


def test_if_release_slips_by_three_weeks_nothing_is_lost_and_by_fifteen_a_season(
    in_july: Hand,
) -> None:
    page = in_july.page
    in_july.reads("season.slip")
    assert answer(page) == says(JULY, "season.slip.nothing", n=3, on="2032-03-01")
    assert in_july.taps == 0
    later(in_july, 12)
    seasons = says(JULY, "season.seasons", n=1)
    days = {"before": "2032-03-01", "after": "2032-10-01"}
    assert answer(page) == says(JULY, "season.slip.season", n=15, seasons=seasons, **days)
    row = page.get_by_role("row", name=in_july.says("season.fact.seasons"))
    assert row.get_by_role("cell").all_inner_texts() == ["0", "1"]


def test_what_a_delay_costs_is_told_by_weeks_that_mean_the_same(
    in_july: Hand, july: Office
) -> None:
    told = sheet(Desk(july.url))["delays"]
    column = in_july.page.locator("section", has_text=in_july.says("season.delays"))
    lines = column.locator("dl > div").all_inner_texts()
    assert [line.split("\n")[0] for line in lines] == [
        says(JULY, "season.up_to", n=10),
        says(JULY, "season.from_to", **{"from": 11, "n": 14}),
        says(JULY, "season.from_on", n=15),
    ]
    codes = [one["code"] for one in told]
    assert codes[:11] == ["nothing"] * 11
    assert codes[11:15] == ["fewer_days"] * 4
    assert set(codes[15:]) == {"season"}
    assert says(JULY, "season.cost.season", n=1, on="2032-10-01") in lines[2]


def test_what_is_missing_in_july_is_said_in_words(in_july: Hand) -> None:
    in_july.reads("season.ready.not_enough")
    in_july.reads("season.pits_unknown")
    assert seen.wrongs(in_july.page) == []


def test_the_readiness_fan_is_drawn_said_and_shown_as_a_table(
    in_march: Hand, march: Office
) -> None:
    page, ready = in_march.page, sheet(Desk(march.url))["readiness"]
    days = {name: ready[name] for name in ("early", "day", "late")}
    state = says(MARCH, "season.ready.forecast", **days)
    height = in_march.says("season.measure.height_cm")
    last = ready["measured"][-1]
    told = {"on": last["on"], "n": last["means"]["height_cm"]}
    assert "height_cm" in ready["usual_curves"]
    names = [in_march.says(f"season.measure.{one}") for one in ready["usual_curves"]]
    state += " " + says(MARCH, "season.curve_memory", names=names)
    name = says(MARCH, "season.fan_said", measure=height, state=state, **told)
    expect(page.get_by_role("img", name=name, exact=True)).to_be_visible()
    button = page.get_by_role("button", name=in_march.says("chart.as_table"))
    button.last.focus()
    page.keyboard.press("Enter")
    table = page.get_by_role("table", name=in_march.says("season.readiness"))
    row = table.get_by_role("row", name=says(MARCH, "on_day", on=last["on"]))
    cells = row.get_by_role("cell").all_inner_texts()
    assert cells[0] == says(MARCH, "figure", figure=last["means"]["height_cm"])
    assert seen.wrongs(page) == []


def test_the_odds_of_a_day_stand_in_the_chart_its_table_and_in_parts(
    in_march: Hand, march: Office
) -> None:
    page = in_march.page
    odds, plant_on = Desk(march.url).get("season")["odds"], sheet(Desk(march.url))["plant_on"]
    day = next(one for one in odds["days"] if one["day"] == plant_on[5:])
    in_march.reads("season.invented")
    page.get_by_role("button", name=in_march.says("chart.as_table")).first.click()
    table = page.get_by_role("table", name=in_march.says("season.odds"))
    row = table.get_by_role("row", name=says(MARCH, "on_day", on=plant_on))
    shown = [rounded(100 * day[name]) for name in ("score", "low", "high")]
    assert row.get_by_role("cell").all_inner_texts() == [str(figure) for figure in shown]
    parts = page.locator("section", has_text=in_march.says("season.day"))
    wet = rounded(day["wet"] * day["years"])
    for text in (
        says(MARCH, "season.of_hundred", n=shown[0]),
        says(MARCH, "season.part.years", n=wet, of=day["years"]),
    ):
        expect(parts.get_by_text(text, exact=True).first).to_be_visible()
    assert seen.wrongs(page) == []


def test_in_the_planting_weeks_three_weeks_cost_a_season(in_march: Hand, march: Office) -> None:
    told = sheet(Desk(march.url))
    now, then = told["delays"][0], told["delays"][3]
    in_march.reads("season.slip_free")
    seasons = says(MARCH, "season.seasons", n=1)
    days = {"before": now["plant_on"], "after": then["plant_on"]}
    assert days == {"before": "2032-03-12", "after": "2032-10-01"}
    assert answer(in_march.page) == says(MARCH, "season.slip.season", n=3, seasons=seasons, **days)
    assert seen.wrongs(in_march.page) == []


def test_a_delay_tells_of_full_pots_and_weeks_by_whom_they_were_set(
    in_march: Hand, march: Office
) -> None:
    page, told = in_march.page, sheet(Desk(march.url))
    last = told["delays"][-1]["pots_full_weeks"]
    first = next(one for one in told["delays"] if one["code"] == "season")["pots_full_weeks"]
    full = (
        says(MARCH, "season.pots_weeks", n=last)
        if first == last
        else says(MARCH, "season.pots_weeks_to", **{"from": first, "to": last})
    )
    column = page.locator("section", has_text=in_march.says("season.delays"))
    expect(column.get_by_text(full, exact=True)).to_be_visible()
    expect(column.get_by_text(in_march.says("season.ways_out"), exact=True)).to_be_visible()
    weeks = Desk(march.url).get("season")["weeks"][0]
    n = (date.fromisoformat(weeks["last"]) - date.fromisoformat(weeks["first"])).days + 1
    by = says(MARCH, "season.set_by_on", n=n, who=demo.G.name, on=weeks["set_on"])
    expect(page.get_by_text(by, exact=True).first).to_be_visible()


def test_a_batch_tells_when_its_plants_are_big_enough_and_asks_the_office_once(
    in_march: Hand, march: Office
) -> None:
    page, told = in_march.page, sheet(Desk(march.url))
    asked: list[str] = []
    page.on("request", lambda one: asked.append(one.url.partition("/api/v1")[2]))
    page.goto(f"/#/batch/{told['batches'][0]}")
    days = {name: told["readiness"][name] for name in ("early", "day", "late")}
    ready = page.locator("p.line", has_text=says(MARCH, "season.ready.forecast", **days))
    expect(ready).to_contain_text(told["name"])
    page.wait_for_timeout(1000)
    assert {path: asked.count(path) for path in ("/season", "/rows/nursery")} == {
        "/season": 1, "/rows/nursery": 1,
    }  # fmt: skip
    assert seen.wrongs(page) == []
    ready.get_by_role("link").click()
    expect(page.locator("main h1")).to_contain_text(told["name"])


def fact(hand: Hand, key: str, **params: object) -> list[str]:
    """Return a row of the slip's table: as it stands, and then."""
    row = hand.page.get_by_role("row").filter(has_text=hand.says(f"season.fact.{key}", **params))
    return row.get_by_role("cell").all_inner_texts()


def figures_of(hand: Hand, line: str) -> str:
    """Return what stands at a line of labour, pits and shelter."""
    work = hand.page.locator("section", has_text=hand.says("season.work")).last
    found = work.locator("dl > div").filter(has=hand.page.get_by_text(line, exact=True))
    return found.locator("dd").inner_text()


def test_what_a_slip_costs_in_money_is_told_by_its_parts(in_march: Hand, march: Office) -> None:
    desk = Desk(march.url)
    money, cost = desk.get("season")["currency"], sheet(desk)["delays"][3]["cost"]
    parts = {"plants": "plants", "hours": "hours", "new_pots": "pots", "total": "total"}
    for key, part in parts.items():
        assert fact(in_march, key, money=money) == ["0", str(rounded(cost[part]))], key
    assert cost["total"] == pytest.approx(cost["plants"] + cost["hours"] + cost["pots"])
    assert min(cost["plants"], cost["hours"]) > 0


def test_who_plants_it_and_which_pits_and_shelter_are_ready(in_march: Hand) -> None:
    rate = in_march.says("season.labour_rate", n=40)
    assert figures_of(in_march, in_march.says("season.labour", n=6, plants=214)) == rate
    planted = says(MARCH, "on_day", on="2032-03-12")
    assert figures_of(in_march, planted) == in_march.says("season.booked", n=6)
    for terrace, pits, shelter in ((3, 72, 95), (4, 72, 90), (5, 70, 40)):
        ready = in_march.says("season.pits", n=pits, of=pits)
        grown = in_march.says("season.shelter", n=shelter, of=80)
        assert figures_of(in_march, f"Terrace {terrace}") == f"{ready}, {grown}"


def test_in_july_the_release_the_clock_and_the_first_day_it_is_free_are_told(
    in_july: Hand,
) -> None:
    """The clock ends on a Sunday, so the notice comes on Monday; the line begins with its axis."""
    days = {"start": "2031-06-01", "end": "2031-11-23"}
    quarantine = says(JULY, "bed.part", what=in_july.says("bed.quarantine"), **days)
    release = says(JULY, "bed.release_on", on="2031-11-23")
    bed = in_july.page.locator("main svg.bed")
    for text in (quarantine, release):
        assert text in str(bed.get_attribute("aria-label"))
    free = [says(JULY, "on_day", on=on) for on in ("2031-11-24", "2031-12-15")]
    assert fact(in_july, "free") == free
    lost = {"first": "2031-10-01", "last": "2031-11-15"}
    coming = {"next_first": "2032-03-01", "next_last": "2032-03-31"}
    told = says(JULY, "reason.main_weeks_lost", **lost, **coming)
    expect(in_july.page.get_by_text(told)).to_be_visible()
    assert figures_of(in_july, in_july.says("season.booked_none")) == ""
