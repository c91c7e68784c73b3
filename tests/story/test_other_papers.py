"""What the first days are tried against that changes what happens: other papers and counts."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime
from typing import Any

import pytest

from nursery.ops.demo import names as n
from nursery.ops.demo.days import DAYS, up_to
from nursery.ops.demo.law import PERMIT_BODY
from nursery.ops.demo.script import Act, Step, Synced, Typed
from nursery.services.demo import W2
from tests.story.reading import Reading, altered, read, telling, there

EVENING = there("2031-03-03T18:00")

pytestmark = pytest.mark.django_db


def evening_with(change: Any) -> Reading:
    """Tell the first day with other steps, and read it in the evening."""
    with telling(altered(up_to(1), change)) as teller:
        return read(teller, EVENING, n.TRAYS)


def with_body(step: Step, **other: Any) -> Step:
    assert isinstance(step, Act)
    return replace(step, body={**step.body, **other})


def is_act(step: Step, kind: str, *about: str) -> bool:
    return isinstance(step, Act) and step.kind == kind and step.about == about


def test_under_a_permit_for_320_the_paper_is_over_by_4_and_the_plants_are_under_by_2() -> None:
    terms: list[Mapping[str, Any]] = PERMIT_BODY["terms"]  # type: ignore[assignment]
    fewer = [
        {**term, "says": {"plants": 320}} if term["rule"] == "most_plants" else term
        for term in terms
    ]

    def for_320(step: Step) -> Step:
        if isinstance(step, Typed) and step.type == "permit":
            return replace(step, body={**step.body, "terms": fewer})
        return step

    evening = evening_with(for_320)
    assert evening.notices() == {"short": 6, "paper_over_permit": 4, "plants_under_permit": 2}
    assert evening.needs["doubts"] == []
    assert evening.ledger()["difference"] == 0


def test_a_certificate_alone_is_no_count() -> None:
    def nobody_counts(step: Step) -> Step | None:
        return None if isinstance(step, Act) and step.kind == "counted" else step

    evening = evening_with(nobody_counts)
    assert evening.alive() == [None] * 6
    assert evening.consignments["con-1"]["counted"] is None
    assert evening.notices() == {}


def test_8_plants_too_many_in_a_box_are_told_as_more_than_the_cells_and_over_the_papers() -> None:
    def eight_more(step: Step) -> Step:
        if is_act(step, "counted", n.T6):
            return with_body(step, method="full", alive=54 + 8, cells=54, gaps=0)
        return step

    evening = evening_with(eight_more)
    assert evening.notices() == {"over": 8, "plants_over_permit": 2}
    over = evening.doubts("count_over_cells")
    assert {(doubt["params"]["counted"], doubt["params"]["cells"]) for doubt in over} == {(62, 54)}


def test_two_people_who_count_tray_6_apart_and_differ_are_both_kept() -> None:
    def sees_47(step: Step) -> Step:
        theirs = is_act(step, "counted", n.T6) and isinstance(step, Act) and step.by == W2.id
        return with_body(step, alive=47) if theirs else step

    evening = evening_with(sees_47)
    [doubt] = evening.doubts("disagreement")
    assert doubt["params"] == {"first": 48, "second": 47}
    assert evening.stock[n.T6]["alive"] == 47 - 3 - 1


def test_two_phones_without_signal_for_nine_days_bring_the_same_book(
    told: Mapping[str, Reading],
) -> None:
    silent = there("2031-03-15T00:00"), there("2031-03-24T23:00")

    def out_of_signal(day: datetime, step: Step) -> bool:
        away = isinstance(step, Synced) and step.phone != n.OFFICE_PHONE
        return away and silent[0] < day < silent[1]

    days = tuple(
        replace(day, steps=tuple(s for s in day.steps if not out_of_signal(day.instant(s), s)))
        for day in DAYS
    )
    with telling(days) as teller:
        teller.tell(silent[1])
        for phone in (n.SECOND_PHONE, n.ROOM_PHONE):
            teller.phones[phone].sync(silent[1])
        after = read(teller, silent[1])
    assert without_forecasts(after) == without_forecasts(told["evening 2"])
    assert after.places == told["evening 2"].places


def without_forecasts(reading: Reading) -> dict[str, Any]:
    """The folded states alone: forecasts say when they were made."""
    told = ("outlook", "as_of_seq")
    return {
        ident: {name: value for name, value in batch.items() if name not in told}
        for ident, batch in reading.stock.items()
    }
