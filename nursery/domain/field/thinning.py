"""Shelter trees felled where plants are held, without the authority's consent (rule F-16)."""

from collections.abc import Iterable
from datetime import datetime

from nursery.domain import holds
from nursery.domain.batch import Batch
from nursery.domain.book import Book
from nursery.domain.doubts import Doubt
from nursery.domain.kinds.field import Planted, Refilled, Thinned
from nursery.domain.place import Place

# What the authority accepts by it.
CONSENT = "thinning"


def odd(place: Place, book: Book) -> Iterable[Doubt]:
    """Yield a doubt for each thinning of a block of which plants were held then, and still are."""
    told = [one for one in place.record.happenings if isinstance(one.body, Thinned)]
    if not told:
        return
    held = book.once(holds.of_book)
    here = [one for one in book.batches.values() if one.id in held and _stands_in(one, place.id)]
    for one in told:
        by = {
            hold.reference
            for batch in here
            for hold in held[batch.id]
            if hold.since <= one.at and not _consented(batch, one.at)
        }
        if by:
            params = {"act": "thinned", "held_by": sorted(by)}
            yield Doubt("against_hold", (one.entry,), params)


def _stands_in(batch: Batch, block: str) -> bool:
    told = (one.body for one in batch.record.happenings)
    return any(isinstance(body, Planted | Refilled) and body.block == block for body in told)


def _consented(batch: Batch, at: datetime) -> bool:
    return any(one.what == CONSENT and one.at <= at for one in batch.record.acceptances)
