"""The story told once for all tests of a process, and read at the moments that they ask about."""

from typing import Any

import pytest
from django.db import transaction

from nursery.ops.demo import names as n
from nursery.ops.demo.play import Teller
from tests.story.reading import Reading, read, telling, there

# What was read when: each is one look at every reading view.
MOMENTS = {
    "goods counted, permit not typed": "2031-03-03T11:39",
    "evening 1": "2031-03-03T18:00",
    "two counts of T3": "2031-03-24T11:40",
    "evening 2": "2031-03-24T18:00",
    "the morning after": "2031-03-25T12:00",
    "find synced": "2031-05-04T07:47",
    "evening 3": "2031-05-04T18:00",
    "16 May": "2031-05-16T18:00",
    "evening 4": "2031-05-17T18:00",
    "dawn": "2031-05-18T04:50",
    "27 May": "2031-05-27T18:00",
    "5 June": "2031-06-05T18:00",
    "evening 4b": "2031-06-06T18:00",
    "permission to pot": "2031-07-29T18:00",
    "evening 5": "2031-07-30T18:00",
    "storm": "2031-08-13T06:58",
    "evening 6": "2031-08-13T18:00",
    "28 August": "2031-08-28T18:00",
    "week not done": "2031-09-28T18:00",
    "20 November": "2031-11-20T18:00",
    "before the notice": "2031-11-24T08:00",
    "released": "2031-11-24T08:45",
    "evening 7": "2031-11-26T18:00",
    "37 degrees": "2032-02-11T18:00",
    "scorched": "2032-02-12T18:00",
    "7 March": "2032-03-07T18:00",
    "9 March, noon": "2032-03-09T12:00",
    "graded": "2032-03-09T14:30",
    "evening 8": "2032-03-09T18:00",
    "carried out": "2032-03-12T05:55",
    "phone dead": "2032-03-12T11:24",
    "rain": "2032-03-12T14:16",
    "not all back": "2032-03-12T16:06",
    "evening 9": "2032-03-12T18:00",
    "counted": "2032-09-13T11:00",
    "told of the call": "2032-09-13T18:00",
    "evening 10": "2032-10-01T18:00",
}
# When the release file is read as well.
WITH_FILE = ("week not done", "20 November", "released", "told of the call")
# From when on the book is read as the rules take it: plants stand in the field.
PLANTING = "2032-03-12"


def known(at: str) -> tuple[str, ...]:
    """The batches of the consignment at a moment: the mixed pots come on the fifth day."""
    return n.TRAYS if at < "2031-07-30" else (*n.TRAYS, n.MIXED)


@pytest.fixture(scope="session")
def story(django_db_setup: None, django_db_blocker: Any) -> tuple[dict[str, Reading], Teller]:
    """Where a module tells the story for itself as well, its fixture asks for this one first.

    Told while a module's own telling is open, it would find that one's book and read the end.
    """
    with django_db_blocker.unblock(), transaction.atomic():
        with telling() as teller:
            found = {
                name: read(
                    teller, there(at), known(at), file=name in WITH_FILE, book=at >= PLANTING
                )
                for name, at in MOMENTS.items()
            }
            for phone in teller.phones.values():
                phone.sync(there("2032-10-01T18:30"))
        transaction.set_rollback(True)
    return found, teller


@pytest.fixture(scope="session")
def told(story: tuple[dict[str, Reading], Teller]) -> dict[str, Reading]:
    return story[0]


@pytest.fixture(scope="session")
def ids(story: tuple[dict[str, Reading], Teller]) -> dict[str, str]:
    """The ids of the records that the days gave a name."""
    return story[1].told


@pytest.fixture
def before(told: dict[str, Reading]) -> Reading:
    return told["goods counted, permit not typed"]


@pytest.fixture
def one(told: dict[str, Reading]) -> Reading:
    return told["evening 1"]


@pytest.fixture
def two(told: dict[str, Reading]) -> Reading:
    return told["evening 2"]


@pytest.fixture
def three(told: dict[str, Reading]) -> Reading:
    return told["evening 3"]


@pytest.fixture
def four(told: dict[str, Reading]) -> Reading:
    return told["evening 4"]


@pytest.fixture
def four_b(told: dict[str, Reading]) -> Reading:
    return told["evening 4b"]


@pytest.fixture
def five(told: dict[str, Reading]) -> Reading:
    return told["evening 5"]


@pytest.fixture
def six(told: dict[str, Reading]) -> Reading:
    return told["evening 6"]


@pytest.fixture
def seven(told: dict[str, Reading]) -> Reading:
    return told["evening 7"]
