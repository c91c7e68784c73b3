"""A room logger's file at the desk: shown, then one reading a day, and no day twice."""

from typing import Any

import pytest

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


def take(cast: Cast, room: str, text: str) -> Any:
    path = f"/api/v1/logger/{room}?name=north.csv"
    return cast.grower.post(path, text, content_type="text/csv")


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
    [trouble] = shown["troubles"]
    assert (trouble["code"], trouble["row"], trouble["column"]) == (
        "logger.no_figure", 16, "Humidity",
    )  # fmt: skip
    assert take(cast, room, faulty).status_code == 422
    assert FeedRow.objects.count() == before


def test_no_room_no_record(cast: Cast) -> None:
    assert take(cast, "nowhere", TEXT).status_code == 404
