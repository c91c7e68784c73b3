"""Daily weather from files: shown with what is wrong by row, taken whole or not at all."""

import json
import re
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from django.test import Client

from nursery.domain.weather import invented, table
from nursery.services import season, words
from nursery.services.weather import MOST_BYTES
from nursery.store.models import ForecastRow, JobRow, WeatherYearRow
from tests.api.conftest import NOW, Cast

NURSERY = "veshmere"

AT = "/api/v1/weather"
HEAD = "date,rain_mm,min_c,max_c\n"


def preview(caller: Client, text: str | bytes, **choices: Any) -> Any:
    said = f"?choices={json.dumps(choices)}" if choices else ""
    return caller.post(f"{AT}/preview{said}", text, content_type="text/csv")


def take(caller: Client, text: str, ident: str = "own", **said: Any) -> Any:
    choices = said.pop("choices", None)
    query = {"name": "Own gauge", **said}
    if choices:
        query["choices"] = json.dumps(choices)
    return caller.put(f"{AT}/{ident}", text, content_type="text/csv", query_params=query)


def days(count: int, line: Callable[[date, int], str], first: str = "2001-01-01") -> str:
    start = date.fromisoformat(first)
    return HEAD + "".join(line(start + timedelta(days=i), i) + "\n" for i in range(count))


def plain(day: date, i: int) -> str:
    return f"{day},{i % 7}.5,18.{i % 10},29.{i % 10}"


GOOD = days(90, plain)


def swapped(day: date, i: int) -> str:
    return f"{day},1.0,29.0,18.0" if i == 10 else plain(day, i)


def twice(day: date, i: int) -> str:
    return f"{day},1.0,18,29\n{day},2.0,18,29" if i == 10 else plain(day, i)


def odd_figure(day: date, i: int) -> str:
    return f"{day},wet,18,29" if i == 10 else plain(day, i)


BAD: dict[str, tuple[str, str, int | None]] = {
    "lowest above highest": (days(90, swapped), "weather.low_above_high", 12),
    "a day with two figures": (days(90, twice), "weather.two_values", 13),
    "a word for a figure": (days(90, odd_figure), "weather.no_figure", 12),
    "both columns changed over": (
        days(90, lambda day, _: f"{day},1.0,29.0,18.0"), "weather.columns_changed_over", None,
    ),
    "more than ever fell": (
        days(90, lambda day, i: f"{day},{2001 if i == 3 else 1},18,29"), "weather.beyond", 5,
    ),
    "a decimal comma between commas": (
        days(90, lambda day, i: f"{day},0,5,18,29" if i == 3 else plain(day, i)),
        "weather.more_cells", 5,
    ),
    "a decimal comma among points": (
        days(90, lambda day, i: f'{day},"0,5",18,29' if i == 3 else plain(day, i)),
        "weather.no_figure", 5,
    ),
    "no day": (HEAD + "some day,1,18,29\n", "weather.no_day", 2),
    "empty": ("", "weather.empty", None),
}  # fmt: skip


@pytest.mark.parametrize(("text", "code", "row"), BAD.values(), ids=BAD.keys())
def test_what_is_wrong_is_told_by_its_row_and_nothing_is_taken(
    cast: Cast, text: str, code: str, row: int | None
) -> None:
    shown = preview(cast.grower, text).json()
    assert not shown["usable"]
    [trouble] = [one for one in shown["troubles"] if one["grave"]]
    assert (trouble["code"], trouble["row"]) == (code, row)
    refused = take(cast.grower, text)
    assert (refused.status_code, refused.json()["code"]) == (422, "weather_unusable")
    assert cast.grower.get(AT).json()["items"] == []
    assert not WeatherYearRow.objects.exists()


@pytest.mark.parametrize("language", words.languages())
def test_every_trouble_has_its_words(language: str) -> None:
    folder = Path(table.__file__).parent
    codes = {
        found
        for file in folder.glob("*.py")
        for found in re.findall(r"\"(weather\.[a-z_]+)\"", file.read_text())
    }
    assert len(codes) > 15
    assert codes - set(words.catalogue(language)) == set()


def test_fahrenheit_and_decimal_commas_are_found_and_may_be_said(cast: Cast) -> None:
    hot = "Date;Rain (in);Tmin (F);Tmax (F)\n" + "".join(
        f"{date(2001, 1, 1) + timedelta(days=i)};0,5;68;86\n" for i in range(40)
    )
    shown = preview(cast.grower, hot).json()
    assert shown["sample"][0] == {"on": "2001-01-01", "rain_mm": 12.7, "low_c": 20, "high_c": 30}
    said = preview(cast.grower, GOOD, columns={"1": ["rain_mm", "inch"]}).json()
    assert said["sample"][0]["rain_mm"] == 12.7


def test_a_figure_that_may_be_read_two_ways_is_asked_about_and_the_grower_s_word_counts(
    cast: Cast,
) -> None:
    text = HEAD + '2001-01-01,"1,250",18,29\n2001-01-02,"1,100",18,29\n'
    shown = preview(cast.grower, text).json()
    [asks] = [one for one in shown["troubles"] if one["code"] == "weather.either_mark"]
    assert (asks["row"], asks["column"], asks["grave"]) == (2, "rain_mm", False)
    assert (shown["mark"], shown["sample"][0]["rain_mm"]) == ("comma", 1.25)
    said = preview(cast.grower, text, mark="point").json()
    assert (said["mark"], said["sample"][0]["rain_mm"]) == ("point", 1250)
    taken = take(cast.grower, text, choices={"mark": "point"}).json()
    assert taken["years"] == [{"year": 2001, "days": {"high_c": 2, "low_c": 2, "rain_mm": 2}}]


