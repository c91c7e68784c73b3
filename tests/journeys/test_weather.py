"""A grower at the desk takes in years of weather: a file with faults, mended, taken whole."""

import re
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from datetime import date, timedelta

import pytest
from playwright.sync_api import Browser, FilePayload, Locator, expect

from nursery.domain.weather import invented
from tests.journeys import seen
from tests.journeys.hands import Hand
from tests.journeys.offices import Desk, Office, office_on
from tests.journeys.phones import DESK, PHONE
from tests.journeys.test_shell import sign_in

WIDTHS = {"a desk": DESK, "a phone": PHONE}
FIRST = date(2001, 1, 1)
FAULTY_ROW = 12


@pytest.fixture(params=list(WIDTHS.values()), ids=list(WIDTHS))
def size(request: pytest.FixtureRequest) -> tuple[int, int]:
    found: tuple[int, int] = request.param
    return found


@pytest.fixture
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_on(tmp_path_factory.mktemp("weather"), 1) as office:
        yield office


@pytest.fixture
def grower(browser: Browser, office: Office, size: tuple[int, int]) -> Iterator[Hand]:
    width, height = size
    context = browser.new_context(
        base_url=office.url, locale="en-GB", viewport={"width": width, "height": height}
    )
    found = Hand(context.new_page())
    sign_in(found.page)
    yield found
    assert found.faults == []
    context.close()


def gauge(*, faulty: bool) -> FilePayload:
    """Give ninety days in inches and °F, decimals with a comma; one low stands above its high."""
    lines = ["Fecha;Lluvia;Tmin (F);Tmax (F)"]
    for i in range(90):
        low, high = (86, 68) if faulty and i == FAULTY_ROW - 2 else (68, 86)
        lines.append(f"{FIRST + timedelta(days=i)};0,{i % 7 + 1};{low},5;{high},5")
    return {"name": "gauge.csv", "mimeType": "text/csv", "buffer": "\n".join(lines).encode()}


def chooses(grower: Hand, file: FilePayload) -> None:
    grower.page.locator("input[type=file]").set_input_files(file)


def column(grower: Hand, key: str, heading: str) -> Locator:
    return grower.page.get_by_label(grower.says(key, heading=heading), exact=True)


def series_kept(office: Office) -> int:
    """Return how many rows of weather there are on the disk."""
    book = f"file:{office.folder}/demo/nursery.sqlite3?mode=ro"
    with closing(sqlite3.connect(book, uri=True)) as disk:
        return sum(count for (count,) in disk.execute("SELECT count(*) FROM weather_year"))


def is_shown_with_its_fault(grower: Hand) -> None:
    """Choose the file with a fault: its row is told, and nothing of it can be taken."""
    page = grower.page
    page.goto("/#/weather/new")
    grower.is_at("weathers.new")
    chooses(grower, gauge(faulty=True))
    on = (FIRST + timedelta(days=FAULTY_ROW - 2)).isoformat()
    grower.reads("weather.low_above_high", row=FAULTY_ROW, on=on, low="30.3", high="20.3")
    grower.reads("weathers.unusable")
    expect(grower.one("weathers.take_nothing")).to_be_disabled()
    assert seen.wrongs(page) == []


def test_a_file_with_a_fault_is_told_by_row_then_mended_and_taken_whole(
    grower: Hand, office: Office
) -> None:
    page, desk = grower.page, Desk(office.url)
    before = series_kept(office)
    is_shown_with_its_fault(grower)
    assert series_kept(office) == before
    chooses(grower, gauge(faulty=False))
    grower.reads("weathers.years", n=0)
    expect(page.get_by_text(grower.says("weathers.unusable"))).to_have_count(0)
    rain = page.locator('[data-figure="rain_mm"]').first
    expect(rain).to_contain_text("0.1 mm")
    column(grower, "weathers.unit", "Lluvia").select_option("inch")
    expect(rain).to_contain_text("2.54 mm")
    grower.type("weathers.name", "Own gauge")
    assert seen.wrongs(page) == []
    grower.tap("weathers.take", n=90)
    grower.is_at("nav.weather")
    part = page.get_by_role("region", name="Own gauge")
    expect(part).to_contain_text(grower.says("weathers.few"))
    expect(part).to_contain_text(grower.says("weathers.year_lacks", year="2001", n=275))
    assert seen.wrongs(page) == []
    [kept] = [one for one in desk.get("weather")["items"] if one["name"] == "Own gauge"]
    assert kept["years"] == [{"year": 2001, "days": {"rain_mm": 90, "low_c": 90, "high_c": 90}}]
    assert series_kept(office) == before + 1


def test_a_sign_that_may_part_thousands_is_asked_about_and_chosen(grower: Hand) -> None:
    page = grower.page
    page.goto("/#/weather/new")
    text = 'Fecha,Lluvia (mm)\n2001-01-01,"1,250"\n2001-01-02,"1,100"\n'
    chooses(grower, {"name": "r.csv", "mimeType": "text/csv", "buffer": text.encode()})
    asked = grower.says("weather.either_mark", row=2, column="Lluvia (mm)")
    expect(page.get_by_text(asked)).to_be_visible()
    rain = page.locator('[data-figure="rain_mm"]').first
    expect(rain).to_contain_text("1.25 mm")
    grower.tap("weathers.mark_point")
    expect(rain).to_contain_text(re.compile(r"1.?250 mm"))
    expect(page.get_by_text(asked)).to_have_count(0)
    assert seen.wrongs(page) == []
    grower.type("weathers.name", "Wet")
    grower.tap("weathers.take", n=2)
    grower.is_at("nav.weather")


