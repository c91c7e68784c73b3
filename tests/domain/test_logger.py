"""A room's own instrument: many readings become a figure a day, or a fault with row and column."""

from typing import Any

import pytest

from nursery.domain import logger

HEAD = "Time,Temperature (C),Humidity,Light PPFD\n"
HOURS = "".join(f"2031-03-24 {h:02}:00,{10 + h},{40 + h},{100}\n" for h in range(24))


def days(text: str) -> list[dict[str, object]]:
    found = log(text)
    assert found.usable, found.troubles
    return [day.as_json() for day in found.days]


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


def log(text: str, **said: Any) -> logger.Log:
    return logger.preview(text.encode(), logger.Choices(**said))


def of_day(heading: str, *cells: str, **said: Any) -> tuple[dict[str, object], list[str]]:
    """Return the figures of one day of a column, and the codes of what is told of it."""
    lines = [f"2031-03-24 {hour:02}:00;{cell}" for hour, cell in enumerate(cells)]
    found = log("\n".join([f"Time;{heading}", *lines]), **said)
    return dict(found.days[0].figures), [one.code for one in found.troubles]


LIGHT = logger.Quantity.LIGHT
GUESSED = ["weather.unit_guessed"]
UNITS: list[tuple[str, list[str], dict[str, object], list[str]]] = [
    ("Temp (°F)", ["68", "86"], {"air_low_c": 20, "air_high_c": 30}, []),
    ("Temp", ["68", "86"], {"air_low_c": 20, "air_high_c": 30}, GUESSED),
    ("Temp", ["18", "26"], {"air_low_c": 18, "air_high_c": 26}, GUESSED),
    ("RH", ["0.4", "0.6"], {"humidity_percent": 50}, GUESSED),
    ("RH", ["40", "60"], {"humidity_percent": 50}, []),
    ("RH %", ["0.4", "0.6"], {"humidity_percent": 0.5}, []),
    ("PAR", ["100"] * 24, {"light_mol": 8.64}, []),
    ("Light", ["100"] * 24, {"light_mol": 8.64}, GUESSED),
    ("PPFD (µmol m-2 s-1)", ["100"] * 23, {}, []),
    ("DLI (mol m-2 d-1)", ["12.5", "12.5", ""], {"light_mol": 12.5}, []),
    ("DLI", ["12.5", "12.6"], {"light_mol": 12.5}, ["logger.two_sums"]),
]


@pytest.mark.parametrize(("heading", "cells", "figures", "told"), UNITS)
def test_a_unit_is_the_heading_s_or_a_guess_that_is_told(
    heading: str, cells: list[str], figures: dict[str, object], told: list[str]
) -> None:
    assert of_day(heading, *cells) == (figures, told)


@pytest.mark.parametrize("heading", ["Light (lux)", "Luz (lx)", "PAR W/m2"])
def test_light_that_no_factor_turns_into_that_of_plants_is_told_and_left_out(heading: str) -> None:
    found = log(f"Time,Temp C,{heading}\n2031-03-24 06:00,20,900\n2031-03-24 07:00,21,x\n")
    [told] = found.troubles
    assert (told.code, told.row, told.column, told.grave) == ("logger.no_sum", 1, heading, False)
    assert [day.figures for day in found.days] == [(("air_low_c", 20), ("air_high_c", 21))]
    assert found.usable
    assert not log(f"Time,{heading}\n2031-03-24,900\n").usable


def test_the_grower_s_word_counts_above_headings_and_guesses() -> None:
    figures, told = of_day("Probe", "50", "59", columns={1: (logger.Quantity.AIR, "fahrenheit")})
    assert (figures, told) == ({"air_low_c": 10, "air_high_c": 15}, [])
    figures, told = of_day("Light (lux)", *["100"] * 24, columns={1: (LIGHT, "micromol")})
    assert (figures, told) == ({"light_mol": 8.64}, [])
    [nothing] = log("Time;Probe\n2031-03-24;50\n", columns={7: (LIGHT, "micromol")}).troubles
    assert (nothing.code, nothing.row) == ("logger.no_figures", 1)


def test_what_is_found_is_told_so_that_it_may_be_changed() -> None:
    told = log("Time;Temp\n2031-03-24;18,5\n").as_json()
    assert told["columns"] == [
        {"place": 1, "heading": "Temp", "measure": "air_c", "unit": "celsius", "guessed": True}
    ]
    assert (told["headings"], told["days_at"], told["mark"]) == (["Time", "Temp"], [0], "comma")
    assert told["days"] == [{"on": "2031-03-24", "readings": 1, "air_c": 18.5}]
    assert (told["trouble_count"], told["usable"]) == (1, True)


def test_where_the_times_are_may_be_said_and_what_is_elsewhere_is_no_air() -> None:
    text = "Sent,When,Temp C,Dew point temp C,Soil temp C\n1,2031-03-24,20,9,15\n"
    assert [one.code for one in log(text).troubles] == ["weather.no_days"]
    found = log(text, days=(1,))
    assert [day.figures for day in found.days] == [(("air_c", 20),)]
    assert [one.place for one in found.columns] == [2]


@pytest.mark.parametrize("clock", ["{h:02}:30:15", "{h12}:30 {half}", "{h12}:30:00 {half}"])
def test_hours_stand_beside_the_day_or_in_a_column_of_their_own(clock: str) -> None:
    lines = [
        f"{clock.format(h=h, h12=h % 12 or 12, half='PM' if h > 11 else 'a. m.')},2031-03-24,100"
        for h in range(24)
    ]
    own = "\n".join(["Time,Date,PAR", *lines])
    assert days(own)[0]["light_mol"] == 8.64
    beside = [f"{day} {hour},{n}" for hour, day, n in (line.split(",") for line in lines)]
    assert days("\n".join(["Date,PAR", *beside]))[0]["light_mol"] == 8.64


def test_commas_and_days_that_may_be_either_are_asked_about_until_said() -> None:
    text = 'Fecha,Temp C\n03/04/2031,"1,250"\n03/04/2031,"1,500"\n'
    found = log(text)
    assert [(one.code, one.row, one.column, one.grave) for one in found.troubles] == [
        ("weather.either_mark", 2, "Temp C", False),
        ("weather.day_or_month", 2, "Fecha", False),
    ]
    assert found.mark == "comma"
    said = log(text, mark="comma", order="month_first")
    assert (said.troubles, said.days[0].on.isoformat()) == ((), "2031-03-04")
    far = log(text, mark="point", order="day_first")
    assert [one.code for one in far.troubles] == ["logger.no_figure"] * 2


WRONG = {
    "two probes of one measure": (
        "Time,Temp 1 C,Temp 2 C\n2031-03-24,20,21\n",
        "weather.two_columns",
        1,
        "Temp 2 C",
    ),
    "decimal commas between commas": (
        HEAD + HOURS + "2031-03-25 01:00,20,5,50,100\n",
        "weather.more_cells",
        26,
        None,
    ),
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
    found = log(text)
    assert not found.usable
    assert [(one.code, one.row, one.column) for one in found.troubles] == [(code, row, column)]