def test_days_with_a_fault_may_be_left_out_and_are_gaps_then(cast: Cast) -> None:
    taken = take(cast.grower, days(90, swapped), choices={"leave_out": True})
    assert taken.status_code == 200
    assert taken.json()["years"] == [
        {"year": 2001, "days": {"high_c": 89, "low_c": 89, "rain_mm": 89}}
    ]


def test_gaps_are_told_with_their_days(cast: Cast) -> None:
    broken = "".join(line for i, line in enumerate(GOOD.splitlines(keepends=True)) if i != 5)
    shown = preview(cast.grower, broken).json()
    assert shown["gaps"] == [{"first": "2001-01-05", "last": "2001-01-05", "days": 1}]
    assert shown["usable"]


def test_three_months_are_no_year_and_forty_years_are(cast: Cast) -> None:
    few = take(cast.grower, GOOD).json()
    assert (few["whole_years"], few["enough"], few["wanted_years"]) == (0, False, 10)
    many = take(cast.grower, invented.csv(1, 1990, 40), "long").json()
    assert (many["whole_years"], many["enough"]) == (40, True)
    assert [one["id"] for one in cast.inspector.get(AT).json()["items"]] == ["long", "own"]


def test_a_later_file_adds_days_and_one_that_contradicts_changes_nothing(cast: Cast) -> None:
    take(cast.grower, GOOD)
    more = take(cast.grower, days(300, plain, "2001-03-01").replace(HEAD, HEAD))
    assert more.status_code == 409  # 1 March has another figure there
    told = more.json()
    assert (told["code"], told["params"]["on"]) == ("weather_contradicts", "2001-03-01")
    later = take(cast.grower, days(60, plain, "2001-04-01"))
    assert later.json()["years"][0]["days"]["rain_mm"] == 150
    assert take(cast.grower, GOOD).json()["years"][0]["days"]["rain_mm"] == 150


def test_the_layout_of_a_station_s_file_is_read(cast: Cast) -> None:
    lines = "".join(
        f"XX000000001,{date(2001, 1, 1) + timedelta(days=i):%Y%m%d},{what},{value},,,S,\n"
        for i in range(30)
        for what, value in (("PRCP", 25), ("TMAX", 301), ("TMIN", 188))
    )
    shown = preview(cast.grower, lines).json()
    assert (shown["layout"], shown["usable"]) == ("ghcn_daily", True)
    assert shown["sample"][0] == {"on": "2001-01-01", "rain_mm": 2.5, "high_c": 30.1, "low_c": 18.8}


def test_what_was_taken_may_be_forgotten(cast: Cast) -> None:
    take(cast.grower, GOOD)
    assert cast.grower.delete(f"{AT}/own").status_code == 204
    assert cast.grower.get(AT).json()["items"] == []
    assert not WeatherYearRow.objects.exists()
    assert cast.grower.delete(f"{AT}/own").status_code == 404


ODD = ["{", '{"mark": "dot"}', '{"order": "sideways"}',
       '{"columns": {"1": ["rain_mm", "furlong"]}}', '{"days": 3}',
       '{"columns": {"1": ["snow", "mm"]}}', "[]", "{" + " " * 5000 + "}"]  # fmt: skip


@pytest.mark.parametrize("choices", ODD)
def test_choices_that_are_none_are_refused(cast: Cast, choices: str) -> None:
    found = cast.grower.post(
        f"{AT}/preview", GOOD, content_type="text/csv", query_params={"choices": choices}
    )
    assert found.status_code == 400


def test_a_file_that_is_too_large_is_refused(cast: Cast) -> None:
    found = preview(cast.grower, b"a" * (MOST_BYTES + 1))
    assert (found.status_code, found.json()["code"]) == (413, "weather_too_large")


def test_what_is_invented_says_so_and_odds_follow_from_it(cast: Cast) -> None:
    site = {"rev": 0, "body": {"latitude": -17}}
    cast.grower.put("/api/v1/rows/site/site", json.dumps(site), content_type="application/json")
    taken = take(cast.grower, invented.csv(118, 2001, 12), invented="true").json()
    assert taken["invented"]
    assert JobRow.objects.filter(kind="season").exists()
    before = cast.grower.get("/api/v1/season").json()
    assert (before["weather"], before["odds"]) == (None, None)
    season.materialise(NURSERY, NOW)
    after = cast.grower.get("/api/v1/season").json()
    assert after["weather"] == {
        "series": "Own gauge", "years": 12, "enough": True, "invented": True,
        "lacks_warmth": False, "first": "2001-01-01", "last": "2012-12-31",
    }  # fmt: skip
    assert len(after["odds"]["days"]) == 366
    assert not after["stale"]
    row = ForecastRow.objects.get(kind="odds")
    season.materialise(NURSERY, NOW)
    assert ForecastRow.objects.get(kind="odds").text == row.text
    take(cast.grower, GOOD, "measured")
    assert cast.grower.get("/api/v1/season").json()["stale"]
    season.materialise(NURSERY, NOW)
    few = cast.grower.get("/api/v1/season").json()
    assert (few["weather"]["invented"], few["weather"]["years"], few["odds"]) == (False, 0, None)


def test_a_file_is_shown_to_a_browser_that_proves_who_asks(cast: Cast) -> None:
    token = cast.grower.cookies["nursery_csrf"].value
    cast.grower.handler.enforce_csrf_checks = True
    path, kind = f"{AT}/preview", "text/csv"
    assert cast.grower.post(path, GOOD, content_type=kind).status_code == 403
    proved = cast.grower.post(path, GOOD, content_type=kind, headers={"X-CSRFToken": token})
    assert (proved.status_code, proved.json()["count"]) == (200, 90)
