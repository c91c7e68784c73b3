"""All lives of a nursery in the order of time, written on the phones of its people."""

from collections import deque
from collections.abc import Iterator
from datetime import date, datetime, timedelta
from heapq import heappop, heappush
from random import Random  # noqa: TID251  drawn from a seed, outside the core

import orjson

from nursery.domain.entry import write_instant
from nursery.ops.large import act, frame
from nursery.ops.large.act import Act, Typed
from nursery.ops.large.begun import Cuttings, Seed
from nursery.ops.large.frame import House
from nursery.ops.large.goods import Goods
from nursery.ops.large.life import Life, Plan
from nursery.ops.large.size import Size
from nursery.services.in_bulk import Pushed, RowTyped

# Which lives begin how often, and in which months, from January.
SHARES: dict[type[Life], float] = {Goods: 0.45, Seed: 0.3, Cuttings: 0.25}
RHYTHM: dict[type[Life], tuple[int, ...]] = {
    Goods: (1, 1, 6, 2, 1, 1, 1, 6, 6, 2, 1, 0),
    Seed: (1, 4, 6, 4, 1, 0, 0, 1, 4, 3, 1, 1),
    Cuttings: (1, 1, 1, 2, 6, 6, 4, 1, 1, 1, 1, 1),
}
# How often a phone comes home without signal, and an author's PIN was not typed.
NO_SIGNAL, UNCONFIRMED = 0.04, 0.002
EVENING = timedelta(hours=19, minutes=30)
MOST_AT_ONCE = 200

Begun = tuple[type[Life], Plan]


def last_day(years: int) -> date:
    """Return the day before which everything in a book of so many years has happened."""
    return act.BEGINS + timedelta(days=365 * years + years // 4)


def lives(size: Size, number: int) -> list[Begun]:
    """Return the lives that make up nursery `number`, by their first day.

    So many that they reach its share of the entries, and not one more.
    """
    entries = size.share(number)
    house = frame.house(number, entries, size.years)
    draw = Random(f"{size.seed} {house.ident} starts")  # noqa: S311  an invented book
    end = act.instant(last_day(size.years), 0)
    found: list[Begun] = []
    reached = 0
    while reached < entries:
        (kind,) = draw.choices(list(SHARES), list(SHARES.values()))
        plan = Plan(size.seed, house, len(found) + 1, _start(draw, kind, size.years))
        told = kind(plan).told()
        reached += sum(isinstance(one, Act) and one.at < end for one in told)
        found.append((kind, plan))
    return sorted(found, key=lambda one: (one[1].starts, one[1].number))


def _start(draw: Random, kind: type[Life], years: int) -> date:
    """Return a working day of a year in which such lives often begin."""
    (month,) = draw.choices(range(1, 13), RHYTHM[kind])
    day = date(act.BEGINS.year + draw.randrange(years), month, draw.randint(7, 28))
    return day - timedelta(days=max(0, day.weekday() - 4))


def in_order(begun: list[Begun]) -> Iterator[Act | Typed]:
    """Yield what happens in all lives in the order of time; a life is told once it begins."""
    waiting = deque(begun)
    heap: list[tuple[datetime, str, int, Act | Typed, Iterator[Act | Typed]]] = []

    def go_on(number: int, rest: Iterator[Act | Typed]) -> None:
        one = next(rest, None)
        if one is not None:
            heappush(heap, (one.at, one.ident, number, one, rest))

    while waiting or heap:
        while waiting and (not heap or act.instant(waiting[0][1].starts, 0) <= heap[0][0]):
            kind, plan = waiting.popleft()
            go_on(plan.number, iter(kind(plan).told()))
        _, _, number, one, rest = heappop(heap)
        yield one
        go_on(number, rest)


class _Phone:
    """A phone that two people share: it numbers what it writes, and holds it until the evening."""

    def __init__(self, house: House, number: int, draw: Random) -> None:
        self.device, self.install = f"d-{number}", f"i-{number}"
        self.draw = draw
        self.skew = draw.randint(-2500, 2500)
        self.n = self.based_on = 0
        self.held: list[str] = []

    def write(self, one: Act) -> None:
        """Keep the text of a record, as the app writes it."""
        self.n += 1
        entry = {
            "id": one.ident, "v": 1, "kind": one.kind, "about": one.about,
            "occurred_at": write_instant(one.at), "offset_min": act.OFFSET_MIN, "by_hand": False,
            "author": one.by, "confirmed": self.draw.random() >= UNCONFIRMED,
            "device": self.device, "install": self.install, "n": self.n,
            "based_on": self.based_on, "skew_ms": self.skew, "corrects": one.corrects,
            "salt": f"{self.draw.getrandbits(64):016x}", "body": one.body,
        }  # fmt: skip
        self.held.append(orjson.dumps(entry).decode())

    def sync(self, at: datetime, last: int) -> Iterator[Pushed]:
        """Send all that is held, at most 200 at once; the book has `last` lines by then."""
        for start in range(0, len(self.held), MOST_AT_ONCE):
            some = self.held[start : start + MOST_AT_ONCE]
            yield Pushed(self.device, self.install, some, at)
        self.based_on = last + len(self.held)
        self.held = []


def told(size: Size, number: int) -> Iterator[Pushed | RowTyped]:
    """Yield what the book of nursery `number` takes in, in the order in which it comes."""
    entries = size.share(number)
    house = frame.house(number, entries, size.years)
    draw = Random(f"{size.seed} {house.ident} phones")  # noqa: S311  an invented book
    phones = [_Phone(house, n, draw) for n in range(1, 2 + (house.workers + 1) // 2)]
    carried = {one: phones[(n + 1) // 2] for n, one in enumerate(house.people)}
    lines = written = 0
    for typed in frame.rows(house):
        yield _row(typed)
        lines += 1
    today = act.BEGINS
    for one in in_order(lives(size, number)):
        day = (one.at + timedelta(minutes=act.OFFSET_MIN)).date()
        if day != today:
            for push in _evening(phones, today, draw, lines):
                yield push
                lines += len(push.texts)
            today = day
        if isinstance(one, Typed):
            yield _row(one)
            lines += 1
            continue
        carried[one.by].write(one)
        written += 1
        if written == entries:
            break
    for push in _evening(phones, today, None, lines):
        yield push


def _row(one: Typed) -> RowTyped:
    return RowTyped(one.type, one.ident, one.body, one.at)


def _evening(phones: list[_Phone], day: date, draw: Random | None, lines: int) -> Iterator[Pushed]:
    """Let the phones of a day send what they hold, one after the other.

    Some have no signal; without `draw` all of them have it.
    """
    at = act.instant(day, 0) + EVENING
    for number, phone in enumerate(phones):
        if phone.held and (draw is None or draw.random() >= NO_SIGNAL):
            held = len(phone.held)
            yield from phone.sync(at + timedelta(minutes=3 * number), lines)
            lines += held
