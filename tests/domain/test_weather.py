"""Files of daily weather: what is found in them, and what is said of those that are wrong.

Expected figures were worked out by hand from the units' definitions.
"""

from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nursery.domain.weather import UNITS, Choices, Measure, Preview, preview
from nursery.domain.weather import table as tables
from nursery.domain.weather.record import years_of_rain

PLAIN = "date,rain (mm),tmax (C),tmin (C)\n2031-05-04,0.4,29.1,17.5\n2031-05-05,12,30.2,18\n"


def shown(text: str, **choices: Any) -> Preview:
    return preview(text.encode(), Choices(**choices))


def codes(found: Preview) -> list[str]:
    return [trouble.code for trouble in found.troubles]


def rows(
    heading: str, days: int, line: str = "{day},{high},{low}", first: str = "2001-01-01"
) -> str:
    start = date.fromisoformat(first)
    lines = [
        line.format(day=start + timedelta(days=n), high=20 + n % 10, low=10 + n % 5)
        for n in range(days)
    ]
    return "\n".join([heading, *lines])


def test_a_plain_table_is_found_whole() -> None:
    found = shown(PLAIN)
    assert found.usable
    assert found.troubles == ()
    assert [day.as_json() for day in found.days] == [
        {"on": "2031-05-04", "high_c": 29.1, "low_c": 17.5, "rain_mm": 0.4},
        {"on": "2031-05-05", "high_c": 30.2, "low_c": 18.0, "rain_mm": 12.0},
    ]


@pytest.mark.parametrize(
    ("heading", "measure", "unit"),
    [
        ("TMAX", Measure.HIGH, None),
        ("Temp. mínima (°C)", Measure.LOW, "celsius"),
        ("Lowest temperature °F", Measure.LOW, "fahrenheit"),
        ("tempMax", Measure.HIGH, None),
        ("precipitation_in", Measure.RAIN, "inch"),
        ("Lluvia [cm]", Measure.RAIN, "cm"),
        ("Viento máx (m/s)", Measure.WIND, "ms"),
        ("wind knots", Measure.WIND, "knot"),
        ("wind mph", Measure.WIND, "mph"),
        ("wind km/h", Measure.WIND, "kmh"),
        ("ETo mm", Measure.EVAPOTRANSPIRATION, "mm"),
        ("rain (°C)", Measure.RAIN, None),
    ],
)
def test_headings_tell_measure_and_unit(heading: str, measure: Measure, unit: str | None) -> None:
    [column] = shown(f"day;{heading}\n2031-05-04;1\n").columns
    assert (column.measure, column.unit if unit else None) == (measure, unit)
    assert column.guessed is (unit is None)


@pytest.mark.parametrize("heading", ["max humidity", "mean temp", "rain time", "remarks"])
def test_what_is_not_asked_for_is_left_alone(heading: str) -> None:
    assert codes(shown(f"day,{heading}\n2031-05-04,1\n")) == ["weather.no_measure"]


@pytest.mark.parametrize(
    ("measure", "unit", "value", "kept"),
    [
        (Measure.HIGH, "fahrenheit", 98.6, 37.0),
        (Measure.LOW, "fahrenheit", 32, 0.0),
        (Measure.LOW, "tenth_celsius", -15, -1.5),
        (Measure.RAIN, "inch", 0.5, 12.7),
        (Measure.WIND, "ms", 10, 36.0),
        (Measure.WIND, "mph", 10, 16.09344),
        (Measure.WIND, "knot", 10, 18.52),
    ],
)
def test_units_come_to_those_of_the_book(
    measure: Measure, unit: str, value: float, kept: float
) -> None:
    assert UNITS[measure][unit].kept(value) == pytest.approx(kept)
    found = shown(f"day,x\n2031-05-04,{value}\n", columns={1: (measure, unit)})
    assert found.days[0].values[measure] == pytest.approx(kept)


def test_fahrenheit_without_a_word_of_it_is_guessed_and_asked_about() -> None:
    found = shown("day,max,min\n2031-05-04,91,40\n2031-05-05,93,41\n")
    assert [(one.unit, one.guessed) for one in found.columns] == [("fahrenheit", True)] * 2
    assert codes(found) == ["weather.unit_guessed"] * 2
    assert found.days[0].values[Measure.HIGH] == pytest.approx(32.78, abs=0.005)


