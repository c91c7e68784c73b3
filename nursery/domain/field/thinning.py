"""Shelter trees felled on held ground or over held plants without consent (rules F-16, F-29)."""

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
    """Yield a doubt for each thinning of a block whose ground or plants are held since before."""
    told = place.record.told(Thinned)
    if not told:
        return
    held = book.once(holds.of_book)
    here = [one for one in book.batches.values() if one.id in held and _stands_in(one, place.id)]
    ground = holds.around(place.id, book)
    for one in told:
        by = {
            hold.reference
            for batch in here
            for hold in held[batch.id]
            if hold.since <= one.at and not _consented(batch, one.at)
        }
        by |= {
            reference
            for reference, since in ground.items()
            if since <= one.at and not _consented(place, one.at)
        }
        if by:
            params = {"act": "thinned", "held_by": sorted(by)}
            yield Doubt("against_hold", (one.entry,), params)


def _stands_in(batch: Batch, block: str) -> bool:
    return any(one.body.block == block for one in batch.record.told(Planted, Refilled))


def _consented(subject: Batch | Place, at: datetime) -> bool:
    return any(one.what == CONSENT and one.at <= at for one in subject.record.acceptances)
