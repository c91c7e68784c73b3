"""Who looked at or took away what, and when: written down, never changed, kept for some months.

No bodies, no PINs, no passwords and no addresses stand here. A wrong password is told to those
nurseries whose account it was tried on; of an account that nobody has, nobody is told.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from enum import StrEnum
from typing import Any

import orjson

from nursery.domain.reference.rows import USUAL_ACCESS
from nursery.services import installs
from nursery.services.errors import CursorUnreadable
from nursery.services.people import Caller
from nursery.store import isolation
from nursery.store.models import AccessRow, MembershipRow
from nursery.store.scope import Scope, scope

PAGE = 100
MONTH = timedelta(days=30.4375)
# Few enough that a writing transaction stays short.
CHUNK = 200


class Did(StrEnum):
    """What somebody did. Each code has its words: `access.<code>`."""

    SIGNED_IN = "signed_in"
    SIGN_IN_FAILED = "sign_in_failed"
    SIGNED_OUT = "signed_out"
    LINK_MADE = "link_made"
    LINK_OPENED = "link_opened"
    LINK_ENDED = "link_ended"
    PHONE_INVITED = "phone_invited"
    PHONE_JOINED = "phone_joined"
    PHONE_SHUT_OUT = "phone_shut_out"
    PASSWORD_CHANGED = "password_changed"  # noqa: S105  what somebody did
    SESSION_ENDED = "session_ended"
    PERSON_CHANGED = "person_changed"
    PERSON_REMOVED = "person_removed"
    PERSON_ERASED = "person_erased"
    TAKEN_AWAY = "taken_away"
    WRONG_PIN = installs.WRONG_PIN


@dataclass(frozen=True, slots=True)
class Asked:
    """Which lines of the list: of one person, of one day in the nursery's zone, after a page."""

    person: str = ""
    on: date | None = None
    after: str = ""


def note(caller: Caller, did: Did, of: str, now: datetime) -> None:
    """Write down what a caller did."""
    with scope(caller.nursery, write=True) as book:
        write(book, caller, did, of, now)


def write(book: Scope, caller: Caller, did: Did, of: str, now: datetime) -> None:
    """Write it down within a transaction that is open."""
    AccessRow.objects.create(
        nursery_id=book.key,
        at=now,
        did=did.value,
        role=caller.role,
        ident=caller.ident,
        person=caller.person,
        of=of[:300],
    )


def of_account(account: int, did: Did, now: datetime, of: str = "") -> None:
    """Write down what an account did in every nursery in which it has a part."""
    parts = MembershipRow.objects.filter(account_id=account).select_related("nursery")
    with isolation.saying(account=str(account)):
        found = list(parts.order_by("pk"))
    for part in found:
        note(Caller(part.nursery.ident, part.role, str(account), part.person), did, of, now)


def page(nursery: str, asked: Asked) -> dict[str, Any]:
    """Return at most 100 lines, the latest first, with names for phones and links.

    Raises:
        CursorUnreadable: `after` is no cursor.
    """
    if asked.after and not (asked.after.isascii() and asked.after.isdigit()):
        raise CursorUnreadable(asked.after[:80])
    with scope(nursery) as book:
        rows = book.accesses.order_by("-id")
        if asked.person:
            rows = rows.filter(person=asked.person)
        if asked.on is not None:
            start = datetime.combine(asked.on, time.min, book.zone)
            rows = rows.filter(at__gte=start, at__lt=start + timedelta(days=1))
        if asked.after:
            rows = rows.filter(id__lt=int(asked.after))
        some = list(rows[: PAGE + 1])
        names = _names(book, some)
        months = _months(book)
    items = [_told(row, names) for row in some[:PAGE]]
    more = str(some[PAGE - 1].pk) if len(some) > PAGE else None
    return {"items": items, "next": more, "months": months}


def shorten(nursery: str, now: datetime) -> int:
    """Take away what is older than the nursery keeps it, the oldest first; return how much."""
    gone = 0
    with scope(nursery) as book:
        before = now - _months(book) * MONTH
    while True:
        with scope(nursery, write=True) as book:
            some = book.accesses.filter(at__lt=before).order_by("id")[:CHUNK]
            old = list(some.values_list("pk", flat=True))
            for key in old:
                # Each by itself: the database takes none that an older one stands before.
                if book.accesses.filter(pk__lt=key).exists():
                    return gone
                book.accesses.filter(pk=key).delete()
                gone += 1
        if len(old) < CHUNK:
            return gone


def _months(book: Scope) -> int:
    row = book.refs.filter(type="nursery", ident=book.ident, gone=False).first()
    body = {} if row is None else orjson.loads(row.text)
    return int(body.get("access_months") or USUAL_ACCESS)


def _names(book: Scope, rows: Sequence[AccessRow]) -> dict[str, str]:
    idents = {row.ident for row in rows} | {row.of for row in rows}
    found = dict(book.devices.filter(ident__in=idents).values_list("ident", "name"))
    return found | dict(book.links.filter(ident__in=idents).values_list("ident", "name"))


def _told(row: AccessRow, names: dict[str, str]) -> dict[str, Any]:
    return {
        "id": str(row.pk),
        "at": row.at,
        "did": row.did,
        "role": row.role,
        "person": row.person,
        "name": names.get(row.ident),
        "of": row.of,
        "of_name": names.get(row.of),
    }
