"""The order in which a round is safely walked: clean before doubtful (rules I-1, I-2).

The phone orders its round by the same rules (`frontend/src/log/round.ts`); both are held to
`tests/vectors/round-order.json`.
"""

import re
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import cmp_to_key

from nursery.domain import holds
from nursery.domain.batch import Batch
from nursery.domain.book import Book
from nursery.domain.due_check import Check

# Why a batch comes late on a round, the gravest last. (Common practice, no source.)
GRAVITY = ("", "mixed", "held", "suspect")
# A lost label puts nothing beside it in doubt: only what is graver moves a whole room.
MOVES_ROOM = frozenset(("held", "suspect"))
# What these ask for stays until it is done.
STAYS = frozenset(("look_elsewhere", "replace_trap"))
PIECES = re.compile(r"\d+|\D+")
NO_TURN = 2**53


@dataclass(frozen=True, slots=True)
class Turn:
    """A batch on a round, or with `batch` None a place in which nothing of ours stands.

    `asked` says whether a look-over of it is due; `doubt` is one of `GRAVITY`.
    """

    batch: str | None
    label: str
    place: str
    alive: int | None
    doubt: str = ""
    asked: bool = False


@dataclass(frozen=True, slots=True)
class RoomTurns:
    """One room of a round; `room` is empty for what stands in no place."""

    room: str
    turns: tuple[Turn, ...]

    @property
    def grave(self) -> bool:
        return any(turn.doubt in MOVES_ROOM for turn in self.turns)


def of_book(book: Book, checks: Iterable[Check], now: datetime) -> tuple[RoomTurns, ...]:
    """Return every room with living plants, and each place to be looked over, as it is walked."""
    open_now = [check for check in checks if is_open(check, now)]
    asked = {check.subject for check in open_now if check.kind == "look_over"}
    elsewhere = {check.subject for check in open_now if check.kind == "look_elsewhere"}
    held = book.once(holds.of_book)
    rooms: dict[str, list[Turn]] = {}
    for batch in book.batches.values():
        if batch.closed or batch.alive == 0:
            continue
        room = book.room(batch.place) or ""
        due = batch.id in asked or room in elsewhere
        rooms.setdefault(room, []).append(_turn(batch, held, asked=due))
    for place in elsewhere - rooms.keys():
        rooms[place] = [Turn(None, "", place, None, asked=True)]
    return in_order(rooms, walk(book))


def is_open(check: Check, now: datetime) -> bool:
    """Whether a check can be answered now, and nothing has answered it."""
    in_time = now <= check.due_by or check.kind in STAYS
    return check.open and check.opens_at <= now and in_time


def _turn(batch: Batch, held: Collection[str], *, asked: bool) -> Turn:
    doubt = doubt_of(bool(batch.open_finds), batch.id in held, batch.one_of_parents)
    label = batch.label or batch.id
    return Turn(batch.id, label, batch.place or "", batch.alive, doubt, asked)


def doubt_of(suspect: bool, held: bool, mixed: bool) -> str:  # noqa: FBT001  # a table of three
    """Return the gravest reason why a batch comes late."""
    if suspect:
        return "suspect"
    if held:
        return "held"
    return "mixed" if mixed else ""


def in_order(
    rooms: Mapping[str, Collection[Turn]], steps: Mapping[str, int]
) -> tuple[RoomTurns, ...]:
    """Order rooms and what stands in each; `steps` counts places as they are walked."""

    def step(place: str) -> int:
        return steps.get(place, len(steps))

    def turn_key(turn: Turn) -> tuple[object, ...]:
        return GRAVITY.index(turn.doubt), step(turn.place), label_key(turn.label), turn.batch or ""

    found = [RoomTurns(room, tuple(sorted(some, key=turn_key))) for room, some in rooms.items()]
    return tuple(sorted(found, key=lambda one: (one.grave, step(one.room), one.room)))


def walk(book: Book) -> dict[str, int]:
    """Return the step of each place on a walk through all of them: outer before inner.

    Siblings go by their own turn, then by name. Places in a ring of parents come last.
    """
    rows = dict(book.rows_of("place"))

    def turn(name: str) -> tuple[int, str]:
        row = rows[name]
        return (NO_TURN if row.walk is None else row.walk, row.name + name)

    inside: dict[str | None, list[str]] = {}
    for name in sorted(rows, key=turn):
        parent = rows[name].parent
        inside.setdefault(parent if parent in rows else None, []).append(name)
    found: dict[str, None] = {}
    waiting = list(reversed(inside.get(None, ())))
    while waiting:
        name = waiting.pop()
        found.setdefault(name)
        waiting += reversed([one for one in inside.get(name, ()) if one not in found])
    for name in sorted(rows, key=turn):
        found.setdefault(name)
    return {name: at for at, name in enumerate(found)}


def by_label(one: str, other: str) -> int:
    """Compare labels: T2 comes before T10, since figures in a label count as figures.

    >>> sorted(["T10", "T2", "TR1", "T"], key=cmp_to_key(by_label))
    ['T', 'T2', 'T10', 'TR1']
    """
    pieces, others = PIECES.findall(one), PIECES.findall(other)
    for piece, beside in zip(pieces, others, strict=False):
        if piece.isdecimal() and beside.isdecimal() and int(piece) != int(beside):
            return int(piece) - int(beside)
        if piece != beside:
            return -1 if piece < beside else 1
    return len(pieces) - len(others)


label_key = cmp_to_key(by_label)
