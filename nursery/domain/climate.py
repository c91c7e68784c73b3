"""What instruments read in each room, day by day.

A thermometer that keeps them gives a day's lowest and highest as figures of their own; without one
they are the least and the most of at least two readings of the air.
"""

from collections.abc import Iterator, Mapping
from datetime import date, datetime
from typing import NamedTuple

from nursery.domain.batch import Batch
from nursery.domain.book import Book, Standing
from nursery.domain.record import Figure

AIR, LOWEST, HIGHEST = "air_c", "air_low_c", "air_high_c"
OF_AIR = frozenset((AIR, LOWEST, HIGHEST))
# No air of a room is colder or hotter, in °C: such a figure was mistyped, and says nothing.
COLDEST, HOTTEST = -50.0, 100.0

Figures = Mapping[date, list[float]]
NO_FIGURES: Figures = {}


class Span(NamedTuple):
    """The lowest and the highest of a figure on one day."""

    low: float
    high: float

    @property
    def middle(self) -> float:
        return (self.low + self.high) / 2


def spans(room: str, what: str, book: Book) -> Mapping[date, Span]:
    """Return the days of a room on which a figure is known (rule C-9)."""
    known = book.once(_spans)
    if (room, what) not in known:
        read = book.once(_read)
        some = read.get((room, what), NO_FIGURES)
        if what == AIR:
            lows, highs = (read.get((room, end), NO_FIGURES) for end in (LOWEST, HIGHEST))
            days = {*some, *lows, *highs}
            ends = {day: _air(*(of.get(day, []) for of in (some, lows, highs))) for day in days}
            known[room, what] = {day: span for day, span in ends.items() if span is not None}
        else:
            known[room, what] = {day: Span(min(of), max(of)) for day, of in some.items()}
    return known[room, what]


def _air(read: list[float], lows: list[float], highs: list[float]) -> Span | None:
    """Return the ends of a day's air; one reading alone says neither."""
    if len(read) < 2 and not (lows and highs):
        return None
    low, high = min(read + lows), max(read + highs)
    return Span(low, high) if low <= high else None


def _spans(_: Book) -> dict[tuple[str, str], Mapping[date, Span]]:
    return {}


def _read(book: Book) -> dict[tuple[str, str], dict[date, list[float]]]:
    """Return every figure by room, by what it is and by its day."""
    found: dict[tuple[str, str], dict[date, list[float]]] = {}
    for room, figure in _everywhere(book):
        if figure.what in OF_AIR and not COLDEST <= figure.value <= HOTTEST:
            continue
        by_day = found.setdefault((room, figure.what), {})
        by_day.setdefault(book.day(figure.at), []).append(figure.value)
    return found


def _everywhere(book: Book) -> Iterator[tuple[str, Figure]]:
    for name, place in book.places.items():
        for figure in place.record.figures:
            yield book.rooms[name], figure
    for batch in book.batches.values():
        for figure in batch.record.figures:
            room = room_at(batch, figure.at, book)
            if room is not None:
                yield room, figure


def room_at(batch: Batch, at: datetime, book: Book) -> str | None:
    """Return the room in which a batch stood at an instant."""
    stood = (one for one in book.standings[batch.id] if one.since <= at)
    return next(
        (book.room(one.place) for one in stood if one.until is None or at <= one.until), None
    )


def rooms_of(batch: str, book: Book) -> "Rooms":
    """Return where a batch stood, and before its birth what it came from."""
    own = [_Stood.of(one, book) for one in book.standings[batch]]
    kin = [
        _Stood.of(one, book)
        for name in book.ancestors(batch)
        for one in book.standings.get(name, ())
    ]
    return Rooms(tuple(own), tuple(kin))


class _Stood(NamedTuple):
    room: str
    first: date
    last: date

    @classmethod
    def of(cls, standing: Standing, book: Book) -> "_Stood":
        last = date.max if standing.until is None else book.day(standing.until)
        room = book.rooms.get(standing.place, standing.place)
        return cls(room, book.day(standing.since), last)


class Rooms(NamedTuple):
    own: tuple[_Stood, ...]
    kin: tuple[_Stood, ...]

    def on(self, day: date) -> frozenset[str]:
        """Return every room in which the plants stood on a day."""
        for some in (self.own, self.kin):
            found = frozenset(one.room for one in some if one.first <= day <= one.last)
            if found:
                return found
        return frozenset()

    @property
    def every(self) -> frozenset[str]:
        return frozenset(one.room for one in (*self.own, *self.kin))
