"""What the server knows about each installation of the app, so that it can see loss.

An install numbers its entries, and every call reports what is still unsent: a hole in the numbers,
or a phone that fell silent with records on it, is seen and not guessed.
"""

from collections.abc import Iterable
from datetime import datetime
from typing import TYPE_CHECKING

from nursery.domain import numbers
from nursery.store.models import InstallRow
from nursery.store.scope import Scope

if TYPE_CHECKING:
    from nursery.services.log import Outbox


def note(book: Scope, outbox: "Outbox", came: Iterable[int], now: datetime) -> list[list[int]]:
    """Note what an install sent and what it still holds; return the holes in its numbers.

    Called under the head's lock, so two pushes of one install come one after the other.
    """
    row = book.installs.filter(ident=outbox.install).first() or InstallRow(
        nursery_id=book.key, ident=outbox.install, device=outbox.device
    )
    row.n_max, row.n_missing = numbers.take(row.n_max, row.n_missing, came)
    row.unsent = outbox.unsent
    row.photos_unsent = outbox.photos
    row.oldest_unsent_at = outbox.oldest
    row.persisted = outbox.persisted
    row.app = outbox.app
    row.skew_ms = None if outbox.skew is None else round(outbox.skew.total_seconds() * 1000)
    row.last_seen_at = now
    row.save()
    return list(row.n_missing)
