"""What is answered is on the disk: a setting by which it would not be is found.

That records are lost then is shown by `tests/sync/test_database_kills.py`, in the long suite.
"""

import pytest
from django.db import connection

from nursery.services import health

pytestmark = pytest.mark.django_db(transaction=True)

# The settings that one session may have otherwise; `fsync` is the server's, and off in most tests.
UNSAFE = {
    "postgresql": [("SET synchronous_commit = {}", "synchronous_commit", "on", "off")],
    "sqlite": [
        ("PRAGMA synchronous = {}", "synchronous", "FULL", "NORMAL"),
        ("PRAGMA synchronous = {}", "synchronous", "FULL", "OFF"),
    ],
}


def found_off(set_to: str) -> list[str]:
    with connection.cursor() as cursor:
        cursor.execute(set_to)
    return [name for name in str(health.commits().params.get("off", "")).split(", ") if name]


def test_a_setting_that_leaves_a_commit_in_memory_is_found() -> None:
    for sets, name, safe, unsafe in UNSAFE[connection.vendor]:
        assert name not in found_off(sets.format(safe))
        assert name in found_off(sets.format(unsafe))
        assert not health.commits().good
        assert name not in found_off(sets.format(safe))
    connection.close()


def test_the_embedded_database_is_safe_as_it_is_opened() -> None:
    if connection.vendor != "sqlite":
        pytest.skip("a server's settings are its operator's: `nursery doctor` looks at them")
    connection.close()
    assert health.commits() == health.Finding("commits", good=True, params={})
