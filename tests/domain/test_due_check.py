"""Which due check an entry closes by itself."""

from datetime import UTC, datetime
from typing import Any

import pytest

from nursery.domain import due_check, entry
from nursery.domain.entry import Entry
from tests.phone import make_id

AT = datetime(2031, 3, 24, tzinfo=UTC)

CLOSES: dict[str, tuple[str, dict[str, Any], str | None]] = {
    "a look that found nothing": ("looked", {"answer": "nothing", "check": "c-1"}, "c-1"),
    "a look that found something": ("looked", {"answer": "found", "check": "c-1"}, "c-1"),
    "a tray not looked at": ("looked", {"answer": "not_looked", "check": "c-1"}, None),
    "a trap read": ("trapped", {"answer": "read", "check": "c-1"}, "c-1"),
    "a wet trap": ("trapped", {"answer": "not_readable", "check": "c-1"}, None),
    "a look that names none": ("looked", {"answer": "nothing"}, None),
    "a reason why not": ("skipped", {"check": "c-1", "reason": "screen replaced"}, "c-1"),
    "any other kind": ("noted", {"text": "c-1"}, None),
    "a body nobody can read": ("looked", {"answer": "perhaps", "check": "c-1"}, None),
}


def made(kind: str, body: dict[str, Any]) -> Entry:
    return entry.read(
        {
            "id": make_id(AT, 1),
            "v": 1,
            "kind": kind,
            "about": ["b-1"],
            "occurred_at": entry.write_instant(AT),
            "author": "p-1",
            "device": "d-1",
            "install": "i-1",
            "n": 1,
            "body": body,
        }
    )


@pytest.mark.parametrize(("kind", "body", "closed"), CLOSES.values(), ids=CLOSES.keys())
def test_an_entry_closes_the_check_it_names_unless_it_is_a_blank(
    kind: str, body: dict[str, Any], closed: str | None
) -> None:
    assert due_check.closed_by(made(kind, body)) == closed
