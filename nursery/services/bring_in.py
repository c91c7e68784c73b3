"""Bringing a book in that was taken away: line by line, with the same numbers and links.

All is looked through before anything is written; the lines are written in one transaction, and
the states are then folded anew. A new epoch begins, so each phone of the old book has to join.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from django.db import DataError, IntegrityError, transaction

from nursery.domain import entry as entries
from nursery.domain.reference import Role
from nursery.services import (
    beginning,
    book_file,
    book_lines,
    book_rows,
    effects,
    kept_photos,
    nurseries,
    people,
    refold,
    rows,
)
from nursery.services.book_file import BookFile, BookFileAltered
from nursery.services.errors import NurseryThere
from nursery.store.models import NurseryRow
from nursery.store.scope import scope

LONGEST_NAME = 120


@dataclass(frozen=True, slots=True)
class Account:
    """With what the grower signs in to the book that was brought in."""

    email: str
    password: str


@dataclass(frozen=True, slots=True)
class BroughtIn:
    """What came in; of the photos those `left_out` whose bytes are others, those `lost` absent."""

    ident: str
    name: str
    lines: int
    fingerprint: str
    photos: int
    left_out: tuple[str, ...]
    lost: tuple[str, ...]


def bring_in(
    file: Path,
    called: str | None,
    now: datetime,
    account: Account | None = None,
    say: Callable[[str], None] = lambda _step: None,
) -> BroughtIn:
    """Take a book in under the id that `called` gives, or under its own, telling `say` each step.

    Raises:
        BookFileUnfit: what is wrong with the file, by member and line; nothing was changed.
        NurseryThere: a nursery of that id is there already, be it empty.
        Refused: what is wrong with the account.
    """
    with book_file.opened(file) as held:
        told = settings_of(held)
        ident = beginning.ident_of(called) if called else told["id"]
        if NurseryRow.objects.filter(ident=ident).exists():
            raise NurseryThere(value=ident)
        if account is not None:
            beginning.look_through_email(account.email)
            beginning.try_password(account.password, account.email, told["name"])
        say("Looking through every line.")
        for _ in book_lines.walked(held):
            pass
        photos = _Photos(ident)
        try:
            say("Looking through the photos.")
            left_out = photos.take(held)
            say("Writing the lines.")
            _write(held, ident, told, account, now)
        except BaseException:
            photos.forget()
            raise
    say("Working out every state.")
    refold.everything(ident)
    kept = len(held.photos) - len(left_out)
    return BroughtIn(
        ident, told["name"], told["lines"], held.fingerprint, kept, left_out, held.lost
    )


def settings_of(held: BookFile) -> dict[str, Any]:
    """Return what a file says of its nursery, and of the line up to which it tells.

    Raises:
        BookFileAltered: it says what no nursery is.
    """
    try:
        own = held.settings["nursery"]
        told = {"id": own["id"], "name": own["name"], "zone": own["zone"], "demo": own["demo"]}
        told |= {"lines": held.settings["lines"], "link": held.settings["link"]}
    except (KeyError, TypeError):
        raise BookFileAltered(value=book_file.SETTINGS) from None
    fits = (
        isinstance(told["id"], str)
        and entries.NAME.fullmatch(told["id"])
        and told["zone"] in beginning.zones()
        and isinstance(told["name"], str)
        and 0 < len(told["name"]) <= LONGEST_NAME
        and type(told["lines"]) is int
    )
    if not fits:
        raise BookFileAltered(value=book_file.SETTINGS)
    return told


class _Photos:
    """The photos of a book that comes in; all of them go again where it does not."""

    def __init__(self, ident: str) -> None:
        self.ident = ident
        self.kept: list[str] = []

    def take(self, held: BookFile) -> tuple[str, ...]:
        """Keep each photo that is what its name says; return those that are not."""
        left_out = []
        for digest in held.photos:
            content = held.photo(digest)
            if content is None:
                left_out.append(digest)
            elif kept_photos.read(self.ident, digest) is None:
                kept_photos.keep(self.ident, content)
                self.kept.append(digest)
        return tuple(left_out)

    def forget(self) -> None:
        for digest in self.kept:
            kept_photos.forget(self.ident, digest)


def _write(
    held: BookFile, ident: str, told: dict[str, Any], account: Account | None, now: datetime
) -> None:
    """Write the whole book in one transaction."""
    try:
        with transaction.atomic():
            nurseries.begin(ident, told["name"], told["zone"], demo=bool(told["demo"]))
            with scope(ident, write=True) as book:
                book_rows.write(book, held, now)
                effects.outlook_is_stale(book, told["lines"], now)
                effects.season_is_stale(book, told["lines"], "brought in", now)
            if account is not None:
                let_in(ident, account)
    except (IntegrityError, DataError):
        # One id twice, or a value that no column takes: the chain alone does not tell.
        raise BookFileAltered(value=book_file.FEED) from None


def let_in(ident: str, account: Account) -> None:
    """Give the first grower among a book's people an account.

    Raises:
        NoSuchNursery: no nursery is called so.
        Refused: what is wrong with the account.
    """
    with scope(ident) as book:
        people_of = rows.every(book, "person")
        growers = [row for row in people_of if row.body.get("role") == Role.GROWER.value]
    person, body = (growers[0].id, growers[0].body) if growers else ("", {})
    name = str(body.get("name", account.email))
    beginning.look_through_email(account.email)
    beginning.try_password(account.password, account.email, name)
    language = str(body.get("language", "en"))
    who = nurseries.Newcomer(account.email, account.password, name, people.GROWER, person, language)
    nurseries.add_account(ident, who)