def test_a_temperature_is_in_the_scale_that_the_other_names() -> None:
    found = shown("day,max F,min\n2031-05-04,50,40\n")
    assert [one.unit for one in found.columns] == ["fahrenheit", "fahrenheit"]


@pytest.mark.parametrize(
    ("text", "low"),
    [
        ("Fecha;Tmín (C)\n04/05/2031;17,5\n", 17.5),
        ("Fecha\tTmín (C)\n04/05/2031\t-0,5\n", -0.5),
        ('Fecha,Tmín (C)\n04/05/2031,"17,5"\n', 17.5),
        ("Fecha|Tmín (C)\n04/05/2031|17.5\n", 17.5),
    ],
)
def test_decimal_commas_are_read(text: str, low: float) -> None:
    [day] = shown(text, order="day_first").days
    assert (day.on, day.values[Measure.LOW]) == (date(2031, 5, 4), low)


def test_a_point_among_decimal_commas_is_told_with_its_row_and_column() -> None:
    found = shown("day;tmin C\n2031-05-04;17,5\n2031-05-05;16,5\n2031-05-06;1.234\n")
    [asks, trouble] = found.troubles
    assert (asks.code, asks.grave) == ("weather.either_mark", False)
    assert (trouble.code, trouble.row, trouble.column) == ("weather.no_figure", 4, "tmin C")
    assert not found.usable
    said = shown("day;tmin C\n2031-05-04;17,5\n2031-05-06;1.234\n", mark="comma", leave_out=True)
    assert [day.values for day in said.days] == [{Measure.LOW: 17.5}]
    assert codes(said) == ["weather.beyond"]


RAIN = 'Fecha,Lluvia (mm),Nota\n2031-05-04,"{}",\n2031-05-05,"{}",\n'


@pytest.mark.parametrize(
    ("first", "second", "mark", "rains"),
    [
        ("12,5", "0,4", None, [12.5, 0.4]),
        ("12,5", "0,4", "point", None),
        ("1,234", "1,180", None, [1.234, 1.18]),
        ("1,234", "1,180", "point", [1234, 1180]),
        ("1,234", "1,180", "comma", [1.234, 1.18]),
        ("1.234,5", "0,4", "comma", [1234.5, 0.4]),
        ("1.234,5", "0,4", None, None),
        ("1,234.5", "1", "point", [1234.5, 1]),
        ("12.5", "0.4", "comma", None),
        ("1,2,3", "1", "point", None),
        ("12", "3", "comma", [12, 3]),
    ],
)
def test_the_sign_before_decimals_is_found_or_said(
    first: str, second: str, mark: str | None, rains: list[float] | None
) -> None:
    found = shown(RAIN.format(first, second), mark=mark)
    assert found.usable is (rains is not None)
    if rains is not None:
        assert [day.values[Measure.RAIN] for day in found.days] == rains


@pytest.mark.parametrize(
    ("first", "second", "asks", "sign"),
    [
        ("12,5", "0,4", False, "comma"),
        ("12.5", "0.4", False, "point"),
        ("1,234", "2,500", True, "comma"),
        ("1.234", "2.500", True, "point"),
        ("1.234", "0.500", False, "point"),
        ("12,5", "0.4", True, "point"),
        ("12", "3", False, None),
    ],
)
def test_a_sign_that_may_be_either_is_asked_about_by_row_and_column(
    first: str, second: str, sign: str | None, *, asks: bool
) -> None:
    found = shown(RAIN.format(first, second))
    told = [one for one in found.troubles if one.code == "weather.either_mark"]
    assert [(one.row, one.column, one.grave) for one in told] == [(2, "Lluvia (mm)", False)] * asks
    assert found.as_json()["mark"] == sign
    assert "weather.either_mark" not in codes(shown(RAIN.format(first, second), mark="comma"))


def test_a_sign_in_a_column_that_is_not_taken_is_not_asked_about() -> None:
    assert codes(shown("day;rain mm;lon\n2031-05-04;0,5;-70.1\n2031-05-05;1,5;3\n")) == []


