"""Limits count exactly, however many knock at once."""

from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta

import pytest
from django.db import connections

from nursery.services import limits
from nursery.services.errors import Later
from nursery.services.limits import Limit
from nursery.store.models import LimitRow

NOW = datetime(2031, 3, 3, 2, tzinfo=UTC)
FIVE = Limit("five", 5, timedelta(minutes=10), timedelta(minutes=1))


def is_let_in(_: int) -> bool:
    try:
        limits.take(FIVE, "d-1", NOW)
    except Later:
        return False
    finally:
        connections.close_all()
    return True


@pytest.mark.django_db(transaction=True)
def test_of_thirty_at_once_exactly_as_many_pass_as_may() -> None:
    with ThreadPoolExecutor(6) as crowd:
        assert sum(crowd.map(is_let_in, range(30))) == FIVE.most


@pytest.mark.django_db
def test_who_waited_is_let_in_again_and_others_never_waited() -> None:
    for _ in range(5):
        limits.take(FIVE, "d-1", NOW)
    with pytest.raises(Later) as shut:
        limits.take(FIVE, "d-1", NOW)
    assert shut.value.params == {"until": "2031-03-03T02:01:00.000Z"}
    limits.take(FIVE, "d-2", NOW)
    limits.take(FIVE, "d-1", NOW + timedelta(minutes=1))


@pytest.mark.django_db
def test_only_failed_tries_count_and_the_last_allowed_shuts() -> None:
    for _ in range(9):
        assert limits.tried(FIVE, "x", NOW, lambda: "in") == "in"
    for _ in range(5):
        assert limits.tried(FIVE, "x", NOW, lambda: None) is None
    with pytest.raises(Later):
        limits.tried(FIVE, "x", NOW, lambda: "in")


@pytest.mark.django_db
def test_a_phone_back_after_a_week_is_never_made_to_wait() -> None:
    """Requirement 46: 5 000 records in 25 pushes and 300 photos in slices of 64 KB."""
    for _ in range(25):
        limits.take(limits.PUSH, "d-1", NOW)
    assert limits.UPLOAD.most > 300 * (1 + 400 // 64 + 1)


@pytest.mark.django_db
def test_whoever_was_counted_is_kept_as_a_hash_and_forgotten() -> None:
    limits.take(FIVE, "ana@veshmere.invalid", NOW)
    assert "ana" not in repr(list(LimitRow.objects.values()))
    assert limits.clear_old(NOW + timedelta(days=1)) == 0
    assert limits.clear_old(NOW + timedelta(days=3)) == 1
