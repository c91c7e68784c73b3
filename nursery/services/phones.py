"""The phones of a nursery, and what each said that it still holds."""

from collections import defaultdict
from datetime import UTC, datetime
from typing import Any

from django.db.models import F

from nursery.services.reading import SILENT
from nursery.store.models import DeviceRow, InstallRow
from nursery.store.scope import scope

LONG_AGO = datetime.min.replace(tzinfo=UTC)


def every(nursery: str, now: datetime) -> list[dict[str, Any]]:
    """Return the phones that joined, by name; those that were shut out stay in the list.

    A phone that joined anew has several installs: what it holds is told by the one heard last, the
    holes in its numbers by all of them. `silent` is one that has long not been heard of while it
    holds records.
    """
    with scope(nursery) as book:
        installs: dict[str, list[InstallRow]] = defaultdict(list)
        for row in book.installs:
            installs[row.device].append(row)
        rows = list(book.devices.order_by(F("revoked_at").asc(nulls_first=True), "name", "pk"))
    return [_told(row, installs.get(row.ident, []), now) for row in rows]


def _told(device: DeviceRow, installs: list[InstallRow], now: datetime) -> dict[str, Any]:
    last = max(installs, key=lambda row: row.last_seen_at or LONG_AGO, default=None) or InstallRow()
    seen = last.last_seen_at
    return {
        "id": device.ident,
        "name": device.name,
        "joined_at": device.joined_at,
        "revoked_at": device.revoked_at,
        "last_seen_at": seen,
        "unsent": last.unsent,
        "photos_unsent": last.photos_unsent,
        "oldest_unsent_at": last.oldest_unsent_at,
        "persisted": last.persisted,
        "app": last.app,
        "skew_ms": last.skew_ms,
        "missing": [hole for row in installs for hole in row.n_missing],
        "silent": bool(last.unsent) and seen is not None and now - seen >= SILENT,
    }