def test_thirty_invented_years_are_marked_and_may_be_taken_out(
    grower: Hand, office: Office
) -> None:
    page = grower.page
    page.goto("/#/weather/new")
    text = invented.csv(7, 1990, 30)
    chooses(grower, {"name": "d.csv", "mimeType": "text/csv", "buffer": text.encode()})
    grower.reads("weathers.years", n=30)
    grower.tap("weathers.take", n=len(text.splitlines()) - 1)
    grower.reads("weathers.name_missing")
    grower.type("weathers.name", "Dry hill")
    page.get_by_role("switch", name=grower.says("weathers.is_invented")).click()
    grower.tap("weathers.take", n=len(text.splitlines()) - 1)
    part = page.get_by_role("region", name="Dry hill")
    expect(part).to_contain_text(grower.says("weathers.invented"))
    expect(part).to_contain_text(grower.says("weathers.enough"))
    assert seen.wrongs(page) == []
    grower.tap("weathers.forget", name="Dry hill")
    grower.tap("weathers.forget_sure", name="Dry hill")
    expect(part).to_have_count(0)


def test_what_cannot_be_of_the_place_is_said_by_its_field(grower: Hand, office: Office) -> None:
    page, desk = grower.page, Desk(office.url)
    page.goto("/#/site")
    grower.is_at("site.title")
    grower.type("site.hole_cm", "4")
    grower.type("site.hot_c", "warm")
    grower.tap("button.save")
    grower.reads("products.no_figure", value="warm")
    grower.type("site.hot_c", "36,5")
    grower.tap("button.save")
    told = page.locator('[data-field="hole_cm"]')
    expect(told).to_contain_text(grower.says("permits.cannot_be", value="4"))
    assert seen.wrongs(page) == []
    grower.type("site.hole_cm", "45")
    grower.type("site.cost_plant", "2.50")
    grower.tap("site.south")
    grower.tap("button.save")
    grower.is_at("nav.weather")
    [row] = desk.get("rows/site")["items"]
    body = row["body"]
    assert (body["hole_cm"], body["hot_c"], body["cost_plant"]) == (45, 36.5, 2.5)
    assert body["latitude"] < 0


def test_levels_of_the_planting_day_show_their_source_and_must_agree(
    grower: Hand, office: Office
) -> None:
    page, desk = grower.page, Desk(office.url)
    page.goto("/#/site")
    grower.is_at("site.title")
    heat = page.locator("label", has_text=grower.says("site.heat_go_c"))
    expect(heat).to_contain_text(grower.says("site.usual_trade", n=32))
    grower.type("site.heat_go_c", "36")
    told = page.locator('[data-field="heat_go_c"]')
    expect(told).to_contain_text(grower.says("site.wrong_side", value="36"))
    grower.tap("button.save")
    grower.is_at("site.title")
    grower.type("site.heat_go_c", "30,5")
    expect(told).to_have_count(0)
    grower.type("site.dry_spell_go", "140")
    grower.type("site.dry_spell_no", "150")
    grower.tap("button.save")
    share = page.locator('[data-field="dry_spell_go"]')
    expect(share).to_contain_text(grower.says("permits.cannot_be", value="140"))
    assert seen.wrongs(page) == []
    grower.type("site.dry_spell_go", "25")
    grower.type("site.dry_spell_no", "")
    grower.tap("button.save")
    grower.is_at("nav.weather")
    [row] = desk.get("rows/site")["items"]
    assert row["body"]["planting"] == {"heat_go_c": 30.5, "dry_spell_go": 0.25}


def of_a_logger(text: str) -> FilePayload:
    return FilePayload(name="north.csv", mimeType="text/csv", buffer=text.encode())


def test_a_logger_s_file_with_a_fault_is_mended_and_is_readings_of_its_room(
    grower: Hand, office: Office
) -> None:
    page, desk = grower.page, Desk(office.url)
    page.goto("/#/logger")
    text = "Time;Probe temp (F);Lux\n2031-03-01 06:00;17,0;9\n2031-03-01 14:00;{};9\n"
    chooses(grower, of_a_logger(text.format("hot")))
    about = {"row": 3, "column": "Probe temp (F)", "said": "hot", "unit": "°F"}
    grower.reads("logger.no_figure", **about)
    grower.reads("logger.no_sum", column="Lux", unit="lux")
    grower.reads("logs.unusable")
    assert seen.wrongs(page) == []
    chooses(grower, of_a_logger(text.format("29,0")))
    low = page.locator('[data-figure="air_low_c"]').first
    expect(low).to_contain_text("−8.33 °C")
    column(grower, "weathers.unit", "Probe temp (F)").select_option("celsius")
    expect(low).to_contain_text("17 °C")
    assert seen.wrongs(page) == []
    page.get_by_role("group", name=grower.says("logs.room")).get_by_role("button").first.click()
    grower.tap("logs.take")
    grower.reads("logs.taken", n=1)
    grower.tap("logs.take")
    grower.reads("logs.before", n=1)
    rooms = [one for one in desk.get("rows/place")["items"] if one["body"]["kind"] == "room"]
    read = [one for one in rooms if desk_reads(desk, one["id"])]
    assert len(read) == 1


def desk_reads(desk: Desk, room: str) -> bool:
    """Tell whether a file's readings stand in a room's records."""
    entries = [line["entry"] for line in desk.get(f"places/{room}")["timeline"]]
    told = [one["body"] for one in entries if one["kind"] == "read"]
    figures = [{"what": "air_low_c", "value": 17}, {"what": "air_high_c", "value": 29}]
    return {"readings": figures, "instrument": "logger north.csv"} in told
