"""The sessions of one account at desks, seen and ended by whoever has them; and their password.

A session lasts 14 days at most, and ends before that when it was not used for three. Both are
counted by the machine's own clock, since a demo's begins anew with each start; what is told of a
session is told by the product's. No browser and no address is kept: since when, and the hour in
which it was last used, are enough to know one's own by.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from hashlib import sha256
from typing import Any

from django.conf import settings
from django.contrib.auth import HASH_SESSION_KEY
from django.contrib.auth.base_user import AbstractBaseUser
from django.contrib.sessions.backends.base import SessionBase

from nursery.domain.entry import write_instant
from nursery.services import access, beginning, clock, limits, people
from nursery.services.access import Did
from nursery.services.errors import OldPasswordWrong, SignInRefused
from nursery.store.models import Account, SessionRow

LASTS = timedelta(days=14)
FACTS = "desk"


@dataclass(frozen=True, slots=True)
class Desk:
    """A session as its owner is shown it: instants in UTC, `used` to the hour."""

    id: str
    since: str
    used: str
    this: bool


def use(session: SessionBase, account: AbstractBaseUser, now: datetime) -> None:
    """Put off the end of a session that is used; written down once in an hour.

    With its first use it is noted since when it is there, and what of the account's is over goes.
    """
    facts = session.get(FACTS)
    if facts is None:
        machine = clock.unshifted()
        _rows(account).filter(expire_date__lt=machine).delete()
        facts = {"since": write_instant(now), "until": write_instant(machine + LASTS)}
    if facts.get("used") != _hour(now):
        _keep(session, facts, now)


def of(account: AbstractBaseUser, session: SessionBase, now: datetime) -> list[Desk]:
    """Return the sessions that an account has open: `session` first, then the last used."""
    found = []
    for row, kept in _open(account):
        this = row.session_key == session.session_key
        # What is kept of this one is written down at the end of the request.
        found.append(_told(row, session[FACTS] if this else kept, this=this, now=now))
    found.sort(key=lambda one: (one.this, one.used, one.since), reverse=True)
    return found


def end(account: AbstractBaseUser, ident: str, now: datetime) -> bool:
    """End one of an account's own sessions; say whether there was one."""
    for row, _ in _open(account):
        if _ident(row.session_key) == ident:
            row.delete()
            access.of_account(account.pk, Did.SESSION_ENDED, now, "1")
            return True
    return False


def end_others(account: AbstractBaseUser, key: str | None, now: datetime) -> None:
    """End all sessions of an account but the one of `key`."""
    ended = sum(row.session_key != key for row, _ in _open(account))
    _rows(account).exclude(pk=key).delete()
    if ended:
        access.of_account(account.pk, Did.SESSION_ENDED, now, str(ended))


def change_password(
    account: AbstractBaseUser, key: str | None, typed: tuple[str, str], now: datetime, address: str
) -> Account:
    """Change an account's password, `typed` as the old one and the new one.

    All its sessions end but that of `key`, which the door gives a new key. A wrong old password
    counts as one at the door does, and is told like it.

    Raises:
        OldPasswordWrong: the old one is not this.
        SignInShut: too many tries failed; says when it opens.
        PasswordWeak: the new one would be guessed.
    """
    old, new = typed
    try:
        mine = people.sign_in(account.get_username(), old, now, address)
    except SignInRefused:
        access.of_account(account.pk, Did.SIGN_IN_FAILED, now)
        raise OldPasswordWrong(most=limits.SIGN_IN.most) from None
    beginning.try_password(new, mine.email, mine.name)
    mine.set_password(new)
    mine.save(update_fields=["password"])
    _rows(mine).exclude(pk=key).delete()
    access.of_account(mine.pk, Did.PASSWORD_CHANGED, now)
    return mine


def _keep(session: SessionBase, facts: dict[str, str], now: datetime) -> None:
    session[FACTS] = {**facts, "used": _hour(now)}
    session.set_expiry(min(clock.unshifted() + _unused(), datetime.fromisoformat(facts["until"])))


def _unused() -> timedelta:
    return timedelta(seconds=settings.SESSION_COOKIE_AGE)


def _rows(account: AbstractBaseUser) -> Any:
    return SessionRow.objects.filter(account_id=account.pk)


def _open(account: AbstractBaseUser) -> Iterator[tuple[SessionRow, dict[str, str]]]:
    """Yield an account's sessions that are good: not over, and of its present password."""
    present = Account.objects.get(pk=account.pk).get_session_auth_hash()
    for row in _rows(account).filter(expire_date__gt=clock.unshifted()):
        said = row.get_decoded()
        if said.get(HASH_SESSION_KEY) == present:
            yield row, said.get(FACTS, {})


def _told(row: SessionRow, facts: dict[str, str], *, this: bool, now: datetime) -> Desk:
    # Of one that was never used yet: its end was set when it was made.
    ago = clock.unshifted() - (row.expire_date - _unused())
    since = facts.get("since") or write_instant(now - ago)
    used = facts.get("used") or _hour(now - ago)
    return Desk(_ident(row.session_key), since, used, this)


def _ident(key: str) -> str:
    """Return what a session is called by: who reads it cannot come in with it."""
    return sha256(key.encode()).hexdigest()[:32]


def _hour(now: datetime) -> str:
    return write_instant(now.replace(minute=0, second=0, microsecond=0))
