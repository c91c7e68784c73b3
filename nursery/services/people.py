"""Who may come in: people sign in to accounts, phones join by a one-time code.

A PIN attributes, it does not protect; the device's secret is what protects, and only its hash is
kept. Sign-ins are counted in the database under a row lock, so no number of doors helps a guesser.
"""

import secrets
from dataclasses import dataclass
from datetime import datetime, timedelta
from hashlib import sha256

from django.contrib.auth.base_user import AbstractBaseUser
from django.contrib.auth.hashers import check_password, make_password

from nursery.services import installs, limits
from nursery.services.errors import InviteEnded, NotTheirs, SignInRefused, SignInShut
from nursery.store import each_push, isolation
from nursery.store.models import Account, DeviceRow, InstallRow, InviteRow, MembershipRow
from nursery.store.scope import scope

INVITE_LASTS = timedelta(hours=24)

GROWER = "grower"
INSPECTOR = "inspector"
PHONE = "phone"


@dataclass(frozen=True, slots=True)
class Caller:
    """Who asks, and for which nursery. The one thing that access is decided by."""

    nursery: str
    role: str
    ident: str
    person: str = ""
    revoked: bool = False


def sign_in(email: str, password: str, now: datetime, address: str = "") -> Account:
    """Return the account of this address and password; `address` is where the try came from.

    Raises:
        SignInShut: too many tries failed; says when it opens.
        SignInRefused: they do not belong together.
    """
    name = email.strip().lower()[:254]

    def attempt() -> Account | None:
        account = account_of(name)
        # An unknown address costs as long as a known one.
        kept = account.password if account is not None else _NOBODY
        return account if check_password(password, kept) else None

    def shut(until: str) -> SignInShut:
        return SignInShut(value=name[:80], until=until)

    def by_name() -> Account | None:
        return limits.tried(limits.SIGN_IN, name, now, attempt, shut)

    found = limits.tried(limits.SIGN_IN_FROM, address, now, by_name, shut)
    if found is None:
        raise SignInRefused(value=email[:80])
    limits.forget(limits.SIGN_IN, name)
    return found


def account_of(email: str) -> Account | None:
    """Return the account of an address that was typed, if it is in use."""
    return Account.objects.filter(email=email.strip().lower()[:254], is_active=True).first()


_NOBODY = make_password(None)


def caller(account: AbstractBaseUser, wanted: str | None, now: datetime) -> Caller:
    """Return the account's part in the nursery `wanted`, or in its only one.

    Raises:
        NotTheirs: the account has no part in it, or its time there is over.
    """
    parts = MembershipRow.objects.filter(account_id=account.pk).select_related("nursery")
    if wanted:
        parts = parts.filter(nursery__ident=wanted)
    with isolation.saying(account=str(account.pk)):
        found = list(parts.order_by("pk"))
    for part in found:
        if part.until is None or part.until > now:
            return Caller(part.nursery.ident, part.role, str(account.pk), part.person)
    raise NotTheirs(value=wanted or "")


def invite(nursery: str, device_name: str, now: datetime) -> tuple[str, datetime]:
    """Return a one-time code by which one phone joins, and when it ends."""
    code = secrets.token_urlsafe(24)
    ends = now + INVITE_LASTS
    with scope(nursery, write=True) as book:
        InviteRow.objects.create(
            nursery_id=book.key, code_hash=_hash(code), device_name=device_name[:120], ends_at=ends
        )
    return code, ends


@dataclass(frozen=True, slots=True)
class Joined:
    """A phone that has joined; `secret` is told this once."""

    nursery: str
    name: str
    zone: str
    device: str
    secret: str
    epoch: str


def enrol(code: str, install: str, now: datetime, address: str = "") -> Joined:
    """Let a phone join by its code; `address` is where the code came from.

    Raises:
        InviteEnded: the code is unknown, was used, or is past its end.
        Later: too many wrong codes came from there.
    """
    joined = limits.tried(limits.INVITE, address, now, lambda: _enrolled(code, install, now))
    if joined is None:
        raise InviteEnded(value=code[:8])
    return joined


def _enrolled(code: str, install: str, now: datetime) -> Joined | None:
    secret = secrets.token_urlsafe(32)
    with isolation.saying(secret=_hash(code)):
        named = InviteRow.objects.filter(code_hash=_hash(code)).select_related("nursery").first()
    if named is None:
        return None
    nursery = named.nursery
    with scope(nursery.ident, write=True) as book:
        good = book.invites.filter(pk=named.pk, used_at=None, ends_at__gt=now)
        row = good.select_for_update().first()
        if row is None:
            return None
        row.used_at = now
        row.save(update_fields=["used_at"])
        # A phone of the same name that joins again has lost what it held.
        same = book.devices.filter(name=row.device_name, revoked_at=None)
        installs.replaced(book, same.values_list("ident", flat=True), now)
        device = DeviceRow.objects.create(
            nursery_id=book.key,
            ident=f"d-{secrets.token_hex(8)}",
            name=row.device_name,
            secret_hash=_hash(secret),
            joined_at=now,
        )
        InstallRow.objects.get_or_create(
            nursery_id=book.key, ident=install, defaults={"device": device.ident}
        )
        epoch = book.head.epoch
    return Joined(nursery.ident, nursery.name, nursery.zone, device.ident, secret, epoch)


def device(secret: str) -> Caller | None:
    """Return the phone whose secret this is, revoked or not; None for nobody's."""
    hashed = _hash(secret)
    with isolation.saying(secret=hashed):
        found = each_push.phone(hashed)
    if found is None:
        return None
    nursery, ident, revoked = found
    return Caller(nursery, PHONE, ident, revoked=revoked)


def revoke(nursery: str, ident: str, now: datetime) -> bool:
    """Shut a phone out, and say whether there was one; what it holds can still be handed in."""
    with scope(nursery, write=True) as book:
        return bool(book.devices.filter(ident=ident, revoked_at=None).update(revoked_at=now))


def _hash(secret: str) -> str:
    return sha256(secret.encode()).hexdigest()