def test_decimal_commas_between_commas_are_told_by_the_row_that_is_too_long() -> None:
    text = "day,rain mm\n2031-05-04,12,5\n2031-05-05,3,\n"
    [trouble] = shown(text).troubles
    assert (trouble.code, trouble.row, trouble.grave) == ("weather.more_cells", 2, True)
    assert trouble.params == {"n": 3, "of": 2, "on": "2031-05-04"}
    assert [day.on.day for day in shown(text, leave_out=True).days] == [5]


@pytest.mark.parametrize("cell", ["1_0", "inf", "12 C", "1e999", "--5", "M5"])
def test_what_is_no_figure_is_told(cell: str) -> None:
    assert codes(shown(f"day,tmin C\n2031-05-04,{cell}\n")) == ["weather.no_figure"]


@pytest.mark.parametrize("cell", ["", "-", "NA", "NaN", "null", "-9999", "-999.9"])
def test_what_a_file_writes_for_nothing_is_a_missing_value(cell: str) -> None:
    found = shown(f"day,tmin C,tmax C\n2031-05-04,{cell},20\n")
    assert found.usable
    assert found.as_json()["lacking"] == {"high_c": 0, "low_c": 1}


def test_a_trace_of_rain_is_a_wet_word_for_nothing() -> None:
    assert shown("day,rain mm\n2031-05-04,T\n").days[0].values[Measure.RAIN] == 0.0


@pytest.mark.parametrize(
    ("cells", "first", "guessed"),
    [
        (["13/05/2031", "14/05/2031"], date(2031, 5, 13), False),
        (["05/13/2031", "05/14/2031"], date(2031, 5, 13), False),
        (["04.05.2031", "05.05.2031"], date(2031, 5, 4), False),
        (["05/04/2031", "05/05/2031"], date(2031, 5, 4), False),
        (["05/04/2031"], date(2031, 4, 5), True),
        (["20310504", "20310505"], date(2031, 5, 4), False),
        (["2031-5-4", "2031-5-5"], date(2031, 5, 4), False),
        (["2031/05/04 00:00", "2031/05/05 00:00"], date(2031, 5, 4), False),
    ],
)
def test_days_are_read_in_the_order_that_the_file_has(
    cells: list[str], first: date, guessed: bool
) -> None:
    found = shown("\n".join(["day,rain mm", *(f"{cell},1" for cell in cells)]))
    assert found.days[0].on == first
    assert codes(found) == ["weather.day_or_month"] * guessed


def test_days_may_stand_in_three_columns() -> None:
    found = shown("year,month,day,rain mm\n2031,5,4,1\n2031,5.0,5,2\n")
    assert [day.on.day for day in found.days] == [4, 5]


def test_days_are_found_without_headings_and_the_grower_names_the_rest() -> None:
    text = "2031-05-04,1,20\n2031-05-05,2,21\n"
    assert codes(shown(text)) == ["weather.no_measure"]
    found = shown(text, columns={1: (Measure.RAIN, "mm")})
    assert [day.values for day in found.days] == [{Measure.RAIN: 1.0}, {Measure.RAIN: 2.0}]


def test_days_are_found_under_a_heading_that_says_nothing() -> None:
    assert shown("when,rain mm\n2031-05-04,1\n").days[0].on == date(2031, 5, 4)


@pytest.mark.parametrize(
    ("text", "code", "row"),
    [
        ("", "weather.empty", None),
        ("  \n \n", "weather.empty", None),
        (",,\n,,\n", "weather.empty", None),
        ("a\x00b,c\n", "weather.no_text", None),
        ("one\ntwo\n", "weather.one_column", None),
        ("a,b\n1,2\n", "weather.no_days", 1),
        ("day,rain mm\n", "weather.no_rows", 1),
        ("day,rain mm\n2031-02-30,1\n", "weather.no_day", 2),
        ("day,rain mm\n\n,,\n2031-02-30,1\n", "weather.no_day", 4),
        ("day,rain\n2031-05-04,wet\n2031-05-05,\n2031-05-06", "weather.no_figure", 2),
        ("day,rain mm\n2031-05-04,1\nlater,2\n", "weather.no_day", 3),
        ("day,rain mm\n2031-05-04,-3\n", "weather.beyond", 2),
        ("day,tmax C\n2031-05-04,71\n", "weather.beyond", 2),
        ("day,tmax C,tmin C\n2031-05-04,12,17\n", "weather.low_above_high", 2),
        ("day,rain mm\n2031-05-04,1\n2031-05-04,2\n", "weather.two_values", 3),
        ("day,tmax C,high C\n2031-05-04,12,17\n", "weather.two_columns", 1),
        ('day,rain mm\n2031-05-04,"1\x00"\n', "weather.no_text", None),
    ],
)
def test_what_is_wrong_is_told_with_its_row_and_nothing_is_taken(
    text: str, code: str, row: int | None
) -> None:
    found = shown(text)
    assert code in codes(found)
    assert next(one.row for one in found.troubles if one.code == code) == row
    assert not found.usable


