"""Plants that went out against a no-go that nobody signed: kept, and asked about (rule V-9)."""

from collections.abc import Iterable
from datetime import date

from nursery.domain.batch import Batch
from nursery.domain.book import Book
from nursery.domain.doubts import Doubt
from nursery.domain.kinds.field import Planted
from nursery.domain.overrides import sound
from nursery.domain.planting.day import Colour, Plants, checks
from nursery.domain.planting.facts import Group, levels_of, of_block, of_day, signed_for

# What soil, sky and pits say of a day that is over. The plants themselves have changed since, and
# what the authority decides is doubted by rules of its own.
OF_THE_DAY = frozenset({"soil", "outlook", "dry_spell", "pits", "heat", "wind", "days_left"})


def odd(batch: Batch, book: Book) -> Iterable[Doubt]:
    """Yield a doubt for each planting into a block that stood at no-go on that day."""
    judged: dict[tuple[str, date], list[str]] = {}
    for one in batch.record.told(Planted):
        block, on = one.body.block, book.day(one.at)
        if (block, on) not in judged:
            judged[block, on] = _stopped(batch, block, on, book)
        if stopped := judged[block, on]:
            yield Doubt("planted_against", (one.entry,), {"checks": stopped})


def _stopped(batch: Batch, block: str, on: date, book: Book) -> list[str]:
    row = book.row("place", block)
    if row is None or not row.holes:
        return []
    group = Group(batch.id, batch.id, (batch,), (block,), on)
    day, blocks = of_day(group, row.holes, book, on), [of_block(block, book, on)]
    found = checks(Plants(0), day, blocks, levels_of(book))
    signed = {key for one in signed_for(group, book) if sound(one, book) for key in one.checks}
    return [
        one.what
        for one in found
        if one.what in OF_THE_DAY and one.colour is Colour.NO and one.key not in signed
    ]
