"""Begin a nursery: its row, its head, the account of its first grower."""

import secrets
import uuid
from dataclasses import dataclass

from django.db import transaction

from nursery.domain import chain
from nursery.store.models import Account, HeadRow, MembershipRow, NurseryRow
from nursery.store.scope import scope


def begin(ident: str, name: str, zone: str, *, demo: bool = False) -> NurseryRow:
    """Make an empty nursery with a book of its own."""
    with transaction.atomic():
        row = NurseryRow.objects.create(ident=ident, name=name, zone=zone, demo=demo)
        with scope(ident, write=True):
            HeadRow.objects.create(nursery=row, epoch=new_epoch(), chain=chain.START)
    return row


def new_epoch() -> str:
    """Return a name for a book that no other copy of it bears."""
    return uuid.UUID(bytes=secrets.token_bytes(16), version=4).hex[:16]


def one(ident: str) -> NurseryRow:
    """Return a nursery.

    Raises:
        NoSuchNursery: no nursery is called so.
    """
    with scope(ident) as book:
        return book.nursery


def every() -> list[str]:
    """Return the names of all nurseries."""
    return list(NurseryRow.objects.order_by("pk").values_list("ident", flat=True))


@dataclass(frozen=True, slots=True)
class Newcomer:
    """Somebody who gets an account; `person` is who they are among the nursery's people."""

    email: str
    password: str
    name: str
    role: str
    person: str = ""
    language: str = "en"


def add_account(nursery: str, who: Newcomer) -> Account:
    """Give somebody an account, and a part in the nursery; return the account."""
    with scope(nursery) as book, transaction.atomic():
        account = Account.objects.create_user(
            who.email, who.password, name=who.name, language=who.language
        )
        MembershipRow.objects.create(
            nursery_id=book.key, account=account, role=who.role, person=who.person
        )
    return account
