"""When people's trainings and licences end, and whether one is in date (rules O-1 to O-3).

A paper without a last day does not end. Its last day still counts.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from nursery.domain.reference.people import Paper, Person


class PaperKind(StrEnum):
    TRAINING = "training"
    LICENCE = "licence"


@dataclass(frozen=True, slots=True)
class End:
    """The last day of one paper of a person; `days` from today on, below zero where it is past."""

    person: str
    name: str
    kind: PaperKind
    what: str
    number: str | None
    until: date
    days: int

    def as_json(self) -> dict[str, object]:
        return {
            "person": self.person,
            "name": self.name,
            "kind": self.kind.value,
            "what": self.what,
            "number": self.number,
            "until": self.until.isoformat(),
            "days": self.days,
        }


def ends(rows: Iterable[Person], today: date, within: int | None = None) -> list[End]:
    """Return the ends of all trainings and licences of the people who work here, soonest first.

    Those that are past are told, as long as no later paper of the same name took their place.
    Rule O-1.

    Args:
        rows: people; who has left by `today` is passed over.
        today: the day in the nursery's zone.
        within: ends that lie more days ahead are left out; None tells all.
    """
    found = [
        _end(person, kind, paper, today)
        for person in rows
        if works(person, today)
        for kind, papers in _papers(person)
        for paper in _latest(papers)
        if paper.until is not None
    ]
    near = [one for one in found if within is None or one.days <= within]
    return sorted(near, key=lambda one: (one.until, one.name, one.kind, one.what))


def works(person: Person, on: date) -> bool:
    """Whether somebody works here on a day."""
    return (person.since is None or person.since <= on) and (
        person.until is None or on <= person.until
    )


def _papers(person: Person) -> tuple[tuple[PaperKind, tuple[Paper, ...]], ...]:
    return ((PaperKind.TRAINING, person.trainings), (PaperKind.LICENCE, person.licences))


def _latest(papers: Iterable[Paper]) -> Iterable[Paper]:
    """Yield of papers of one name the one that is good for longest."""
    best: dict[str, Paper] = {}
    for paper in papers:
        name = paper.what.strip().casefold()
        before = best.get(name)
        if before is None or _last(paper) > _last(before):
            best[name] = paper
    return best.values()


def _last(paper: Paper) -> date:
    return paper.until or date.max


def _end(person: Person, kind: PaperKind, paper: Paper, today: date) -> End:
    until = _last(paper)
    about = (person.id, person.name, kind, paper.what, paper.number, until)
    return End(*about, (until - today) // timedelta(days=1))


class Held(StrEnum):
    """How a person stands to a paper that is asked for: whether they have one on a day."""

    IN_DATE = "in_date"
    NOT_YET = "not_yet"
    ENDED = "ended"
    MISSING = "missing"


def licence(person: Person, on: date) -> tuple[Held, date | None]:
    """Say whether somebody has a licence on a day, and the day that says so (rule O-2).

    Which licence a product asks for, its label and local rules say; here any in date counts.
    """
    return _held(person.licences, on)


def training(person: Person, what: str, on: date) -> tuple[Held, date | None]:
    """Say whether somebody has the training of this name on a day (rule O-3)."""
    name = what.strip().casefold()
    return _held([one for one in person.trainings if one.what.strip().casefold() == name], on)


def _held(papers: Iterable[Paper], on: date) -> tuple[Held, date | None]:
    some = list(papers)
    if not some:
        return Held.MISSING, None
    begun = [one for one in some if one.since is None or one.since <= on]
    if not begun:
        return Held.NOT_YET, min(one.since for one in some if one.since is not None)
    last = max(_last(one) for one in begun)
    if on <= last:
        return Held.IN_DATE, None if last == date.max else last
    return Held.ENDED, last


def papers(person: Person, on: date) -> list[dict[str, object]]:
    """Return all papers of somebody, each with whether it is in date on a day."""
    return [
        {
            "kind": kind.value,
            "what": paper.what,
            "number": paper.number,
            "until": None if paper.until is None else paper.until.isoformat(),
            "in_date": _held([paper], on)[0] is Held.IN_DATE,
        }
        for kind, some in _papers(person)
        for paper in some
    ]
