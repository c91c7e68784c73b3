"""Day 6 in the afternoon: 400 banana plantlets are offered, and the grower asks what if."""

from collections.abc import Iterator
from typing import Any

import pytest

from nursery.ops.demo import names as n
from nursery.ops.demo.play import API, Teller
from nursery.store.models import FeedRow
from tests.story.reading import read, there, told_until

pytestmark = pytest.mark.django_db

AFTERNOON = there("2031-08-13T15:00")
BANANAS = {
    "what": "consignment", "on": "2031-08-20", "plants": 400, "room": n.QUARANTINE, "days": 180,
}  # fmt: skip


@pytest.fixture(scope="module")
def teller(django_db_setup: None, django_db_blocker: Any) -> Iterator[Teller]:
    with told_until(django_db_blocker, AFTERNOON) as teller:
        yield teller


def what_if(teller: Teller) -> dict[str, Any]:
    answer: dict[str, Any] = teller.office.ask("POST", f"{API}/what-if", {"suppose": [BANANAS]})
    return answer


def test_the_answer_is_no_with_its_three_reasons(teller: Teller) -> None:
    found = what_if(teller)
    why = {one["code"]: one["params"] for one in found["reasons"]}
    assert found["answer"] == "no"
    assert (why["one_group"]["release"], why["one_group"]["n"]) == ("2032-02-16", 85)
    assert (why["benches_taken"]["taken"], why["benches_taken"]["of"]) == (13.5, 15.0)
    assert why["order_until"] == {"reference": "BO-3", "on": "2031-09-10"}


def test_both_would_go_on_16_february(teller: Teller) -> None:
    together = {row["after"]["together"] for row in what_if(teller)["batches"]}
    assert together == {"2032-02-16"}


def test_asking_leaves_no_trace_in_the_book(teller: Teller) -> None:
    lines = FeedRow.objects.count()
    before = read(teller, AFTERNOON)
    what_if(teller)
    after = read(teller, AFTERNOON)
    assert FeedRow.objects.count() == lines
    assert (after.stock, after.outlook["batches"]) == (before.stock, before.outlook["batches"])
