"""Whose word lifts a mis-tap is a matter of rows: the kept states follow when those change."""

import json
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from nursery.services import log, nurseries, reading, refold, rows
from nursery.services.installs import Outbox
from tests.phone import Writer

NOW = datetime(2031, 5, 4, 2, tzinfo=UTC)
BOX = Outbox(install="i-a", device="d-a")

pytestmark = pytest.mark.django_db


@pytest.fixture
def nursery() -> Iterator[str]:
    nurseries.begin("veshmere", "Veshmere Terraces", "Etc/GMT-10")
    yield "veshmere"
    assert refold.differences("veshmere") == []


def is_a(role: str, nursery: str, who: str = "p-1") -> None:
    rows.put(nursery, rows.Row("person", who, None, {"name": "Ilsa", "role": role}), NOW)


def lifted(nursery: str) -> str:
    """A tray comes in, a suspicion is tapped, and `p-1` calls it a mis-tap; return the find."""
    phone = Writer("a", author="p-1")
    born = {"consignment": "c-1", "batches": [{"id": "b-1", "label": "T1"}]}
    come = phone.write("received", ["b-1"], born, NOW - timedelta(days=9))
    found = phone.write("found", ["b-1"], {"suspicion": True}, NOW)
    find = str(json.loads(found)["id"])
    body = {"doubt": f"suspicion:{find}", "reason": "a drop of water"}
    said = phone.write("settled", ["b-1"], body, NOW + timedelta(minutes=4))
    log.receive(nursery, BOX, [come, found, said], NOW + timedelta(minutes=5))
    return find


def state(nursery: str) -> dict[str, Any]:
    return reading.batch(nursery, "b-1", NOW + timedelta(hours=1))


def test_the_growers_word_answers_a_suspicion(nursery: str) -> None:
    is_a("grower", nursery)
    lifted(nursery)
    assert (state(nursery)["finds"], state(nursery)["outlook"]["held"]) == ([], [])


def test_a_workers_word_leaves_hold_and_doubt(nursery: str) -> None:
    is_a("worker", nursery)
    is_a("grower", nursery, "p-2")
    find = lifted(nursery)
    told = state(nursery)
    assert told["finds"] == [find]
    assert [one["reference"] for one in told["outlook"]["held"]] == [find]
    (doubt,) = (one for one in told["doubts"] if one["code"] == "suspicion")
    assert (doubt["settled_by"], doubt["weight"]) == (None, "blocking")


@pytest.mark.parametrize("again", [False, True])
def test_who_is_made_grower_later_has_said_it_as_one(nursery: str, again: bool) -> None:
    is_a("worker", nursery)
    find = lifted(nursery)
    is_a("grower", nursery)
    if again:
        assert refold.stale(nursery) == 1
    assert state(nursery)["finds"] == []
    rows.remove(nursery, "person", "p-1", NOW)
    if again:
        assert refold.stale(nursery) == 1
    assert state(nursery)["finds"] == [find]


def test_a_row_that_makes_nobody_a_grower_folds_nothing_again(nursery: str) -> None:
    is_a("grower", nursery)
    lifted(nursery)
    is_a("worker", nursery, "p-2")
    assert refold.stale(nursery) == 0
