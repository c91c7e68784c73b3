"""What is held now, and what was: told for labels, by batch and by place."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from nursery.domain import exposure, gates, holds, past_holds
from nursery.domain.book import Book
from nursery.domain.entry import write_instant
from nursery.domain.exposure import Incident
from nursery.domain.past_holds import Ended
from nursery.domain.reference import PlaceKind
from nursery.services import outlook
from nursery.store.scope import scope

FIELD = frozenset((PlaceKind.BLOCK, PlaceKind.TERRACE, PlaceKind.ROW))


@dataclass(frozen=True, slots=True)
class HeldNow:
    """Why something is held: by `orders`, else by the incident of which `kind` is find or breach.

    `where` an incident was, and `who` wrote it, are told where no order has replaced it. What is
    held `in_field` stays rooted there.
    """

    since: datetime
    orders: tuple[str, ...]
    kind: str
    where: str | None
    who: str | None
    in_field: bool

    def as_json(self) -> dict[str, Any]:
        return {
            "since": write_instant(self.since),
            "orders": list(self.orders),
            "kind": self.kind,
            "where": self.where,
            "who": self.who,
        }


Reasons = Sequence[tuple[str, str, datetime, tuple[str, ...]]]


def of_book(book: Book) -> Mapping[str, HeldNow]:
    """Return why each batch and each place is held that is held now."""
    incidents = {one.id: one for one in book.once(exposure.incidents)}
    found = {}
    for name, some in book.once(holds.of_book).items():
        reasons = [(one.by, one.reference, one.since, one.orders) for one in some]
        planted = all(one.by == "ground_order" for one in some)
        found[name] = _told(reasons, incidents, book, in_field=planted)
    for seat, spells in past_holds.places_held(book).items():
        row = book.row("place", seat)
        if row is not None:
            reasons = [(one.by, one.reference, one.since, ()) for one in spells]
            found[seat] = _told(reasons, incidents, book, in_field=row.kind in FIELD)
    return found


def _told(
    reasons: Reasons, incidents: Mapping[str, Incident], book: Book, *, in_field: bool
) -> HeldNow:
    since = min(at for _, _, at, _ in reasons)
    orders = {reference for by, reference, _, _ in reasons if by not in ("find", "breach")}
    orders |= {reference for _, _, _, more in reasons for reference in more}
    for by, reference, _, _ in reasons:
        incident = incidents.get(reference)
        if not orders and incident is not None:
            where = _where(incident, book)
            who = gates.names([incident.by], book)[0]
            return HeldNow(since, (), by, where, who, in_field)
    return HeldNow(since, tuple(sorted(orders)), "order", None, None, in_field)


def _where(incident: Incident, book: Book) -> str:
    """Return where an incident was: the labels of a find, the room of a breach."""
    batches = [one for one in incident.about if one in book.batches]
    if incident.kind == "find" and batches:
        return ", ".join(sorted(book.batches[one].label or one for one in batches))
    return ", ".join(_place(one, book) for one in incident.rooms or incident.about)


def _place(ident: str, book: Book) -> str:
    row = book.row("place", ident)
    return ident if row is None else str(row.name)


def report(nursery: str) -> dict[str, Any]:
    """Return what is held now, and what wears labels of a hold that has ended."""
    with scope(nursery) as rows:
        book = outlook.read_book(rows)
    held = of_book(book)
    subjects = sorted(held.items(), key=lambda one: (one[1].since, one[0]))
    return {
        "held": [{**_named(name, book), **one.as_json()} for name, one in subjects],
        "ended": [{**_named(one.subject, book), **_past(one, book)} for one in _worn(held, book)],
    }


def _worn(held: Mapping[str, HeldNow], book: Book) -> Iterable[Ended]:
    return (one for one in past_holds.of_book(book) if one.subject not in held)


def _named(subject: str, book: Book) -> dict[str, Any]:
    if subject in book.batches:
        return {"what": "batch", "id": subject, "name": book.batches[subject].label or subject}
    return {"what": "place", "id": subject, "name": _place(subject, book)}


def _past(one: Ended, book: Book) -> dict[str, Any]:
    """Return when a hold began and ended, on days of the nursery, and its order, if it had one."""
    return {
        "since": book.day(one.since).isoformat(),
        "until": book.day(one.until).isoformat(),
        "order": one.reference if one.by == "order" else None,
    }
