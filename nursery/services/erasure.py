"""Erase a person who asks for it: their name, their papers, their account and, if they wish, notes.

What they did stays in the book under a number, and the chain stays whole: the feed gets a revision
of their row with the number alone, every earlier one loses its text and keeps its hash. Phones hear
of it by the feed. Backups that were made before still hold what they held.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from enum import StrEnum
from typing import Any

import orjson

from nursery.services import access, effects, feed, jobs, marks, refold, rows, words
from nursery.services.access import Did
from nursery.services.errors import EraseYourself, Unknown
from nursery.services.feed import Draft
from nursery.services.people import Caller
from nursery.store import isolation, lines
from nursery.store.models import Account, BackupRow, FeedRow, HeadRow, MembershipRow, RefRow
from nursery.store.scope import Scope, scope

PERSON = "person"
# What of a person is told on: the work that they did needs it.
KEPT = ("role", "language", "since")


class Why(StrEnum):
    """Why somebody is erased: `erase.why_<code>`. No free words, which could name them again."""

    ASKED = "asked"
    LEFT = "left"
    MISTAKE = "mistake"


@dataclass(frozen=True, slots=True)
class Asked:
    """`notes`: whether the words of the notes go that they wrote."""

    why: Why
    notes: bool


def ahead(nursery: str, ident: str) -> dict[str, Any]:
    """Return what erasing somebody would come to: their number, and how much would be blanked.

    Raises:
        Unknown: the nursery has no such person.
    """
    with scope(nursery) as book:
        row = _row(book, ident)
        return {
            "label": _label(book, row),
            "erased": orjson.loads(row.text).get("erased"),
            "revisions": _revisions(book, ident).count(),
            "notes": len(_notes(book, ident)),
            "account": _parts(book, ident).exists(),
            "backups": BackupRow.objects.filter(fault="").count(),
        }


def erase(caller: Caller, ident: str, asked: Asked, now: datetime) -> dict[str, Any]:
    """Erase somebody; return what `ahead` says afterwards.

    Raises:
        Unknown: the nursery has no such person.
        EraseYourself: it is who asks.
    """
    if caller.person == ident:
        raise EraseYourself(value=ident)
    with scope(caller.nursery, write=True) as book:
        head = book.lock_head()
        row = _row(book, ident)
        if not rows.is_erased(row):
            body = _anonymous(book, row, now.astimezone(book.zone).date())
            revision = rows.Row(PERSON, ident, row.rev + 1, body)
            rows.append(book, head, revision, orjson.dumps(body).decode(), now)
            _revisions(book, ident, before=row.rev + 1).update(text="")
        forget_account(book, ident, _label(book, row))
        if asked.notes:
            _erase_notes(book, head, _notes(book, ident), asked.why, now)
        access.write(book, caller, Did.PERSON_ERASED, f"{ident} {asked.why.value}", now)
    refold.stale(caller.nursery)
    return ahead(caller.nursery, ident)


def _row(book: Scope, ident: str) -> RefRow:
    row = book.refs.filter(type=PERSON, ident=ident).first()
    if row is None:
        raise Unknown(PERSON, ident)
    return row


def _label(book: Scope, row: RefRow) -> str:
    """Return what somebody is called without a name: the number of their row among people's."""
    number = book.refs.filter(type=PERSON, pk__lte=row.pk).count()
    house = book.refs.filter(type="nursery", ident=book.ident, gone=False).first()
    languages = [] if house is None else orjson.loads(house.text).get("languages", [])
    return words.say(next(iter(languages), "en"), "person.erased", {"n": number})


def _anonymous(book: Scope, row: RefRow, today: date) -> dict[str, Any]:
    before = orjson.loads(row.text)
    kept = {name: before[name] for name in KEPT if before.get(name) is not None}
    yesterday = (today - timedelta(days=1)).isoformat()
    last = max(min(before.get("until") or yesterday, yesterday), before.get("since") or "")
    return {**kept, "name": _label(book, row), "until": last, "erased": today.isoformat()}


def _revisions(book: Scope, ident: str, before: int | None = None) -> Any:
    """Return the revisions of somebody's row that still have their text, but for the last."""
    last = _row(book, ident).rev if before is None else before
    some = book.feed.filter(type=FeedRow.ROW, what=PERSON, ident=ident, rev__lt=last)
    return some.exclude(text="")


def _parts(book: Scope, ident: str) -> Any:
    return MembershipRow.objects.filter(nursery_id=book.key, person=ident)


def forget_account(book: Scope, ident: str, label: str) -> None:
    """Take somebody's part in the nursery; an account without any other part is emptied."""
    accounts = list(_parts(book, ident).values_list("account_id", flat=True))
    _parts(book, ident).delete()
    for account in Account.objects.filter(pk__in=accounts):
        with isolation.saying(account=str(account.pk)):
            if MembershipRow.objects.filter(account=account).exists():
                continue
        account.email, account.name = f"erased-{account.pk}@erased.invalid", label[:120]
        account.is_active = False
        account.set_unusable_password()
        account.save()


def _notes(book: Scope, author: str) -> list[str]:
    """Return the ids of somebody's notes, with what corrected or withdrew them."""
    told = list(_read(book))
    own = {ident for ident, kind, by, _ in told if kind == "noted" and by == author}
    return [ident for ident, _, _, corrects in told if ident in own or corrects in own]


def _read(book: Scope) -> Iterator[tuple[str, str, str, str | None]]:
    """Yield id, kind, author and what it corrects of everything that may be erased."""
    found = book.entries.filter(what__in=marks.ERASABLE).exclude(text="").order_by("seq")
    for ident, kind, text in found.values_list("ident", "what", "text").iterator():
        raw = orjson.loads(text)
        yield ident, kind, raw["author"], raw.get("corrects")


def _erase_notes(
    book: Scope, head: HeadRow, idents: Iterable[str], why: Why, now: datetime
) -> None:
    subjects: set[str] = set()
    for ident in idents:
        subjects.update(lines.subjects_of(book, ident))
        book.entries.filter(ident=ident).update(text="")
        text = orjson.dumps({"why": why.value}).decode()
        feed.add(book, head, Draft(FeedRow.MARK, marks.ERASED, ident, 0, text), now)
    if subjects:
        seq = head.last_seq
        book.subjects.filter(ident__in=subjects).update(stale_from=seq)
        jobs.write("stale", str(seq), now, nursery=book.key)
        effects.outlook_is_stale(book, seq, now)
