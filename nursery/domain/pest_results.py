"""Results of a laboratory that say a pest is there, whether somebody suspected it or not.

A sample may be routine, asked for by a permit or taken for something else. What it proves holds as
a suspicion does, until the authority says otherwise (rule E-10).
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime

from nursery.domain.book import Book
from nursery.domain.entry import Entry
from nursery.domain.kinds import health
from nursery.domain.kinds.health import Verdict
from nursery.domain.terms import listed
from nursery.domain.timeline import Timeline

# Results that make a suspicion of a find, whatever its maker thought.
GRAVE = frozenset((Verdict.REPORTED, Verdict.PRESUMPTIVE, Verdict.CONFIRMED))


@dataclass(frozen=True, slots=True)
class Proof:
    """A grave result; `about` is all that its sample was taken from, `find` what it was taken for.

    Of a sample that nobody took it is what the result itself is about. `names` are all ids by which
    an order may name it.
    """

    id: str
    at: datetime
    by: str
    sample: str
    about: tuple[str, ...]
    taken_at: datetime
    find: str | None
    verdict: str
    pest: str | None
    names: frozenset[str]


def of_line(line: Timeline, book: Book) -> Iterator[Proof]:
    """Yield every grave result in the order in which they came, by its latest grave version."""
    told: dict[str, list[Entry]] = {}
    for entry in sorted({one.id: one for one in book.finds}.values(), key=lambda one: one.id):
        told.setdefault(line.lines.get(entry.id, entry.id), []).append(entry)
    stands = {line.lines.get(one.id, one.id): one for one in line.entries}
    taken: dict[str, list[Entry]] = {}
    for entry in line.entries:
        if isinstance(entry.body, health.Sampled):
            taken.setdefault(entry.body.sample, []).append(entry)
    found = [
        _proof(name, grave, frozenset(one.id for one in versions), taken, line)
        for name, versions in told.items()
        if (grave := _grave(versions, stands.get(name), book)) is not None
    ]
    yield from sorted(found, key=lambda one: (one.at, one.id))


def _grave(versions: list[Entry], stands: Entry | None, book: Book) -> Entry | None:
    """Return the version of a result that counts as grave, if one does.

    Whoever is no grower takes none of it back: a slip is the grower's to mend.
    """
    if stands is not None and _is_grave(stands, book):
        return stands
    grave = [one for one in versions if _is_grave(one, book)]
    mended = versions[-1].confirmed and versions[-1].author in book.growers
    return grave[-1] if grave and not mended else None


def _is_grave(entry: Entry, book: Book) -> bool:
    """A pest that is on no list holds nothing; one that nobody named may be any."""
    body = entry.body
    if not isinstance(body, health.Resulted) or body.verdict not in GRAVE:
        return False
    pests = listed(book.every_term, book.day(entry.occurred_at))
    unknown = book.conditions and (body.pest is None or not pests)
    return unknown or body.pest in pests


def _proof(
    name: str,
    grave: Entry,
    names: frozenset[str],
    taken: Mapping[str, list[Entry]],
    line: Timeline,
) -> Proof:
    body: health.Resulted = grave.body
    samples = taken.get(body.sample, [])
    about = [one for sample in samples for one in sample.about] or grave.about
    finds = {one.body.found for one in samples} - {None}
    find = min(finds, default=None)
    return Proof(
        id=name,
        at=grave.occurred_at,
        by=grave.author,
        sample=body.sample,
        about=tuple(dict.fromkeys(about)),
        taken_at=min((one.occurred_at for one in samples), default=grave.occurred_at),
        find=None if find is None else line.lines.get(find, find),
        verdict=body.verdict.value,
        pest=body.pest,
        names=names | {name},
    )