def test_the_same_day_twice_alike_is_told_and_taken() -> None:
    found = shown("day,rain mm\n2031-05-04,1\n2031-05-04,1\n")
    assert codes(found) == ["weather.same_day_twice"]
    assert found.usable


def test_two_columns_changed_over_are_told_once() -> None:
    found = shown(rows("day,tmin C,tmax C", 60))
    assert codes(found) == ["weather.columns_changed_over"]
    assert found.troubles[0].params == {"n": 60, "of": 60}


def test_days_with_something_wrong_can_be_left_out() -> None:
    text = "day,rain mm\n2031-05-04,1\n2031-05-05,x\n2031-05-06,2\n2031-05-07,-3\n"
    assert not shown(text).usable
    found = shown(text, leave_out=True)
    assert found.usable
    assert [day.on.day for day in found.days] == [4, 6]
    assert [(gap.first.day, gap.days) for gap in found.gaps] == [(5, 1)]
    assert codes(found) == ["weather.no_figure", "weather.beyond"]


def test_gaps_are_shown() -> None:
    found = shown("day,rain mm\n2031-05-04,1\n2031-05-09,1\n2031-05-10,1\n").as_json()
    assert found["gaps"] == [{"first": "2031-05-05", "last": "2031-05-08", "days": 4}]
    assert found["gap_days"] == 4


@pytest.mark.parametrize(("years", "enough"), [(0.25, False), (9, False), (10, True), (40, True)])
def test_ten_years_make_odds(years: float, enough: bool) -> None:
    found = shown(rows("day,tmax C,tmin C", round(years * 365.25)))
    assert found.usable
    assert found.enough is enough


GHCN = """\
QQ000012345,20310504,TMAX,291,,,7,0700
QQ000012345,20310504,TMIN,175,,,7,0700
QQ000012345,20310504,PRCP,12,,,7,0700
QQ000012345,20310504,SNWD,0,,,7,
QQ000012345,20310505,TMAX,999,,X,7,0700
QQ000012345,20310505,PRCP,-9999,,,7,0700
QQ000012345,20310505,AWND,31,,,7,0700
"""


@pytest.mark.parametrize(
    "heading", ["", "ID,DATE,ELEMENT,DATA_VALUE,M_FLAG,Q_FLAG,S_FLAG,OBS_TIME\n"]
)
def test_the_published_layout_of_a_station_is_read(heading: str) -> None:
    found = shown(heading + GHCN)
    assert found.layout == "ghcn_daily"
    assert [day.as_json() for day in found.days] == [
        {"on": "2031-05-04", "high_c": 29.1, "low_c": 17.5, "rain_mm": 1.2},
        {"on": "2031-05-05", "wind_kmh": 11.16},
    ]
    assert found.left_out == {"element": 1, "quality": 1}
    assert found.usable


@pytest.mark.parametrize(
    ("line", "code"),
    [
        ("QQ000099999,20310506,TMAX,291,,,7,0700", "weather.two_stations"),
        ("total,3", "weather.not_this_layout"),
        ("QQ000012345,20310231,TMAX,291,,,7,0700", "weather.no_day"),
        ("QQ000012345,20310506,TMAX,29x,,,7,0700", "weather.no_figure"),
    ],
)
def test_a_strange_line_in_the_published_layout_is_told(line: str, code: str) -> None:
    found = shown(GHCN + line + "\n")
    assert [(one.code, one.row) for one in found.troubles] == [(code, 8)]
    assert not found.usable


BESIDE = (
    '"STATION","DATE","PRCP","PRCP_ATTRIBUTES","SNOW","SNOW_ATTRIBUTES","TMAX","TMAX_ATTRIBUTES"\n'
    '"QQ000012345","2031-05-04","   12",",,7","    0",",,7","  291",",,7"\n'
    '"QQ000012345","2031-05-05","    0","T,,7",,,"  999",",X,7"\n'
)


