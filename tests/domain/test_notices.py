"""What the papers say against the count: notes, and the ledger balances without them."""

from typing import Any

import pytest

from nursery.domain import notices
from tests.domain.house import TRAYS, House, day_1, term, with_terms


def told(house: House) -> list[tuple[str, str, int]]:
    return [(one.code, one.subject, one.params["n"]) for one in notices.of_book(house.book())]


def test_day_1_is_short_6_and_every_plant_is_accounted_for() -> None:
    """Rules G-11, L-1; the story, day 1: 318 = 307 + 7 + 4."""
    book = day_1().book()
    (notice,) = notices.of_consignment("c-1", book)
    assert notice.as_json() == {
        "id": "paper_differs:c-1:short",
        "code": "short",
        "subject": "c-1",
        "params": {"certificate": 324, "counted": 318, "n": 6},
        "settled_by": None,
    }
    account = notices.account("c-1", book).as_json()
    ledger = {name: plants for name, plants in account["ledger"].items() if plants}
    assert ledger == {"in": 318, "alive": 307, "died": 7, "sampled": 4}
    assert (account["stated"], account["counted"]) == (324, 318)
    assert (account["arrived"], account["batches"]) == (list(TRAYS), list(TRAYS))


def test_a_notice_is_settled_once_the_authority_knows() -> None:
    """Rule G-11; an entry about any of its batches that names it."""
    house = day_1()
    body = {"doubt": "paper_differs:c-1:short", "reason": "told, EM-3"}
    said = house.add("settled", "t2", "2031-03-03 11:45", body)
    (notice,) = notices.of_book(house.book())
    assert notice.settled_by == said


def consignment(house: House, stated: int | None) -> None:
    line = {"id": "l-1", "crop": "finger-lime"}
    lines = [line if stated is None else {**line, "stated": stated}]
    house.row("consignment", "c-1", {"name": "Liners", "permit": "cq-118", "lines": lines})


PAPERS: dict[str, tuple[int, int, list[tuple[str, str, int]]]] = {
    "short": (324, 330, [("short", "c-1", 6)]),
    "over": (310, 330, [("over", "c-1", 8)]),
    "as counted": (318, 330, []),
    "paper over and plants under the permit, the story": (
        324,
        320,
        [
            ("short", "c-1", 6),
            ("paper_over_permit", "cq-118", 4),
            ("plants_under_permit", "cq-118", 2),
        ],
    ),
    "paper and plants over the permit": (
        324,
        300,
        [
            ("short", "c-1", 6),
            ("paper_over_permit", "cq-118", 24),
            ("plants_over_permit", "cq-118", 18),
        ],
    ),
    "plants alone over the permit": (
        300,
        310,
        [("over", "c-1", 18), ("plants_over_permit", "cq-118", 8)],
    ),
    "paper over and plants just as the permit": (
        324,
        318,
        [("short", "c-1", 6), ("paper_over_permit", "cq-118", 6)],
    ),
}


@pytest.mark.parametrize(("stated", "most", "expected"), PAPERS.values(), ids=PAPERS.keys())
def test_paper_against_count_against_permit(
    stated: int, most: int, expected: list[tuple[str, str, int]]
) -> None:
    """Rule G-11."""
    house = day_1()
    terms = [term("most", "most_plants", {"plants": most})]
    house.row("permit", "cq-118", {"reference": "CQ-118", "holder": "G", "terms": terms})
    consignment(house, stated)
    assert told(house) == expected


def test_the_quantity_of_a_permit_counts_over_all_that_came_under_it() -> None:
    """Rule G-11."""
    house = day_1()
    house.row("consignment", "c-2", {"name": "More", "permit": "cq-118"})
    new = [{"id": "m1", "label": "M1", "stated": 20}]
    body = {"consignment": "c-2", "place": "bench", "batches": new}
    house.add("received", "m1", "2031-03-04 08:00", body)
    assert told(house) == [("short", "c-1", 6), ("paper_over_permit", "cq-118", 14)]
    house.count("m1", 20, "2031-03-04 09:00")
    assert told(house)[-1] == ("plants_over_permit", "cq-118", 8)


SILENT: dict[str, dict[str, Any]] = {
    "nobody counted one of the trays": {"uncounted": True},
    "no paper states a figure": {"stated": None},
}


@pytest.mark.parametrize("why", SILENT.values(), ids=SILENT.keys())
def test_no_notice_where_a_figure_is_missing(why: dict[str, Any]) -> None:
    house = day_1()
    if "stated" in why:
        consignment(house, None)
    else:
        house.arrive("2031-03-04 08:00", ["t7"])
    assert told(house) == []


def test_the_labels_figures_stand_in_for_a_certificate_nobody_typed() -> None:
    """The goods come before the office has typed the consignment."""
    house = day_1()
    house.rows["consignment"].clear()
    new = [{"id": "m1", "label": "M1", "stated": 54}]
    body = {"consignment": "c-9", "place": "bench", "batches": new}
    house.add("received", "m1", "2031-03-04 08:00", body)
    house.count("m1", 50, "2031-03-04 09:00")
    assert told(house) == [("short", "c-9", 4)]


def test_a_permit_without_a_quantity_or_an_arrival_says_nothing() -> None:
    house = with_terms(term("days", "growing_days", {"days": 180}))
    assert told(house) == []
    house.arrive("2031-03-03 07:30")
    assert told(house) == []
    book = house.book()
    assert notices.of_permit("cq-118", [], book) == ()
    assert notices.of_permit("cq-118", [notices.account("c-2", book)], book) == ()


def test_the_account_of_a_consignment_holds_all_that_came_of_it() -> None:
    """Rule L-4: a mixed batch makes no tray balance, and the group does."""
    house = day_1()
    body = {
        "parents": [{"id": "t3", "left": 48}, {"id": "t5", "left": 47}],
        "children": [{"id": "u", "label": "U", "count": 8, "place": "bench"}],
    }
    house.add("mixed", ("t3", "t5", "u"), "2031-07-30 10:40", body)
    account = notices.account("c-1", house.book())
    assert (account.batches, account.counted) == ((*TRAYS, "u"), 318)
    assert (account.ledger.came_in, account.ledger.alive, account.ledger.difference) == (
        318,
        307,
        0,
    )
