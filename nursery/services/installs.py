"""What the server knows about each installation of the app, so that it can see loss.

An install numbers its entries, and every call reports what is still unsent: a hole in the numbers,
or a phone that fell silent with records on it, is seen and not guessed.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta

from nursery.domain import numbers
from nursery.domain.kinds.shape import LONGEST_NAME
from nursery.store import each_push
from nursery.store.models import AccessRow, InstallRow
from nursery.store.scope import Scope

WRONG_PIN = "wrong_pin"
MOST_TILES = 200
MOST_TRIES = 1_000_000


@dataclass(frozen=True, slots=True)
class Outbox:
    """What a phone says about itself with every push.

    `unsent` counts what this very push carries as well; `n_max` is the highest number given.
    `wrong_pins` counts by person how often a wrong PIN was typed on this install, ever. `epoch` is
    of the book that it has a copy of, None where that is not asked.
    """

    install: str
    device: str
    app: str = ""
    persisted: bool | None = None
    unsent: int = 0
    photos: int = 0
    n_max: int = 0
    oldest: datetime | None = None
    skew: timedelta | None = None
    wrong_pins: Mapping[str, int] = field(default_factory=dict)
    epoch: str | None = None


def note(
    book: Scope, outbox: Outbox, sent: int, came: Iterable[int], now: datetime
) -> list[list[int]]:
    """Note what an install sent and what it still holds; return the holes in its numbers.

    Called under the head's lock, so two pushes of one install come one after the other.

    Args:
        book: the rows of the nursery, under its head's lock.
        outbox: what the phone says of itself.
        sent: how many texts this push carries.
        came: the numbers among them that the install gave.
        now: the instant of the push.
    """
    row = each_push.install(book.key, outbox.install)
    new = row is None
    if row is None:
        row = InstallRow(nursery_id=book.key, ident=outbox.install, device=outbox.device)
        replaced(book, [outbox.device], now)
    row.n_max, row.n_missing = numbers.take(row.n_max, row.n_missing, came)
    if outbox.unsent <= sent and outbox.n_max > row.n_max:
        # It holds nothing more, so what it numbered above is gone from it and has not come.
        row.n_missing = [*row.n_missing, [row.n_max + 1, outbox.n_max]]
        row.n_max = outbox.n_max
    row.unsent = outbox.unsent
    row.photos_unsent = outbox.photos
    row.oldest_unsent_at = _keepable(outbox.oldest)
    row.persisted = outbox.persisted
    row.app = outbox.app
    row.skew_ms = None if outbox.skew is None else round(outbox.skew.total_seconds() * 1000)
    row.last_seen_at = now
    row.wrong_pins = _wrong_pins(book, row, outbox, now)
    if new:
        row.save()
    else:
        each_push.keep_install(row)
    return list(row.n_missing)


def _wrong_pins(book: Scope, row: InstallRow, outbox: Outbox, now: datetime) -> dict[str, int]:
    """Return the counts of wrong PINs, and write down by how much each rose."""
    known = dict(row.wrong_pins)
    for person, n in list(outbox.wrong_pins.items())[:MOST_TILES]:
        more = min(n, MOST_TRIES) - known.get(person, 0)
        if more > 0 and len(person) <= LONGEST_NAME:
            known[person] = known.get(person, 0) + more
            AccessRow.objects.create(
                nursery_id=book.key,
                at=now,
                did=WRONG_PIN,
                role="phone",
                ident=outbox.device,
                person=person,
                of=str(more),
            )
    return known


def _keepable(moment: datetime | None) -> datetime | None:
    """Return a moment in UTC; None for one at the rim of the calendar, that no database takes."""
    try:
        return None if moment is None else moment.astimezone(UTC)
    except OverflowError:
        return None


def replaced(book: Scope, devices: Iterable[str], now: datetime) -> None:
    """Note that phones began anew: what their earlier installs still held may be lost."""
    book.installs.filter(device__in=list(devices), replaced_at=None).update(replaced_at=now)
