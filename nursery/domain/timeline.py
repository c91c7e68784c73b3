"""Which entries stand, and in what order.

A correction names the original; all entries with one original form a line; of a line the greatest
id stands. This is a last-writer register for each line over a set that only grows, so every order
of arrival gives the same timeline, and two corrections made apart never add up.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import pairwise
from operator import attrgetter

from nursery.domain.doubts import Doubt
from nursery.domain.entry import Entry
from nursery.domain.kinds.common import Withdrawn


@dataclass(frozen=True, slots=True)
class Timeline:
    """The standing entries, oldest happening first, and what is odd about their lines."""

    entries: tuple[Entry, ...]
    doubts: tuple[Doubt, ...]


def standing(entries: Iterable[Entry]) -> Timeline:
    """Return the timeline of a set of entries (rules B-1 to B-5).

    An entry given twice counts once. Never raises, whatever the corrections name.
    """
    by_id = {entry.id: entry for entry in entries}
    plain: list[Entry] = []
    lines: dict[str, list[Entry]] = {}
    for entry in by_id.values():
        if entry.corrects is None:
            plain.append(entry)
        else:
            lines.setdefault(_original(entry, by_id), []).append(entry)
    doubts: list[Doubt] = []
    stand = [entry for entry in plain if entry.id not in lines]
    for original, corrections in lines.items():
        corrections.sort(key=attrgetter("id"))
        first = by_id.get(original)
        doubts += _odd(original, first, corrections)
        head = corrections[-1] if first is None else max(first, corrections[-1], key=_by_id)
        if not isinstance(head.body, Withdrawn):
            stand.append(head if first is None else replace(head, about=first.about))
    # A withdrawal that names nothing is no fact about plants.
    stand = [entry for entry in stand if not isinstance(entry.body, Withdrawn)]
    stand.sort(key=attrgetter("order"))
    return Timeline(tuple(stand), tuple(doubts))


_by_id = attrgetter("id")


def _original(entry: Entry, by_id: dict[str, Entry]) -> str:
    """Follow `corrects` to the first entry of the line; of a ring, the least id."""
    seen = [entry.id]
    name = entry.corrects
    while name is not None and name in by_id and name not in seen:
        seen.append(name)
        following = by_id[name].corrects
        if following is None:
            return name
        name = following
    return min(seen) if name is None or name in seen else name


def _odd(original: str, first: Entry | None, corrections: list[Entry]) -> Iterable[Doubt]:
    names = tuple(entry.id for entry in corrections)
    if first is None:
        yield Doubt("correction_without_original", (original, *names))
    elif any(set(entry.about) != set(first.about) for entry in corrections):
        yield Doubt("subject_changed", (original, *names))
    if len(corrections) > 1 and not _one_after_another(corrections):
        yield Doubt("contested", (original, *names))


def _one_after_another(corrections: list[Entry]) -> bool:
    """Whether each correction was made by somebody who saw the one before it."""
    return all(later.saw == earlier.id for earlier, later in pairwise(corrections))
