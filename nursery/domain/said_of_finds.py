"""What is said of finds: results of their samples, and the grower's word that it was none."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from nursery.domain import mistaps
from nursery.domain.book import Book
from nursery.domain.doubts import Doubt
from nursery.domain.entry import Entry
from nursery.domain.kinds import health
from nursery.domain.pest_results import GRAVE
from nursery.domain.timeline import Timeline


@dataclass(frozen=True, slots=True)
class Said:
    """What a timeline says, laid out by what it is said of; each list is in its order.

    `samples` are by the find that they name, `routine` by the subjects of those that name none.
    """

    samples: Mapping[str, set[str]] = field(default_factory=dict)
    routine: Mapping[str, set[str]] = field(default_factory=dict)
    results: Mapping[str, list[tuple[int, Entry]]] = field(default_factory=dict)
    lifts: Mapping[str, list[Entry]] = field(default_factory=dict)


def of_line(line: Timeline) -> Said:
    """Return what a timeline says of finds."""
    samples: dict[str, set[str]] = {}
    routine: dict[str, set[str]] = {}
    results: dict[str, list[tuple[int, Entry]]] = {}
    lifts: dict[str, list[Entry]] = {}
    for at, entry in enumerate(line.entries):
        body = entry.body
        if isinstance(body, health.Resulted):
            results.setdefault(body.sample, []).append((at, entry))
        elif isinstance(body, health.Sampled) and body.found is not None:
            find = line.lines.get(body.found, body.found)
            samples.setdefault(find, set()).add(body.sample)
        elif isinstance(body, health.Sampled):
            for name in entry.about:
                routine.setdefault(name, set()).add(body.sample)
        else:
            named = mistaps.find_of(entry)
            if named is not None:
                lifts.setdefault(line.lines.get(named, named), []).append(entry)
    return Said(samples, routine, results, lifts)


def verdicts(find: str, about: Sequence[str], said: Said) -> list[Entry]:
    """Return the results of the samples taken for a find, the latest last.

    A sample that names no find is taken for it if it is about one of its subjects.
    """
    samples = set(said.samples.get(find, ()))
    for name in about:
        samples |= said.routine.get(name, set())
    some = {at: one for sample in samples for at, one in said.results.get(sample, ())}
    return [some[at] for at in sorted(some)]


def lifted(
    find: str, said: Said, verdicts: Sequence[Entry], book: Book
) -> tuple[Entry | None, tuple[Doubt, ...]]:
    """Return the grower's word that it was a mis-tap, and what others said so (rule E-8).

    A result that comes later and says otherwise opens the incident again.
    """
    lift, doubts = None, []
    for entry in said.lifts.get(find, ()):
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
