"""How often something may be done or tried, counted in the database under a row lock.

So two doors, two servers and a hundred calls at once count as exactly as one after the other. What
is counted by is kept as a hash: neither an address nor a name that was typed stays readable.

Sizes (own choice): a phone that comes back after a week with 5 000 records and 300 photos sends
some 25 pushes and 2 000 slices, and is never made to wait; only a program that runs wild is.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime, timedelta
from hashlib import sha256
from ipaddress import IPv6Address, IPv6Network, ip_address
from typing import TypeVar

from django.conf import settings
from django.db import IntegrityError, transaction

from nursery.domain.entry import write_instant
from nursery.services.errors import Later, Refused
from nursery.store import each_push
from nursery.store.models import LimitRow
from nursery.store.turns import alone, writing

KEPT = timedelta(days=2)

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Limit:
    """`most` within `per`, counted from the first; then shut until `shut` is over."""

    what: str
    most: int
    per: timedelta
    shut: timedelta


QUARTER = timedelta(minutes=15)
# Wrong passwords of one account; and those that come from one address, whatever the account.
SIGN_IN = Limit("sign_in", 8, timedelta(days=1), QUARTER)
SIGN_IN_FROM = Limit("sign_in_from", 60, QUARTER, QUARTER)
# Wrong links to read by, wrong codes to join by.
LINK = Limit("link", 30, QUARTER, QUARTER)
INVITE = Limit("invite", 30, QUARTER, QUARTER)
# Calls of one phone.
PUSH = Limit("push", 1_200, timedelta(minutes=10), timedelta(minutes=1))
UPLOAD = Limit("upload", 12_000, timedelta(minutes=10), timedelta(minutes=1))


def _later(until: str) -> Refused:
    return Later(until=until)


def house_of(number: str, told: str | None) -> str:
    """Return where somebody comes from, as far as a limit can be counted by it.

    A proxy that we were told of adds whom it speaks for at the end of what it `told` by
    `X-Forwarded-For`. Of IPv6 one house has a whole network of addresses.
    """
    if settings.USE_X_FORWARDED_HOST and told is not None:
        number = told.rpartition(",")[2].strip()
    try:
        known = ip_address(number)
    except ValueError:
        return ""
    if isinstance(known, IPv6Address) and known.ipv4_mapped is None:
        return str(IPv6Network((known, 64), strict=False))
    return str(known)


def take(limit: Limit, who: str, now: datetime) -> None:
    """Count one call.

    Raises:
        Later: there were too many; it says from when on the next is answered.
    """
    with alone():
        if _one_more(limit, who, now, limit.most):
            return
    with writing():
        row = _locked(limit, who, now)
        until = _shut(row, now)
        if until is None:
            until = _count(limit, row, now)
    if until is not None:
        raise _later(write_instant(until))


@contextmanager
def counted(limit: Limit, who: str, now: datetime) -> Iterator[Callable[[], None]]:
    """Count one call in the transaction in which it writes, so that it waits for that alone.

    Yields what is to be called in that transaction. A call that fails is counted by itself. The
    last one that is allowed shuts; what is under way then may still pass.

    Raises:
        Later: there were too many; it says from when on the next is answered.
    """
    if each_push.may_be_shut(limit.what, _hash(who)):
        row = LimitRow.objects.filter(what=limit.what, who=_hash(who)).first()
        until = None if row is None else _shut(row, now)
        if until is not None:
            raise _later(write_instant(until))

    def count() -> None:
        if _one_more(limit, who, now, limit.most - 1):
            return
        row = _locked(limit, who, now)
        if _shut(row, now) is None:
            _count(limit, row, now, reached=True)

    try:
        yield count
    except Exception:
        with writing():
            count()
        raise


def _one_more(limit: Limit, who: str, now: datetime, below: int) -> bool:
    """Count one call by a single statement, where nothing but the number changes.

    So it is with nearly every call: within the time that runs, with fewer than `below` before it.
    """
    return each_push.one_more(limit.what, _hash(who), now - limit.per, now, below)


def tried(
    limit: Limit,
    who: str,
    now: datetime,
    attempt: Callable[[], T | None],
    shut: Callable[[str], Refused] = _later,
) -> T | None:
    """Return what an attempt gives; one that gives None is counted as failed.

    The row is held meanwhile, so a crowd of tries at once comes one after the other.

    Raises:
        Refused: what `shut` makes, where too many failed; the attempt is not made.
    """
    with writing():
        row = _locked(limit, who, now)
        until = _shut(row, now)
        found = attempt() if until is None else None
        if until is None and found is None:
            _count(limit, row, now, reached=True)
    if until is not None:
        raise shut(write_instant(until))
    return found


def forget(limit: Limit, who: str) -> None:
    """Begin to count anew: whoever it was has shown who they are."""
    LimitRow.objects.filter(what=limit.what, who=_hash(who)).delete()


def clear_old(now: datetime) -> int:
    """Forget what was counted long ago; return how many rows there were."""
    return LimitRow.objects.filter(since__lt=now - KEPT).delete()[0]


def _locked(limit: Limit, who: str, now: datetime) -> LimitRow:
    """Return the row, locked for this transaction; made if it was not there."""
    rows = LimitRow.objects.select_for_update()
    name = _hash(who)
    found = rows.filter(what=limit.what, who=name).first()
    if found is not None:
        return found
    try:
        with transaction.atomic():
            LimitRow.objects.create(what=limit.what, who=name, since=now)
    except IntegrityError:
        pass  # somebody else was quicker, and their row is ours to wait for
    return rows.get(what=limit.what, who=name)


def _shut(row: LimitRow, now: datetime) -> datetime | None:
    return row.shut_until if row.shut_until is not None and row.shut_until > now else None


def _count(limit: Limit, row: LimitRow, now: datetime, *, reached: bool = False) -> datetime | None:
    """Count one more; shut with the one too many, or where `reached` with the last allowed.

    A clock that was set back begins anew, so that nobody waits for a day that does not come.
    """
    if not timedelta(0) <= now - row.since < limit.per or row.shut_until is not None:
        row.used, row.since, row.shut_until = 0, now, None
    row.used += 1
    if row.used >= limit.most + (not reached):
        row.shut_until = now + limit.shut
    row.save(update_fields=["used", "since", "shut_until"])
    return None if reached else row.shut_until


def _hash(who: str) -> str:
    return sha256(who.encode(errors="replace")).hexdigest()
