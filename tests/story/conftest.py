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
}


@pytest.fixture(scope="session")
def story(django_db_setup: None, django_db_blocker: Any) -> tuple[dict[str, Reading], Teller]:
    with django_db_blocker.unblock(), transaction.atomic():
        with telling() as teller:
            found = {name: read(teller, there(at), n.TRAYS) for name, at in MOMENTS.items()}
            for phone in teller.phones.values():
                phone.sync(there("2031-05-04T18:30"))
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
