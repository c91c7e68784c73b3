"""Re-entry against the published classes, and how a treatment is held against them.

Sources: (read) was opened, (memory) recalled. The label decides; the classes are a floor (P-9).
"""

from datetime import datetime, timedelta
from itertools import combinations_with_replacement
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from nursery.domain import doubtful, treatments
from nursery.domain.kinds.shape import Name
from nursery.domain.reference import Product
from nursery.domain.reference.substances import Setting, Substance, hours
from tests.domain.house import House, day_1

RED = "interim intervals of a reregistration text by 40 CFR 156.208 (read)"
RULE = "40 CFR 156.208 (c) (memory)"
LONGEST = "40 CFR 170.112 (a)(3), older text: together, the longest (read)"
LOW_RISK = "60 FR 21965, 3 May 1995: from 12 to 4 hours (read)"
IN, OUT, DRY = Setting.INSIDE, Setting.OUTDOORS, Setting.OUTDOORS_DRY
NOBODY = (None, None, None)

Categories = tuple[int | None, int | None, int | None]


def substance(categories: Categories, oral: int | None = None, **more: Any) -> Substance:
    names = ("dermal", "eye", "skin", "oral")
    known: dict[str, Any] = dict(zip(names, (*categories, oral), strict=True))
    return Substance(Name("a"), **known, **more)


@pytest.mark.parametrize(
    ("categories", "expected", "source"),
    [
        ((1, 3, 4), 48, RED),
        ((3, 4, 4), 12, RED),
        ((2, 1, 2), 48, RED),
        ((2, 3, 4), 24, RULE),
        ((4, 4, 2), 24, RULE),
        ((4, 1, 4), 48, RULE),
        ((4, 4, 4), 12, RULE),
        ((3, 3, 3), 12, RULE),
        ((None, 2, None), 24, RULE),
        (NOBODY, None, "where nothing is known nothing is made up"),
    ],
)
def test_the_most_toxic_of_skin_eye_and_dermal_gives_the_hours(
    categories: Categories, expected: int | None, source: str
) -> None:
    """Rule P-9."""
    assert hours([substance(categories)], IN) == expected, source


@pytest.mark.parametrize(
    ("dermal", "oral", "expected"), [(None, 1, 48), (3, 1, 12), (None, 2, 24), (None, None, 12)]
)
def test_an_oral_figure_stands_in_where_there_is_no_dermal_one(
    dermal: int | None, oral: int | None, expected: int
) -> None:
    """40 CFR 156.208 (c)(1), from memory."""
    assert hours([substance((dermal, 4, 4), oral)], IN) == expected


@pytest.mark.parametrize(
    ("several", "expected", "source"),
    [
        ([(3, 4, 4), (1, 3, 4)], 48, LONGEST),
        ([(1, 3, 4), (3, 4, 4)], 48, LONGEST),
        ([(2, 4, 4), (3, 4, 4), (4, 4, 4)], 24, LONGEST),
        ([NOBODY, (2, 4, 4)], 24, "the least that it can be"),
        ([NOBODY, NOBODY], None, "where nothing is known nothing is made up"),
        ([], None, "where nothing is known nothing is made up"),
    ],
)
def test_of_several_substances_the_longest_counts(
    several: list[Categories], expected: int | None, source: str
) -> None:
    assert hours([substance(one) for one in several], IN) == expected, source


def test_the_published_mix_of_twelve_four_and_forty_eight_hours_takes_forty_eight() -> None:
    """40 CFR 170.112 (a)(3), older text (read)."""
    parts = [([(3, 4, 4)], False), ([(3, 4, 4)], True), ([(1, 3, 4)], False)]
    each = [
        Product(Name("p"), "p", substances=tuple(map(substance, some)), low_risk=low)
        for some, low in parts
    ]
    apart = [treatments.class_hours(one, {IN}) for one in each]
    assert apart == [12, 4, 48]
    assert hours([one for part in each for one in part.substances], IN) == 48


@pytest.mark.parametrize(
    ("categories", "expected", "source"),
    [
        ([(3, 4, 4)], 4, LOW_RISK),
        ([(4, 4, 4)], 4, LOW_RISK),
        ([(3, 4, 4), (4, 4, 4)], 4, LOW_RISK),
        ([(2, 4, 4)], 24, "only categories III and IV are on the list"),
        ([(4, 4, 4), (1, 4, 4)], 48, "only categories III and IV are on the list"),
        ([NOBODY], None, "where nothing is known nothing is made up"),
    ],
)
def test_four_hours_are_for_products_on_the_list_of_low_risk_alone(
    categories: list[Categories], expected: int | None, source: str
) -> None:
    assert hours(map(substance, categories), IN, low_risk=True) == expected, source


@pytest.mark.parametrize(
    ("categories", "organophosphate", "setting", "expected"),
    [
        ((1, 4, 4), True, DRY, 72),
        ((4, 1, 4), True, DRY, 72),
        ((1, 4, 4), True, OUT, 48),
        ((1, 4, 4), True, IN, 48),
        ((1, 4, 4), False, DRY, 48),
        ((2, 4, 4), True, DRY, 24),
    ],
)
def test_an_organophosphate_of_the_first_category_takes_longer_in_dry_country(
    categories: Categories, organophosphate: bool, setting: Setting, expected: int
) -> None:
    """40 CFR 156.208 (c)(2), from memory: outdoors, with under 25 inches of rain in a year."""
    assert hours([substance(categories, organophosphate=organophosphate)], setting) == expected


