"""A nursery of somebody's own: its row, its book, its grower's account and first rows.

Both doors come here: the command, for as many nurseries as a server holds, and the first page of
an empty server, which serves nobody else and shuts for good with the first nursery.
"""

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from zoneinfo import available_timezones

from django.conf import settings
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.core.validators import validate_email
from django.db import connection, transaction

from nursery.domain.reference import Mark
from nursery.services import nurseries, people, rows, words
from nursery.services.errors import (
    EmailTaken,
    EmailUnreadable,
    LanguageUnknown,
    NameUnusable,
    NurseryThere,
    PasswordCommon,
    PasswordFigures,
    PasswordLikeName,
    PasswordShort,
    PasswordWeak,
    ZoneUnknown,
)
from nursery.store.models import Account, NurseryRow

GROWER = "p-grower"
# The one lock that two first pages opened at once wait for; any number not used elsewhere.
FIRST = 0x6C617468


@dataclass(frozen=True, slots=True)
class Beginning:
    """What must be said to begin. Without `conditions` no plant here is held under a permit."""

    name: str
    zone: str
    grower: str
    email: str
    password: str
    language: str = "en"
    country: str = ""
    decimal_mark: str = Mark.POINT.value
    conditions: bool = True


def is_begun() -> bool:
    """Whether this server has a nursery, be it the demo's: an empty one shows its first page."""
    return NurseryRow.objects.exists()


def zones() -> list[str]:
    """Return the names of all time zones, in alphabetical order."""
    return sorted(available_timezones())


def first(asked: Beginning, now: datetime) -> Account:
    """Begin the first nursery of an empty server; return its grower's account.

    Raises:
        NurseryThere: it is not empty any more.
        Refused: what `begin` turns down.
    """
    with transaction.atomic():
        if connection.vendor == "postgresql":
            # SQLite has one writer anyhow.
            with connection.cursor() as cursor:
                cursor.execute("SELECT pg_advisory_xact_lock(%s)", [FIRST])
        if there := NurseryRow.objects.order_by("pk").first():
            raise NurseryThere(value=there.name)
        _, account = begin(asked, now)
    return account


def begin(asked: Beginning, now: datetime) -> tuple[str, Account]:
    """Begin a nursery; return its id and its grower's account.

    Raises:
        PasswordWeak: the password would be guessed.
        Refused: what `look_through` turns down.
    """
    ident = look_through(asked)
    try_password(asked.password, asked.email, asked.grower)
    with transaction.atomic():
        nurseries.begin(ident, asked.name, asked.zone)
        who = nurseries.Newcomer(
            asked.email, asked.password, asked.grower, people.GROWER, GROWER, asked.language
        )
        account = nurseries.add_account(ident, who)
        for kind, name, body in _first_rows(ident, asked):
            rows.put(ident, rows.Row(kind, name, None, body), now)
    return ident, account


def look_through(asked: Beginning) -> str:
    """Look through all but the password; return the id that the nursery would have.

    Raises:
        NameUnusable: the name has no letter or figure to call it by.
        NurseryThere: one is called so already.
        ZoneUnknown: no time zone is called so.
        LanguageUnknown: there is no such catalogue.
        EmailUnreadable: that is no address.
        EmailTaken: somebody has an account with it.
    """
    ident = ident_of(asked.name)
    if NurseryRow.objects.filter(ident=ident).exists():
        raise NurseryThere(value=asked.name[:80])
    if asked.zone not in available_timezones():
        raise ZoneUnknown(value=asked.zone[:80])
    if asked.language not in words.languages():
        raise LanguageUnknown(value=asked.language[:80])
    look_through_email(asked.email)
    return ident


def look_through_email(email: str) -> None:
    """Look whether somebody can get an account with this address.

    Raises:
        EmailUnreadable: that is no address.
        EmailTaken: somebody has an account with it.
    """
    try:
        validate_email(email)
    except ValidationError:
        raise EmailUnreadable(value=email[:80]) from None
    if Account.objects.filter(email=email.strip().lower()).exists():
        raise EmailTaken(value=email[:80])


def _first_rows(ident: str, asked: Beginning) -> list[tuple[str, str, dict[str, Any]]]:
    nursery = {
        "name": asked.name,
        "zone": asked.zone,
        "languages": [asked.language],
        "decimal_mark": asked.decimal_mark,
        "country": asked.country or None,
        "conditions": asked.conditions,
    }
    grower = {"name": asked.grower, "role": "grower", "language": asked.language}
    return [("nursery", ident, nursery), ("person", GROWER, grower)]


def ident_of(name: str) -> str:
    """Return the id that a nursery of this name has.

    Raises:
        NameUnusable: it has no letter or figure to call it by.
    """
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    ident = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:64].strip("-")
    if not ident:
        raise NameUnusable(value=name[:80])
    return ident


_WEAK: Mapping[str, type[PasswordWeak]] = {
    "password_too_short": PasswordShort,
    "password_too_common": PasswordCommon,
    "password_entirely_numeric": PasswordFigures,
    "password_too_similar": PasswordLikeName,
}


def try_password(password: str, email: str, name: str) -> None:
    """Look whether a password would be guessed.

    Raises:
        PasswordWeak: it would.
    """
    try:
        validate_password(password, Account(email=email, name=name))
    except ValidationError as error:
        found = [_WEAK.get(str(one.code), PasswordCommon) for one in error.error_list]
        # What was typed as a password is never said again.
        raise found[0](least=settings.PASSWORD_LETTERS) from None
