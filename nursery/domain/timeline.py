"""Which entries stand, and in what order.

A correction names the original; all entries with one original form a line; of a line the greatest
id stands. This is a last-writer register for each line over a set that only grows, so every order
of arrival gives the same timeline, and two corrections made apart never add up.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise
from operator import attrgetter

from nursery.domain.doubts import Doubt
from nursery.domain.entry import Entry
from nursery.domain.kinds.common import Unread, Withdrawn

_by_id = attrgetter("id")
_in_order = attrgetter("occurred_at", "id")


@dataclass(frozen=True, slots=True)
class Timeline:
    """The standing entries, oldest happening first, and what is odd about their lines.

    `lines` leads from the id of each correction to the id of its line's original, so that a later
    entry may name a fact by any id that its maker had on screen.
    """

    entries: tuple[Entry, ...]
    doubts: tuple[Doubt, ...]
    lines: Mapping[str, str]


def standing(entries: Iterable[Entry]) -> Timeline:
    """Return the timeline of a set of entries (rules B-1 to B-7).

    An entry given twice counts once. Never raises, whatever the corrections name.
    """
    by_id = _once(entries)
    lines = _lines(by_id)
    corrections: dict[str, list[Entry]] = {}
    for name, original in lines.items():
        corrections.setdefault(original, []).append(by_id[name])
    doubts: list[Doubt] = []
    stand = [e for e in by_id.values() if e.corrects is None and e.id not in corrections]
    for original, line in corrections.items():
        line.sort(key=_by_id)
        first = by_id.get(original) if original not in lines else None
        doubts += _odd(original, first, line)
        head = _head(original, first, line)
        stand.append(head)
        doubts += (unread(e) for e in line if e.id > head.id)
    # A withdrawal that names nothing is no fact about plants.
    stand = [e for e in stand if type(e.body) is not Withdrawn]
    stand.sort(key=_in_order)
    return Timeline(tuple(stand), tuple(doubts), lines)


def unread(entry: Entry) -> Doubt:
    """Return the doubt of an entry whose body this version cannot read."""
    code = "newer_version" if entry.body.why in ("kind", "version") else "unreadable_body"
    return Doubt(code, (entry.id,), {"kind": entry.kind, "field": entry.body.why})


def _once(entries: Iterable[Entry]) -> dict[str, Entry]:
    """Return the entries by id; of two texts under one id, always the same one (rule B-1)."""
    by_id: dict[str, Entry] = {}
    for entry in entries:
        known = by_id.setdefault(entry.id, entry)
        if known is not entry and known != entry:
            by_id[entry.id] = min(known, entry, key=repr)
    return by_id


def _lines(by_id: Mapping[str, Entry]) -> dict[str, str]:
    """Return the original of each correction.

    A correction that names a correction belongs to the line of that one's original. Of a ring, in
    which everything corrects something else, the least id stands for the original.
    """
    lines: dict[str, str] = {}
    for entry in by_id.values():
        path: dict[str, int] = {}
        name, following = entry.id, entry.corrects
        while following is not None and name not in lines and name not in path:
            path[name] = len(path)
            name = following
            following = by_id[name].corrects if name in by_id else None
        if name in path:
            name = min(list(path)[path[name] :])
        lines.update(dict.fromkeys(path, lines.get(name, name)))
    return lines


def _head(original: str, first: Entry | None, line: list[Entry]) -> Entry:
    """Return what stands of a line: about the original's subjects, and seen as it saw.

    Ignorance opens no gate: a correction that this version cannot read leaves what it corrects,
    an order to hold for one, standing until it can be read (rule B-9).

    `saw` of a correction names the head that was corrected; what its maker had on screen when the
    fact was made is the original's.
    """
    told = line if first is None else [first, *line]
    head = max(
        (e for e in told if type(e.body) is not Unread), key=_by_id, default=max(told, key=_by_id)
    )
    if first is None:
        return head._replace(corrects=original)
    return head._replace(about=first.about, saw=first.saw, corrects=original)


def _odd(original: str, first: Entry | None, line: list[Entry]) -> Iterator[Doubt]:
    """Yield what a person must look at in a line of corrections sorted by id (rules B-5 to B-7).

    Each fork is a doubt of its own, so that a later correction opens no settled one again.
    """
    if first is None:
        yield Doubt("correction_without_original", (original, *map(_by_id, line)))
    elif any(set(entry.about) != set(first.about) for entry in line):
        yield Doubt("subject_changed", (original, *map(_by_id, line)))
    # By a phone whose clock was behind: the correction would be passed over without a word.
    outranked = first is not None and first.id > line[0].id
    told = sorted([first, *line], key=_by_id) if first is not None and outranked else line
    for earlier, later in pairwise(told):
        if later.saw != earlier.id:
            yield Doubt("contested", (original, earlier.id, later.id))