def test_no_more_poison_and_no_further_substance_ever_shortens_the_time() -> None:
    worst_first = [substance((one, 4, 4), organophosphate=True) for one in (1, 2, 3, 4)]
    for setting in Setting:
        alone = [hours([one], setting) or 0 for one in worst_first]
        assert alone == sorted(alone, reverse=True)
        for some in combinations_with_replacement(worst_first, 2):
            assert (hours(some, setting) or 0) == max(hours([one], setting) or 0 for one in some)


def test_forty_eight_hours_over_a_change_of_clocks_end_an_hour_later_by_the_clock() -> None:
    """Computed: the clocks of New York went forward on 10 March 2024 (rule P-6)."""
    product = Product(Name("p"), "p", reentry_hours=48)
    until = treatments.plan(product, None, datetime.fromisoformat("2024-03-09T14:30:00-05:00"))
    there = until.reentry_until
    assert there is not None
    assert there == datetime.fromisoformat("2024-03-11T15:30:00-04:00")
    assert there.astimezone(ZoneInfo("America/New_York")).hour == 15


# A treatment held against the classes of its product.

ENDED = "2031-05-17T06:50:00.000Z"
STRONG = {"name": "strong", "dermal": 1, "eye": 3, "skin": 4}
MILD = {"name": "mild", "dermal": 3, "eye": 4, "skin": 4}
NOTHING: dict[str, Any] = {}


def treated(row: dict[str, Any], shut: float | None, about: str = "room") -> House:
    house = day_1()
    house.row("product", "p", {"name": "P", **row})
    body: dict[str, Any] = {"product": "P", "started_at": ENDED, "ended_at": ENDED}
    if shut is not None:
        until = datetime.fromisoformat(ENDED) + timedelta(hours=shut)
        body["reentry_until"] = until.strftime("%Y-%m-%dT%H:%M:%S.000Z")
    house.add("treated", about, "2031-05-17 16:50", body)
    return house


def told(house: House, about: str = "room") -> dict[str, dict[str, Any]]:
    book = house.book()
    found = (
        doubtful.of_place(book.places[about], book)
        if about in book.places
        else doubtful.of_batch(book.batches[about], book)
    )
    return {one.code: one.params for one in found if one.code.startswith("reentry")}


UNDER = {"reentry_under_class": {"hours": 48, "until": "2031-05-19T06:50:00.000Z"}}
MILD_UNDER = {"reentry_under_class": {"hours": 12, "until": "2031-05-17T18:50:00.000Z"}}


@pytest.mark.parametrize(
    ("row", "shut", "expected"),
    [
        ({"substances": [MILD, STRONG]}, 47.5, UNDER),
        ({"substances": [MILD, STRONG]}, 48, NOTHING),
        ({"substances": [MILD, STRONG], "reentry_hours": 12}, 12, UNDER),
        ({"substances": [MILD, STRONG], "reentry_hours": 12}, 48, NOTHING),
        ({"substances": [MILD], "reentry_hours": 4}, 4, MILD_UNDER),
        ({"substances": [MILD], "reentry_hours": 4, "low_risk": True}, 4, NOTHING),
        ({"substances": [MILD], "reentry_hours": 24}, 24, NOTHING),
        ({"substances": [MILD]}, None, MILD_UNDER | {"reentry_missing": {}}),
        ({"substances": [{"name": "unknown"}]}, 1, NOTHING),
        (NOTHING, 1, NOTHING),
    ],
)
def test_hours_under_the_class_are_told_and_change_nothing(
    row: dict[str, Any], shut: float | None, expected: dict[str, Any]
) -> None:
    """Rule P-9: the label decides, so the record's own hour stands and no other is made of it."""
    house = treated(row, shut)
    assert told(house) == expected
    (one,) = house.book().places["room"].record.treatments
    assert one.reentry_until == (None if shut is None else one.ended_at + timedelta(hours=shut))


@pytest.mark.parametrize(
    ("about", "rain_mm", "expected"),
    [
        ("room", 300, 48),
        ("bench", 300, 48),
        ("tr3", 300, 72),
        ("shade", 300, 72),
        ("citrus", 634, 72),
        ("tr3", 635, 48),
        ("tr3", None, 72),
        ("t1", 300, 48),
    ],
)
def test_an_open_place_is_in_dry_country_unless_a_row_says_that_enough_rain_falls(
    about: str, rain_mm: float | None, expected: int
) -> None:
    house = treated({"substances": [{**STRONG, "organophosphate": True}]}, 1, about)
    rain = {} if rain_mm is None else {"rain_mm": rain_mm}
    house.row("nursery", "n", {"name": "N", "zone": "Etc/GMT-10", **rain})
    assert told(house, about)["reentry_under_class"]["hours"] == expected


def test_plants_treated_in_the_open_and_moved_in_since_were_in_the_open() -> None:
    house = treated({"substances": [{**STRONG, "organophosphate": True}]}, 60, "t1")
    assert told(house, "t1") == {}
    house.add("moved", "t1", "2031-05-10 08:00", {"to": "tr3"})
    house.add("moved", "t1", "2031-05-18 08:00", {"to": "bench"})
    assert told(house, "t1")["reentry_under_class"]["hours"] == 72
