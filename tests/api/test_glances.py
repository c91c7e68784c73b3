"""Phones that lie open ask every other second: that must cost the office next to nothing."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from nursery.store.models import LimitRow
from tests.api.conftest import NOW, Cast, joined
from tests.phone import Writer

pytestmark = pytest.mark.usefixtures("everybody")

PHONES, TIMES = 30, 20


def test_thirty_phones_behind_one_address_are_never_made_to_wait(cast: Cast, tray: str) -> None:
    """Nothing is counted of it, so as many times more would be let in as well."""
    phones = [joined("veshmere", f"g{n}")[0] for n in range(PHONES)]
    at = phones[0].pull()[-1]["next"]
    before = set(LimitRow.objects.values_list("what", "who", "used"))
    for _ in range(TIMES):
        for phone in phones:
            begin, end = phone.pull(at, limit=10_000)
            assert (begin["head"], end["next"], end["count"]) == (2, at, 0)
    assert set(LimitRow.objects.values_list("what", "who", "used")) == before


def test_who_has_everything_is_told_so_by_three_readings_and_no_writing(
    cast: Cast, tray: str
) -> None:
    """Who asks, which nursery, and where its book stands."""
    whole = cast.phone.pull(f"{cast.phone.epoch}:0")[-1]
    with CaptureQueriesContext(
        connection,
    ) as asked:
        end = cast.phone.pull(whole["next"])[-1]
    assert len(asked) == 3
    assert all(one["sql"].startswith("SELECT") for one in asked)
    assert end == {**whole, "count": 0}


def test_what_came_meanwhile_is_told_to_the_next_that_asks(
    cast: Cast, tray: str, writer: Writer
) -> None:
    at = cast.phone.pull()[-1]["next"]
    cast.phone.push(writer.write("noted", [tray], {"text": "x"}, NOW))
    _, entry, end = cast.phone.pull(at)
    assert (entry["seq"], end["count"], end["more"]) == (3, 1, False)
