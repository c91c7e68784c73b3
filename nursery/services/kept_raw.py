"""Texts from phones that nobody can take as entries: kept as they came, until somebody looks."""

from collections.abc import Iterable
from datetime import datetime
from typing import Any

from nursery.services.errors import Unknown
from nursery.store.scope import Scope, scope

# So many signs of its hash name a text where people read it.
REF = 16


def open_ones(book: Scope, most: int) -> Iterable[dict[str, Any]]:
    """Yield the texts that nobody has looked at, oldest first."""
    found = book.kept_raw.filter(looked_at=None).order_by("received_at", "pk")
    for row in found[:most]:
        yield {
            "ref": row.hash[:REF],
            "id": row.ident or None,
            "code": row.code,
            "field": row.field or None,
            "install": row.install,
            "received_at": row.received_at,
            "raw": bytes(row.raw).decode(errors="replace"),
        }


def looked_at(nursery: str, ref: str, now: datetime) -> None:
    """Note that a person looked at a text; it stays, and leaves the list of what needs a look.

    Raises:
        Unknown: no text of this reference waits for a look.
    """
    with scope(nursery, write=True) as book:
        waiting = book.kept_raw.filter(looked_at=None)
        if len(ref) != REF or not waiting.filter(hash__startswith=ref).update(looked_at=now):
            raise Unknown("kept_raw", ref)
