"""How many plants a notice lets go, and how many have gone: never more than released, nor alive.

A notice names living plants. Where it says more than live, only the living may leave; where it says
fewer, so many may leave and the others stay (rules Q-15, H-6).
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime

from nursery.domain import quarantine, visits
from nursery.domain.batch import Batch
from nursery.domain.book import Book
from nursery.domain.doubts import Doubt
from nursery.domain.history import of_book as histories


@dataclass(frozen=True, slots=True)
class Leave:
    """What one notice says of plants that belong together: said, alive then, and gone since."""

    notice: str
    entry: str
    said: int
    alive: int
    gone: int

    @property
    def left(self) -> int:
        """How many more may go; what died since lets nobody else go in its place."""
        return max(0, min(self.said, self.alive) - self.gone)


def of_book(book: Book) -> Mapping[str, Leave]:
    """Return the leave of each released batch, and of what was made of it since."""
    groups: dict[str, list[str]] = {}
    for name, past in book.once(histories).items():
        if past.released is not None:
            groups.setdefault(past.released["entry"], []).append(name)
    found: dict[str, Leave] = {}
    for names in groups.values():
        for family in _families(names, book):
            leave = _leave(family, book)
            if leave is not None:
                found |= dict.fromkeys(family, leave)
    return found


def _families(names: list[str], book: Book) -> Iterable[list[str]]:
    """Yield those of a notice's batches that share plants; all, where it names no shares."""
    own = [name for name in names if _own(name, book)]
    if any(book.batches[name].released["said"] is None for name in own):  # type: ignore[index]
        yield names
        return
    waiting = set(names)
    while waiting:
        family, ahead = set[str](), {min(waiting)}
        while ahead:
            name = ahead.pop()
            family.add(name)
            kin = {*book.batches[name].parents, *book.children.get(name, ())}
            ahead |= (kin & waiting) - family
        waiting -= family
        yield sorted(family)


def _own(name: str, book: Book) -> bool:
    """Whether the notice is about the batch itself: not only about what it came from."""
    return book.batches[name].released is not None


def _leave(family: list[str], book: Book) -> Leave | None:
    notices = [one for one in (book.batches[name].released for name in family) if one is not None]
    first = notices[0]  # whatever has a release has it of itself, or of a parent in the family
    at = datetime.fromisoformat(first["at"])
    shares = [one["said"] for one in notices]
    if any(one["alive"] is None for one in notices):
        return None  # nobody counted them
    alive = sum(one["alive"] for one in notices)
    # A notice that states no figure at all is of all that lives.
    said = (first["count"] or alive) if None in shares else sum(shares)
    rooms = {
        book.room(stood.place)
        for name in family
        if _own(name, book)
        for stood in book.standings[name]
        if stood.since <= at and (stood.until is None or stood.until > at)
    }
    gone = sum(_gone(book.batches[name], at, rooms, book) for name in family)
    return Leave(first["notice"], first["entry"], said, alive, gone)


def _gone(batch: Batch, at: datetime, rooms: set[str | None], book: Book) -> int:
    """Return how many plants of a batch left the room since: with a move, or one by one."""
    for stay in batch.stays:
        if stay.since >= at and book.room(stay.place) not in rooms:
            return stay.plants or 0
    before = 0 if batch.released is None else batch.released["out"]
    return batch.ledger.sent + batch.ledger.planted - before


def outside(batch: Batch, book: Book) -> bool:
    """Whether a released batch stands in another room than that in which it was released."""
    past = book.once(histories).get(batch.id)
    if past is None or past.released is None or batch.place is None:
        return False
    at = datetime.fromisoformat(past.released["at"])
    kin = [batch.id, *(name for name in book.ancestors(batch.id) if name in book.batches)]
    rooms = {
        book.room(stood.place)
        for name in kin
        for stood in book.standings[name]
        if stood.since <= at and (stood.until is None or stood.until > at)
    }
    return book.room(batch.place) not in rooms


def odd(batch: Batch, book: Book) -> Iterable[Doubt]:
    """Yield what is odd about a batch's notice: its figures, its day, or what went with it."""
    notice = batch.released
    if notice is None:
        return
    entry = notice["entry"]
    yield from _total(batch, book)
    yield from _too_early(batch, book)
    leave = book.once(of_book).get(batch.id)
    if leave is not None and leave.gone > min(leave.said, leave.alive):
        most = min(leave.said, leave.alive)
        params = {"notice": leave.notice, "most": most, "gone": leave.gone}
        yield Doubt("gone_over_release", (entry,), params)


def _total(batch: Batch, book: Book) -> Iterable[Doubt]:
    """Yield where a notice's whole figure is not what lived; a share that differs tells itself."""
    notice = batch.released or {}
    said, alive = notice["count"], book.once(_lived).get(notice["entry"], 0)
    if said and said != alive and notice["said"] in (None, notice["alive"]):
        about = {
            "notice": notice["notice"],
            "said": said,
            "alive": alive,
            "difference": said - alive,
        }
        yield Doubt("released_differs", (notice["entry"],), about)


def _lived(book: Book) -> Mapping[str, int]:
    """Return how many plants lived, by the entry of the notice that named them."""
    found: dict[str, int] = {}
    for one in book.batches.values():
        if one.released is not None:
            entry = one.released["entry"]
            found[entry] = found.get(entry, 0) + (one.released["alive"] or 0)
    return found


def _too_early(batch: Batch, book: Book) -> Iterable[Doubt]:
    """Yield what the release asked for and was not there on the notice's day.

    What was ordered later is no fault of the notice (rule H-7). The authority may shorten the days,
    so a notice before their end is noted; one before its inspections blocks.
    """
    notice = batch.released or {}
    on = book.day(datetime.fromisoformat(notice["at"]))
    clock = quarantine.clock(batch, book, on)
    if clock is None or clock.started_on is None or clock.started_on > on:
        return
    if clock.earliest is not None and on < clock.earliest:
        about = {"notice": notice["notice"], "earliest": clock.earliest.isoformat()}
        yield Doubt("released_early", (notice["entry"],), about)
    past = book.once(histories)[batch.id]
    by_then = {day: one for day, one in past.inspections.items() if day <= on}
    unmet = visits.inspections(replace(past, inspections=by_then), book, clock.started_on, on).unmet
    if unmet:
        numbers = sorted(str(reason.params["number"]) for reason in unmet)
        about = {"notice": notice["notice"], "numbers": numbers}
        yield Doubt("released_unmet", (notice["entry"],), about)