def test_flags_beside_each_element_are_read_and_figures_are_tenths() -> None:
    found = shown(BESIDE)
    assert [day.as_json() for day in found.days] == [
        {"on": "2031-05-04", "high_c": 29.1, "rain_mm": 1.2},
        {"on": "2031-05-05", "rain_mm": 0},
    ]
    assert found.left_out == {"quality": 1}
    assert codes(found) == ["weather.unit_guessed"] * 2
    assert found.usable


def test_flags_beside_figures_with_decimals_are_of_other_units() -> None:
    units = [one.unit for one in shown(BESIDE.replace("   12", "  1.2")).columns]
    assert units == ["mm", "fahrenheit"]
    short = shown("DATE,PRCP,PRCP_ATTRIBUTES\n2031-05-04,12\n")
    assert [day.values for day in short.days] == [{Measure.RAIN: pytest.approx(1.2)}]


def test_a_second_station_in_a_table_is_told_by_its_row() -> None:
    found = shown(BESIDE + '"QQ000099999","2031-05-06","1",",,7",,,"290",",,7"\n')
    [trouble] = [one for one in found.troubles if one.grave]
    assert (trouble.code, trouble.row) == ("weather.two_stations", 4)


@pytest.mark.parametrize(
    "text",
    [
        rows("day,tmin C,tmax C", 60),
        "day,tmax C,high C\n2031-05-04,12,17\n",
        GHCN + "QQ000099999,20310506,TMAX,291,,,7,0700\n",
    ],
    ids=["columns changed over", "two columns", "two stations"],
)
def test_what_is_wrong_with_the_whole_file_is_not_left_out(text: str) -> None:
    assert not shown(text, leave_out=True).usable


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_files_of_any_usual_encoding_are_read(encoding: str) -> None:
    found = preview("Día;Tmín (°C)\n04/05/2031;17,5\n".encode(encoding))
    assert [column.unit for column in found.columns] == ["celsius"]


def test_more_rows_than_any_record_has_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(tables, "MOST_ROWS", 3)
    assert codes(shown(rows("day,rain mm", 10, "{day},1"))) == ["weather.too_long"]


def test_a_field_beyond_measure_is_told() -> None:
    text = "day,rain mm\n" + '2031-05-04,"' + "1" * 200_000
    assert codes(shown(text)) == ["weather.no_table"]


@given(st.binary(max_size=400) | st.text(max_size=400).map(str.encode))
def test_no_file_makes_it_fail(content: bytes) -> None:
    found = preview(content)
    assert found.usable or found.troubles or not found.days
    found.as_json()


@given(
    st.dictionaries(
        st.dates(date(1950, 1, 1), date(2060, 1, 1)),
        st.tuples(st.floats(-40, 10), st.floats(10, 45), st.floats(0, 300)),
        min_size=1,
        max_size=30,
    ),
    st.sampled_from([",", ";", "\t"]),
)
def test_what_is_written_is_what_is_read(
    days: dict[date, tuple[float, float, float]], separator: str
) -> None:
    comma = separator == ";"
    lines = [separator.join(["date", "tmin (C)", "tmax (C)", "rain (mm)"])]
    for on, values in days.items():
        cells = [f"{value:.1f}".replace(".", "," if comma else ".") for value in values]
        lines.append(separator.join([on.isoformat(), *cells]))
    found = shown("\n".join(lines))
    assert found.usable
    assert {
        day.on: tuple(day.values[one] for one in (Measure.LOW, Measure.HIGH, Measure.RAIN))
        for day in found.days
    } == {on: tuple(pytest.approx(value, abs=0.051) for value in days[on]) for on in days}


def test_a_year_counts_for_odds_by_the_days_whose_rain_is_known() -> None:
    """Rule J-7: an empty rain is no rain that was measured."""
    whole, lacks = [0.0] * 329 + [None] * 36, [0.0] * 328 + [None] * 37
    years = {2032: {"rain_mm": whole}, 2031: {"rain_mm": lacks}, 2030: {"high_c": whole}}
    assert years_of_rain(years) == (2032,)
