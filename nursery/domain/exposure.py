"""What a find puts in doubt: the plants that shared its room, and the places to look at.

A find opens an incident and makes an exposed set; a breach opens one, holds its room until the
authority decides, and exposes nobody. Everything is worked out from finds and stays, so that a stay
that arrives a day late is exposed as well, and an exposure never makes another (rules E-1 to E-11).
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from nursery.domain import breaches, contacts, holding, look_back, pest_results, said_of_finds
from nursery.domain.book import Book
from nursery.domain.breaches import Breach
from nursery.domain.contacts import Contact, Elsewhere, Spell
from nursery.domain.doubts import Doubt
from nursery.domain.entry import Entry, write_instant
from nursery.domain.holding import Case, Held
from nursery.domain.kinds import health, place
from nursery.domain.pest_results import GRAVE, Proof
from nursery.domain.said_of_finds import Said
from nursery.domain.terms import listed
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


@dataclass(frozen=True, slots=True)
class Incident:
    """A find or a breach, and what follows from it.

    `exposed` are the batches that a find puts in doubt, lifted or not; `held` are those that it
    holds now. `since` is how far back the exposed set reaches. `ring` are the places where people
    of its rooms worked as well, or its tools or water are used: to be looked at, never held.
    `mistap` says that it was the grower who lifted it.
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
    sample: str | None = None
    exposed: tuple[str, ...] = ()
    held: tuple[Held, ...] = ()
    ring: tuple[Elsewhere, ...] = ()
    open: bool = True
    lifted_by: str | None = None
    mistap: bool = False
    ended_at: datetime | None = None
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
                    "things": list(one.things),
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
    said = said_of_finds.of_line(line)
    told: dict[str, list[Entry]] = {}
    for entry in sorted({one.id: one for one in book.finds}.values(), key=lambda one: one.id):
        if isinstance(entry.body, health.Found):
            told.setdefault(line.lines.get(entry.id, entry.id), []).append(entry)
    rooms: dict[str, list[Contact]] = {}
    found = [_of_find(name, versions, said, rooms, book) for name, versions in told.items()]
    every = [one for one in found if one is not None]
    for proof in pest_results.of_line(line, book):
        holder = next((at for at, one in enumerate(every) if _covers(one, proof)), None)
        if holder is None:
            every.append(_of_result(proof, rooms, book))
        elif every[holder].sample is not None:
            pest = proof.pest or every[holder].pest
            every[holder] = replace(every[holder], verdict=proof.verdict, pest=pest)
    every += [_of_breach(e, line, book) for e in line.entries if isinstance(e.body, place.Breached)]
    every.sort(key=lambda one: (one.at, one.id))
    return tuple(_with_rings(every, rooms, book))


def _with_rings(
    some: Iterable[Incident], rooms: Mapping[str, list[Contact]], book: Book
) -> Iterator[Incident]:
    """Yield incidents with where else people of their rooms worked; a breach has no such place."""
    spells = {one.id: Spell(one.since, one.at) for one in some if one.id in rooms}
    worked = contacts.hands(spells.values(), book)
    for one in some:
        spell = spells.get(one.id)
        found = () if spell is None else contacts.elsewhere(rooms[one.id], spell, worked, book)
        yield replace(one, ring=tuple(found)) if found else one


def concerned(finds: Sequence[Entry], book: Book) -> frozenset[str]:
    """Return every batch and place that some entries may open an incident about.

    Whether they do rests on terms and on the entries alone, so the batches of `book` need not be
    there; of several thousand finds a few do.
    """
    bare = Book(book.zone, {}, {}, book.rows, finds)
    named = {name for one in incidents(bare) for name in one.about}
    proofs = pest_results.of_line(standing(finds), bare)
    return frozenset(named.union(*(one.about for one in proofs)))


def _of_find(
    name: str, versions: list[Entry], said: Said, stood: dict[str, list[Contact]], book: Book
) -> Incident | None:
    """Return the incident of one line of finds, told by its latest version that is one.

    `stood` is told in which rooms its plants were.
    """
    about = versions[0].about
    verdicts = said_of_finds.verdicts(name, about, said)
    grave = any(one.body.verdict in GRAVE for one in verdicts)
    pests = listed(book.every_term, book.day(versions[-1].occurred_at))
    opening = [e for e in versions if grave or e.body.suspicion or e.body.pest in pests]
    if not opening:
        return None
    told = opening[-1]
    at = told.occurred_at
    batches = contacts.may_be((one for one in about if one in book.batches), book)
    seats = sorted(one for one in about if one in book.rooms)
    since = look_back.since(batches, seats, at, book)
    rooms = stood[name] = _rooms(batches, seats, since, at, book)
    lift, doubts = said_of_finds.lifted(name, said, verdicts, book)
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
        by=told.doer,
        about=about,
        rooms=names,
        since=since,
        pest=verdicts[-1].body.pest if verdicts and verdicts[-1].body.pest else told.body.pest,
        verdict=verdicts[-1].body.verdict.value if verdicts else None,
        exposed=whole,
        held=holding.held(case, whole, book) if lift is None else (),
        open=ended is None,
        lifted_by=None if ended is None else ended[1],
        mistap=lift is not None,
        ended_at=until,
        doubts=doubts,
    )


def _rooms(
    batches: Iterable[str], seats: Iterable[str], since: datetime, at: datetime, book: Book
) -> list[Contact]:
    rooms = contacts.rooms_of(batches, since, at, book)
    return rooms + [Contact(book.rooms[seat], since) for seat in seats]


def _covers(incident: Incident, proof: Proof) -> bool:
    """Return whether an incident holds already what a result is about, for all that it says.

    One that the grower called a mis-tap does not, nor one that ended before (rule E-10).
    """
    before = proof.find is None and incident.at <= proof.taken_at
    its_own = before or incident.id == proof.find
    running = incident.ended_at is None or incident.ended_at > proof.at
    whole = set(proof.about) <= set(incident.about)
    return (
        (its_own or incident.sample == proof.sample) and running and whole and not incident.mistap
    )


def _of_result(proof: Proof, stood: dict[str, list[Contact]], book: Book) -> Incident:
    """Return the incident of a grave result of a sample that no suspicion was behind (E-10)."""
    batches = contacts.may_be((one for one in proof.about if one in book.batches), book)
    seats = sorted(one for one in proof.about if one in book.rooms)
    since = look_back.since(batches, seats, proof.taken_at, book)
    rooms = stood[proof.id] = _rooms(batches, seats, since, proof.at, book)
    names = tuple(sorted({contact.room for contact in rooms}))
    case = Case(proof.id, proof.at, names, proof.names)
    core = contacts.exposed(batches, rooms, since, proof.at, book)
    ended = holding.ended(case, core, book)
    until, lift = (None, None) if ended is None else ended
    whole = contacts.exposed(batches, rooms, since, until, book)
    told = {"sample": proof.sample, "verdict": proof.verdict, "pest": proof.pest}
    return Incident(
        id=proof.id,
        kind="find",
        at=proof.at,
        by=proof.by,
        about=proof.about,
        rooms=names,
        since=since,
        pest=proof.pest,
        verdict=proof.verdict,
        sample=proof.sample,
        exposed=whole,
        held=holding.held(case, whole, book),
        open=ended is None,
        lifted_by=lift,
        ended_at=until,
        doubts=(Doubt("pest_result", (proof.id,), told),) if ended is None else (),
    )


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
        by=entry.doer,
        about=entry.about,
        rooms=rooms,
        since=case.at,
        held=held,
        open=decided is None,
        lifted_by=decided,
        breach=breaches.of_line(name, entry, line),
    )
