"""What the papers say against what was counted: told to the authority, never a difference.

The certificate and the permit state figures; the account of plants begins with the first count. So
a figure that differs is a note about a paper, and the ledger balances without it (rules L-1, G-11).
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any

from nursery.domain.book import Book
from nursery.domain.ledger import Ledger, of_group
from nursery.domain.terms import MostPlants, in_force


@dataclass(frozen=True, slots=True)
class Notice:
    """A note about a consignment, a permit or a room; `code` is a `reason` of the word catalogue.

    Its id is that of a doubt, so that a `settled` entry about one of its batches closes it.
    """

    code: str
    subject: str
    params: dict[str, Any]
    settled_by: str | None = None

    @property
    def id(self) -> str:
        return ":".join(("paper_differs", self.subject, self.code))

    def closed_by(self, batches: Iterable[str], book: Book) -> "Notice":
        """Return the notice with the entry about one of these batches that settled it, if any."""
        found = (book.batches[name].settled.get(self.id) for name in batches)
        return replace(self, settled_by=next((entry for entry in found if entry), None))

    def as_json(self) -> dict[str, Any]:
        return {
            "id": self.id,
            "code": self.code,
            "subject": self.subject,
            "params": self.params,
            "settled_by": self.settled_by,
        }


@dataclass(frozen=True, slots=True)
class Account:
    """A consignment's batches and their ledger as one group.

    `arrived` are the batches that came in by themselves, `batches` those and all that came of them.
    `counted` is what came in by count, `stated` what the certificate says; None where unknown.
    """

    consignment: str
    arrived: tuple[str, ...]
    batches: tuple[str, ...]
    ledger: Ledger
    stated: int | None
    counted: int | None

    def as_json(self) -> dict[str, Any]:
        return {
            "id": self.consignment,
            "arrived": list(self.arrived),
            "batches": list(self.batches),
            "ledger": self.ledger.as_json(),
            "stated": self.stated,
            "counted": self.counted,
        }


def of_consignment(consignment: str, book: Book) -> tuple[Notice, ...]:
    """Return what the certificate of a consignment says otherwise than the count (rule G-11)."""
    return against_certificate(account(consignment, book), book)


def against_certificate(one: Account, book: Book) -> tuple[Notice, ...]:
    if one.stated is None or one.counted is None or one.stated == one.counted:
        return ()
    code, plants = ("short", one.stated - one.counted)
    if plants < 0:
        code, plants = "over", -plants
    about = {"certificate": one.stated, "counted": one.counted, "n": plants}
    return (Notice(code, one.consignment, about).closed_by(one.arrived, book),)


def account(consignment: str, book: Book) -> Account:
    """Return the account of a consignment, its batches taken together (rule L-4).

    Nothing is told of the count as long as a batch of it was not counted.
    """
    arrived = book.once(_arrivals).get(consignment, ())
    found = dict.fromkeys(arrived)
    for name in arrived:
        found |= dict.fromkeys(book.descendants(name))
    whole = bool(arrived) and all(book.batches[name].counted for name in arrived)
    return Account(
        consignment=consignment,
        arrived=arrived,
        batches=tuple(sorted(found)),
        ledger=of_group(book.batches[name].ledger for name in sorted(found)),
        stated=_stated(consignment, arrived, book),
        counted=sum(book.batches[name].ledger.came_in for name in arrived) if whole else None,
    )


def _arrivals(book: Book) -> dict[str, tuple[str, ...]]:
    found: dict[str, list[str]] = {}
    for name in sorted(book.batches):
        consignment = book.batches[name].consignment
        if consignment is not None:
            found.setdefault(consignment, []).append(name)
    return {consignment: tuple(names) for consignment, names in found.items()}


def _stated(consignment: str, arrived: tuple[str, ...], book: Book) -> int | None:
    row = book.row("consignment", consignment)
    if row is not None and row.stated is not None:
        figure: int = row.stated
        return figure
    figures = [book.batches[name].stated for name in arrived]
    known = [figure for figure in figures if figure is not None]
    return sum(known) if known and len(known) == len(figures) else None


def of_permit(permit: str, accounts: Iterable[Account], book: Book) -> tuple[Notice, ...]:
    """Return what the papers and the counts under one permit say against its quantity.

    Where the papers are over it, how far the count is under it is told with them.
    """
    some = list(accounts)
    most = _most(permit, some, book)
    if most is None or not some:
        return ()
    stated = [one.stated for one in some if one.stated is not None]
    counted = [one.counted for one in some if one.counted is not None]
    about = {
        "permit": most,
        "certificate": sum(stated) if len(stated) == len(some) else None,
        "counted": sum(counted) if len(counted) == len(some) else None,
    }
    found = []
    paper_over = bool(stated) and sum(stated) > most
    if paper_over:
        found.append(Notice("paper_over_permit", permit, {**about, "n": sum(stated) - most}))
    if counted and sum(counted) > most:
        found.append(Notice("plants_over_permit", permit, {**about, "n": sum(counted) - most}))
    elif paper_over and about["counted"] is not None and sum(counted) < most:
        found.append(Notice("plants_under_permit", permit, {**about, "n": most - sum(counted)}))
    arrived = [name for one in some for name in one.arrived]
    return tuple(notice.closed_by(arrived, book) for notice in found)


def _most(permit: str, accounts: Iterable[Account], book: Book) -> int | None:
    """Return the permit's quantity on the day of the first arrival under it."""
    began = [book.batches[name].began_at for one in accounts for name in one.arrived]
    days = [book.day(moment) for moment in began if moment is not None]
    if not days:
        return None
    found = in_force(book.terms_of(permit), MostPlants, min(days), min(days))
    return found[0][1].plants if found else None


def accounts(book: Book) -> tuple[Account, ...]:
    """Return the account of every consignment that came, typed or not."""
    names = {name for name, _ in book.rows_of("consignment")} | set(book.once(_arrivals))
    return tuple(account(name, book) for name in sorted(names))


def of_book(book: Book) -> tuple[Notice, ...]:
    """Return every notice of a book."""
    every = book.once(accounts)
    found = [notice for one in every for notice in against_certificate(one, book)]
    permits: dict[str, list[Account]] = {}
    for one in every:
        row = book.row("consignment", one.consignment)
        if row is not None and row.permit is not None and one.arrived:
            permits.setdefault(row.permit, []).append(one)
    for permit in sorted(permits):
        found += of_permit(permit, permits[permit], book)
    return tuple(found)
