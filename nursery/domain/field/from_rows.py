"""Some rows of the field as their own entries tell them: the whole history of their positions."""

from collections.abc import Callable, Iterable, Mapping
from datetime import date, datetime

from nursery.domain.entry import Entry
from nursery.domain.kinds.field import LeftEmpty, Planted, Refilled, Surveyed, seat
from nursery.domain.occupants import Field, Seats, Told, told_by
from nursery.domain.timeline import standing

_PLACINGS = (Planted, Refilled, LeftEmpty, Surveyed)


def fields(
    seats: Mapping[str, Iterable[Entry]], day: Callable[[datetime], date]
) -> Mapping[str, Field]:
    """Return who stands and stood in some rows, by block; `seats` are the entries about each."""
    found: dict[str, Seats] = {}
    some = [told for name, entries in seats.items() for told in _told(name, entries)]
    for told in sorted(some, key=lambda one: (one.at, one.entry)):
        found.setdefault(told.body.block, Seats(day)).take(told)
    return {block: taken.field for block, taken in sorted(found.items())}


def _told(name: str, entries: Iterable[Entry]) -> Iterable[Told]:
    """Yield what stands of a row's entries, corrections taken into account."""
    for entry in standing(entries).entries:
        body = entry.body
        if isinstance(body, _PLACINGS) and seat(body.block, body.row) == name:
            yield told_by(entry)
