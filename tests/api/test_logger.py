"""A room logger's file at the desk: shown, then one reading a day, and no day twice."""

import json
import re
from pathlib import Path
from typing import Any

import pytest

from nursery.domain import logger as domain
from nursery.services import words
from nursery.store.models import FeedRow
from tests.api.conftest import NOW, Cast

ROOM = "logged-room"
TEXT = "Time,Temperature,Humidity\n" + "".join(
    f"{NOW.year - 1}-03-{day:02} {hour:02}:00,{day + hour},{50 + hour}\n"
    for day in range(1, 8)
    for hour in (6, 14)
)


@pytest.fixture
def room(cast: Cast) -> str:
    body = {"rev": 0, "body": {"name": "Logged room", "kind": "room"}}
    path = f"/api/v1/rows/place/{ROOM}"
    assert cast.grower.put(path, body, content_type="application/json").status_code == 200
    return ROOM


def take(cast: Cast, room: str, text: str, **said: Any) -> Any:
    query = {"name": "north.csv", **({"choices": json.dumps(said)} if said else {})}
    path = f"/api/v1/logger/{room}"
    return cast.grower.post(path, text, content_type="text/csv", query_params=query)


def preview(cast: Cast, text: str, choices: str) -> Any:
    path, query = "/api/v1/logger/preview", {"choices": choices}
    return cast.grower.post(path, text, content_type="text/csv", query_params=query)


def read_of(cast: Cast, room: str) -> list[Any]:
    lines = cast.grower.get(f"/api/v1/places/{room}").json()["timeline"]
    return [one["entry"] for one in lines if one["entry"]["kind"] == "read"]


def test_a_file_is_one_reading_a_day_and_no_day_is_taken_twice(cast: Cast, room: str) -> None:
    assert take(cast, room, TEXT).json() == {"days": 7, "before": 0, "not_over": 0}
    assert take(cast, room, TEXT).json() == {"days": 0, "before": 7, "not_over": 0}
    entries = read_of(cast, room)
    assert len(entries) == 7
    assert entries[0]["body"] == {
        "readings": [
            {"what": "air_low_c", "value": 7},
            {"what": "air_high_c", "value": 15},
            {"what": "humidity_percent", "value": 60},
        ],
        "instrument": "logger north.csv",
    }


def test_a_fault_is_told_by_row_and_column_and_nothing_is_written(cast: Cast, room: str) -> None:
    before = FeedRow.objects.count()
    faulty = TEXT + f"{NOW.year - 1}-03-09,20,hot\n"
    shown = cast.grower.post("/api/v1/logger/preview", faulty, content_type="text/csv").json()
    assert not shown["usable"]
    [trouble] = [one for one in shown["troubles"] if one["grave"]]
    assert (trouble["code"], trouble["row"], trouble["column"]) == (
        "logger.no_figure", 16, "Humidity",
    )  # fmt: skip
    assert take(cast, room, faulty).status_code == 422
    assert FeedRow.objects.count() == before


def test_columns_units_and_the_sign_of_decimals_may_be_said(cast: Cast, room: str) -> None:
    text = "Sent,When,Probe,Lamp\n" + "".join(
        f'9,{NOW.year - 1}-03-01 {hour:02}:00,"68,0",100\n' for hour in range(24)
    )
    said = {"columns": {"2": ["air_c", "fahrenheit"], "3": ["light_mol", "micromol"]}, "days": [1]}
    shown = preview(cast, text, json.dumps(said)).json()
    assert (shown["usable"], shown["troubles"], shown["mark"]) == (True, [], "comma")
    assert shown["units"]["light_mol"] == ["micromol", "mol_day", "lux", "watt"]
    assert shown["days"][0]["light_mol"] == 8.64
    wrong = preview(cast, text, json.dumps({**said, "mark": "point"})).json()
    assert [(one["code"], one["row"]) for one in wrong["troubles"]][:1] == [("logger.no_figure", 2)]
    assert take(cast, room, text, **said, mark="point").status_code == 422
    assert take(cast, room, text, **said).json()["days"] == 1
    [entry] = read_of(cast, room)
    assert entry["body"]["readings"] == [
        {"what": "air_low_c", "value": 20},
        {"what": "air_high_c", "value": 20},
        {"what": "light_mol", "value": 8.64},
    ]


ODD = ["[]", '{"columns": {"1": ["light_mol", "candle"]}}', '{"columns": {"1": ["rain_mm", "mm"]}}',
       '{"mark": "dot"}', '{"order": "sideways"}']  # fmt: skip


@pytest.mark.parametrize("choices", ODD)
def test_choices_that_are_none_are_refused(cast: Cast, choices: str) -> None:
    assert preview(cast, TEXT, choices).status_code == 400


@pytest.mark.parametrize("language", words.languages())
def test_every_trouble_and_unit_has_its_words(language: str) -> None:
    files = Path(domain.__file__).parent.glob("*.py")
    codes = {
        code
        for file in files
        for code in re.findall(r"\"((?:weather|logger)\.[a-z_]+)\"", file.read_text())
    }
    assert len(codes) > 8
    units = {f"weather_unit.{unit}" for units in domain.UNITS.values() for unit in units}
    names = {f"measure.{quantity}" for quantity in domain.Quantity}
    assert (codes | units | names) - set(words.catalogue(language)) == set()


def test_no_room_no_record(cast: Cast) -> None:
    assert take(cast, "nowhere", TEXT).status_code == 404
