"""What a find puts in doubt: the plants that shared its room, and the places to look at.

A find opens an incident and makes an exposed set; a breach opens one, holds its room until the
authority decides, and exposes nobody. Everything is worked out from finds and stays, so that a stay
that arrives a day late is exposed as well, and an exposure never makes another (rules E-1 to E-9).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from nursery.domain import breaches, conditions, contacts, holding, mistaps
from nursery.domain.book import Book
from nursery.domain.breaches import Breach
from nursery.domain.contacts import Contact, Elsewhere
from nursery.domain.doubts import Doubt
from nursery.domain.entry import Entry, write_instant
from nursery.domain.holding import Case, Held
from nursery.domain.kinds import health, place
from nursery.domain.kinds.health import Answer, Verdict
from nursery.domain.terms import LookBack, listed
from nursery.domain.timeline import Timeline, standing

# All entries of these kinds are asked for, whether they stand or not: a suspicion that a worker
# corrects or withdraws stays one, since only the grower lifts a mis-tap.
KINDS = (
    "found",
    "breached",
    "sampled",
    "resulted",
    "settled",
    "told",
    "withdrawn",
    "repaired",
    "described",
)

# Results that make a suspicion of a find, whatever its maker thought.
GRAVE = frozenset((Verdict.REPORTED, Verdict.PRESUMPTIVE, Verdict.CONFIRMED))


@dataclass(frozen=True, slots=True)
class Incident:
    """A find or a breach, and what follows from it.

    `exposed` are the batches that a find puts in doubt, lifted or not; `held` are those that it
    holds now. `since` is how far back the exposed set reaches. `ring` are the places where people
    of its rooms worked as well: to be looked at, never held by themselves.
    """

    id: str
    kind: str
    at: datetime
    by: str
    about: tuple[str, ...]
    rooms: tuple[str, ...]
    since: datetime
    pest: str | None = None
    verdict: str | None = None
    exposed: tuple[str, ...] = ()
    held: tuple[Held, ...] = ()
    ring: tuple[Elsewhere, ...] = ()
    open: bool = True
    lifted_by: str | None = None
    doubts: tuple[Doubt, ...] = ()
    breach: Breach | None = None

    @property
    def provisional(self) -> bool:
        return any(held.provisional for held in self.held)

    def as_json(self) -> dict[str, Any]:
        return {
            "id": self.id,
            "kind": self.kind,
            "at": write_instant(self.at),
            "by": self.by,
            "about": list(self.about),
            "rooms": list(self.rooms),
            "since": write_instant(self.since),
            "pest": self.pest,
            "verdict": self.verdict,
            "open": self.open,
            "provisional": self.provisional,
            "exposed": list(self.exposed),
            "held": [held.as_json() for held in self.held],
            "ring": [
                {
                    "place": one.place,
                    "people": list(one.people),
                    "last_at": write_instant(one.last_at),
                }
                for one in self.ring
            ],
            "lifted_by": self.lifted_by,
            "breach": None if self.breach is None else self.breach.as_json(),
        }


def incidents(book: Book) -> tuple[Incident, ...]:
    """Return every incident of a book, in order of happening.

    The result is the same for every order of `book.finds` and any repetition.
    """
    line = standing(book.finds)
    told: dict[str, list[Entry]] = {}
    for entry in sorted({one.id: one for one in book.finds}.values(), key=lambda one: one.id):
        if isinstance(entry.body, health.Found):
            told.setdefault(line.lines.get(entry.id, entry.id), []).append(entry)
    found = [_of_find(name, versions, line, book) for name, versions in told.items()]
    found += [_of_breach(e, line, book) for e in line.entries if isinstance(e.body, place.Breached)]
    return tuple(sorted((one for one in found if one), key=lambda one: (one.at, one.id)))


def _of_find(name: str, versions: list[Entry], line: Timeline, book: Book) -> Incident | None:
    """Return the incident of one line of finds, told by its latest version that is one."""
    about = versions[0].about
    verdicts = _verdicts(name, about, line)
    grave = any(one.body.verdict in GRAVE for one in verdicts)
    pests = listed(book.every_term, book.day(versions[-1].occurred_at))
    opening = [e for e in versions if grave or e.body.suspicion or e.body.pest in pests]
    if not opening:
        return None
    told = opening[-1]
    at = told.occurred_at
    batches = contacts.may_be((one for one in about if one in book.batches), book)
    seats = sorted(one for one in about if one in book.rooms)
    since = _look_back(batches, seats, at, book)
    rooms = contacts.rooms_of(batches, since, at, book)
    rooms += [Contact(book.rooms[seat], since) for seat in seats]
    lift, doubts = _lifted(name, line, verdicts, book)
    names = tuple(sorted({contact.room for contact in rooms}))
    case = Case(name, at, names, frozenset(entry.id for entry in versions))
    core = contacts.exposed(batches, rooms, since, at, book)
    ended = holding.ended(case, core, book) if lift is None else (lift.occurred_at, lift.id)
    until = None if ended is None else ended[0]
    whole = contacts.exposed(batches, rooms, since, until, book)
    return Incident(
        id=name,
        kind="find",
        at=at,
        by=told.author,
        about=about,
        rooms=names,
        since=since,
        pest=verdicts[-1].body.pest if verdicts and verdicts[-1].body.pest else told.body.pest,
        verdict=verdicts[-1].body.verdict.value if verdicts else None,
        exposed=whole,
        held=holding.held(case, whole, book) if lift is None else (),
        ring=tuple(contacts.elsewhere(rooms, since, at, book)),
        open=ended is None,
        lifted_by=None if ended is None else ended[1],
        doubts=doubts,
    )


def _verdicts(find: str, about: tuple[str, ...], line: Timeline) -> list[Entry]:
    """Return the results of the samples taken for a find, the latest last.

    A sample that names no find is taken for it if it is about one of its subjects.
    """
    samples = {
        entry.body.sample
        for entry in line.entries
        if isinstance(entry.body, health.Sampled)
        and (
            not set(about).isdisjoint(entry.about)
            if entry.body.found is None
            else line.lines.get(entry.body.found, entry.body.found) == find
        )
    }
    return [
        e for e in line.entries if isinstance(e.body, health.Resulted) and e.body.sample in samples
    ]


def _lifted(
    find: str, line: Timeline, verdicts: list[Entry], book: Book
) -> tuple[Entry | None, tuple[Doubt, ...]]:
    """Return the grower's word that it was a mis-tap, and what others said so (rule E-8).

    A result that comes later and says otherwise opens the incident again.
    """
    lift, doubts = None, []
    for entry in line.entries:
        named = mistaps.find_of(entry)
        if named is None or line.lines.get(named, named) != find:
            continue
        if mistaps.counts(entry, book.growers):
            lift = entry
        else:
            doubts.append(Doubt("not_the_growers", (entry.id,), {"find": find, "by": entry.author}))
    if lift is not None and any(
        one.body.verdict in GRAVE and _later(one, lift) for one in verdicts
    ):
        lift = None
    return lift, tuple(doubts)


def _later(one: Entry, other: Entry) -> bool:
    return (one.occurred_at, one.id) > (other.occurred_at, other.id)


def _look_back(batches: Sequence[str], seats: Sequence[str], at: datetime, book: Book) -> datetime:
    """Return from when on plants count as exposed: as the term says, or since the last clean look.

    A look of the same day is of the same round as the find, so it proves nothing (rule E-3).
    """
    day = book.day(at)
    near = list(batches)
    for seat in seats:
        near += [
            s.batch
            for s in book.in_room.get(book.rooms[seat], ())
            if s.overlaps(at, None) and s.since <= at
        ]
    days = [
        rule.days
        for name in near
        for _, rule in conditions.of_batch(name, LookBack, day, book)
        if rule.days is not None
    ]
    if days:
        return min(at, book.start_of(day - timedelta(days=max(days))))
    return min([at, *(_last_clean(name, day, at, book) for name in near)])


def _last_clean(batch: str, day: date, at: datetime, book: Book) -> datetime:
    """Return the last clean look before a day; where there is none, when the plants came."""
    record = book.batches[batch].record
    clean = [one.at for one in record.looks if one.answer is Answer.NOTHING]
    clean += [one.at for one in record.inspections if one.answer is Answer.NOTHING]
    clean = [moment for moment in clean if book.day(moment) < day]
    if clean:
        return max(clean)
    kin = [book.batches[name] for name in book.ancestors(batch) if name in book.batches]
    began = [one.began_at for one in (*kin, book.batches[batch]) if one.began_at is not None]
    return min(began, default=at)


def _of_breach(entry: Entry, line: Timeline, book: Book) -> Incident:
    """Return the incident of a breach: its rooms are held till the authority decides (rule E-7)."""
    name = entry.corrects or entry.id
    rooms = tuple(sorted({book.rooms[one] for one in entry.about if one in book.rooms}))
    case = Case(name, entry.occurred_at, rooms, frozenset((name, entry.id)))
    inside = [
        s.batch for room in rooms for s in book.in_room.get(room, ()) if s.overlaps(case.at, None)
    ]
    decided = holding.decided(case, book)
    held = () if decided else holding.undecided(case, sorted(set(inside)), book)
    return Incident(
        id=name,
        kind="breach",
        at=case.at,
        by=entry.author,
        about=entry.about,
        rooms=rooms,
        since=case.at,
        held=held,
        open=decided is None,
        lifted_by=decided,
        breach=breaches.of_line(name, entry, line),
    )
