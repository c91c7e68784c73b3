"""Links by which somebody from the authority reads a nursery's book, until a day.

Who holds the link reads and changes nothing. Every page that is read by it is written down, so that
the grower can say who saw what. Only the hash of its secret is kept.
"""

import secrets
from dataclasses import dataclass
from datetime import datetime
from hashlib import sha256
from typing import Any

from django.db.models import Count, Max, Q

from nursery.domain.entry import write_instant
from nursery.services import limits
from nursery.services.errors import LinkEnded, LinkEndsTooSoon, Unknown
from nursery.services.people import INSPECTOR, Caller
from nursery.store import isolation
from nursery.store.models import LinkReadRow, LinkRow
from nursery.store.scope import scope

# So many of the pages read last are told.
TOLD = 200


@dataclass(frozen=True, slots=True)
class Link:
    """A link that is good now, for whom it is, and what its holder may do."""

    name: str
    ends_at: datetime
    caller: Caller


def make(nursery: str, name: str, ends_at: datetime, now: datetime) -> tuple[str, str]:
    """Return the id of a new link and its secret, which is told this once.

    Raises:
        LinkEndsTooSoon: it would be over already.
    """
    if ends_at <= now:
        raise LinkEndsTooSoon(value=write_instant(ends_at))
    ident, secret = f"l-{secrets.token_hex(8)}", secrets.token_urlsafe(32)
    with scope(nursery, write=True) as book:
        LinkRow.objects.create(
            nursery_id=book.key,
            ident=ident,
            name=name,
            secret_hash=_hash(secret),
            made_at=now,
            ends_at=ends_at,
        )
    return ident, secret


def by_secret(secret: str, now: datetime) -> Link:
    """Return the link that this secret belongs to.

    Raises:
        LinkEnded: there is none, it was ended, or its day is past.
    """
    good = LinkRow.objects.filter(ended_at=None, ends_at__gt=now).select_related("nursery")
    with isolation.saying(secret=_hash(secret)):
        row = good.filter(secret_hash=_hash(secret)).first()
    if row is None:
        raise LinkEnded(value=secret[:6])
    return Link(row.name, row.ends_at, Caller(row.nursery.ident, INSPECTOR, row.ident))


def opened(secret: str, now: datetime, address: str) -> Link:
    """Return the link that somebody opens who comes from `address`; wrong ones are counted.

    Raises:
        LinkEnded: as `by_secret`.
        Later: too many wrong links came from there.
    """

    def attempt() -> Link | None:
        try:
            return by_secret(secret, now)
        except LinkEnded:
            return None

    found = limits.tried(limits.LINK, address, now, attempt)
    if found is None:
        raise LinkEnded(value=secret[:6])
    return found


def name_of(caller: Caller) -> str:
    """Return for whom the link is that somebody reads by; nothing where it is no link."""
    with scope(caller.nursery) as book:
        row = book.links.filter(ident=caller.ident).first()
    return "" if row is None else row.name


def read(caller: Caller, address: str, now: datetime) -> None:
    """Write down that a page was read by a link."""
    with scope(caller.nursery, write=True) as book:
        LinkReadRow.objects.create(
            nursery_id=book.key, link=caller.ident, at=now, address=address[:300]
        )


def every(nursery: str) -> list[dict[str, Any]]:
    """Return the links of a nursery, the newest first, with how much was read by each."""
    with scope(nursery) as book:
        counted = book.link_reads.values("link").annotate(n=Count("pk"), last=Max("at"))
        reads: dict[str, dict[str, Any]] = {row["link"]: dict(row) for row in counted}
        rows = list(book.links.order_by("-made_at", "-pk"))
    return [_told(row, reads.get(row.ident, {})) for row in rows]


def one(nursery: str, ident: str) -> dict[str, Any]:
    """Return one link with the pages read last by it, the newest first.

    Raises:
        Unknown: the nursery made no such link.
    """
    found = next((link for link in every(nursery) if link["id"] == ident), None)
    if found is None:
        raise Unknown("link", ident)
    with scope(nursery) as book:
        rows = book.link_reads.filter(link=ident).order_by("-at", "-pk")[:TOLD]
        return {**found, "pages": [{"at": row.at, "address": row.address} for row in rows]}


def end(nursery: str, ident: str, now: datetime) -> None:
    """End a link before its day. One that has ended stays as it is.

    Raises:
        Unknown: the nursery made no such link.
    """
    with scope(nursery, write=True) as book:
        if not book.links.filter(ident=ident).exists():
            raise Unknown("link", ident)
        open_still = Q(ended_at=None, ends_at__gt=now)
        book.links.filter(open_still, ident=ident).update(ended_at=now)


def _told(row: LinkRow, reads: dict[str, Any]) -> dict[str, Any]:
    return {
        "id": row.ident,
        "name": row.name,
        "made_at": row.made_at,
        "ends_at": row.ends_at,
        "ended_at": row.ended_at,
        "reads": reads.get("n", 0),
        "last_read_at": reads.get("last"),
    }


def _hash(secret: str) -> str:
    return sha256(secret.encode()).hexdigest()
