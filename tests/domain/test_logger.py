"""A room's own instrument: many readings become a figure a day, or a fault with row and column."""

import pytest

from nursery.domain import logger

HEAD = "Time,Temperature (C),Humidity,Light PPFD\n"
HOURS = "".join(f"2031-03-24 {h:02}:00,{10 + h},{40 + h},{100}\n" for h in range(24))


def days(text: str) -> list[dict[str, object]]:
    log = logger.preview(text.encode())
    assert log.usable, log.troubles
    return [day.as_json() for day in log.days]


def test_a_day_has_its_ends_its_mean_humidity_and_its_light() -> None:
    whole = {
        "on": "2031-03-24", "readings": 72, "air_low_c": 10, "air_high_c": 33,
        "humidity_percent": 51.5, "light_mol": 8.64,
    }  # fmt: skip
    assert days(HEAD + HOURS) == [whole]


def test_half_a_day_has_no_sum_of_light_and_one_reading_no_ends() -> None:
    rest = "2031-03-25 07:00,21.5,,100\n2031-03-26 07:00,-,,100\n"
    assert days(HEAD + rest) == [
        {"on": "2031-03-25", "readings": 2, "air_c": 21.5},
        {"on": "2031-03-26", "readings": 1},
    ]


def test_fahrenheit_and_commas_and_spanish_are_read() -> None:
    text = "Fecha;Temperatura (F);Humedad\n24/03/2031;68,0;50,5\n24/03/2031;86,0;49,5\n"
    assert days(text) == [
        {
            "on": "2031-03-24", "readings": 4, "air_low_c": 20, "air_high_c": 30,
            "humidity_percent": 50,
        }
    ]  # fmt: skip


WRONG = {
    "no time": ("Light,Temperature\n1,2\n", "weather.no_days", 1, None),
    "no figure of a room": ("Time,Battery\n2031-03-24,9\n", "logger.no_figures", 1, None),
    "a word": (HEAD + "2031-03-24,warm,40,1\n", "logger.no_figure", 2, "Temperature (C)"),
    "wetter than wet": (HEAD + "2031-03-24,20,140,1\n", "logger.no_figure", 2, "Humidity"),
    "no such day": (HEAD + "2031-02-30,20,40,1\n", "weather.no_day", 2, "Time"),
    "a row that ends early": (HEAD + HOURS + "\n,20\n", "weather.no_day", 27, "Time"),
    "nothing": ("", "weather.empty", None, None),
}


@pytest.mark.parametrize(("text", "code", "row", "column"), WRONG.values(), ids=WRONG.keys())
def test_what_is_wrong_is_told_by_row_and_column(
    text: str, code: str, row: int | None, column: str | None
) -> None:
    log = logger.preview(text.encode())
    assert not log.usable
    assert [(one.code, one.row, one.column) for one in log.troubles] == [(code, row, column)]
