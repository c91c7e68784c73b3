"""All doubts about a batch: those of its own fold, and those that only the whole book can raise."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from itertools import product

from nursery.domain import (
    all_out,
    exposure,
    labels,
    ordered_acts,
    overrides,
    quarantine,
    release,
    samples,
    treatments,
    unasked,
)
from nursery.domain.batch import Batch
from nursery.domain.book import Book
from nursery.domain.doubts import Doubt
from nursery.domain.families import families
from nursery.domain.field import thinning
from nursery.domain.place import Place
from nursery.domain.planting import against
from nursery.domain.toughening import due as toughening


def of_batch(batch: Batch, book: Book) -> tuple[Doubt, ...]:
    """Return the doubts about a batch, open and settled, in order of id."""
    return tuple(sorted((*batch.doubts, *beyond(batch, book)), key=lambda doubt: doubt.id))


def of_place(place: Place, book: Book) -> tuple[Doubt, ...]:
    """Return the doubts about a place, open and settled, in order of id."""
    wide = (doubt for rule in OF_PLACES for doubt in rule(place, book))
    told = (replace(doubt, settled_by=place.settled.get(doubt.id)) for doubt in wide)
    return tuple(sorted((*place.doubts, *told), key=lambda doubt: doubt.id))


def beyond(batch: Batch, book: Book) -> tuple[Doubt, ...]:
    """Return the doubts about a batch that its own entries do not show."""
    known = book.once(_known)
    if batch.id not in known:
        known[batch.id] = _beyond(batch.id, book)
    return known[batch.id]


def _known(_: Book) -> dict[str, tuple[Doubt, ...]]:
    """The answers so far: of plants that left years ago nobody asks, and they are many."""
    return {}


def _beyond(name: str, book: Book) -> tuple[Doubt, ...]:
    batch = book.batches.get(name)
    if batch is None:
        return ()
    found = dict(book.once(_of_labels).get(name, {}))
    own = {doubt.id for doubt in batch.doubts}
    for doubt in (d for rule in OF_BATCHES for d in rule(batch, book) if d.id not in own):
        found[doubt.id] = replace(doubt, settled_by=batch.settled.get(doubt.id))
    found |= book.once(_of_several).get(name, {})
    return tuple(found[key] for key in sorted(found))


def _of_labels(book: Book) -> Mapping[str, dict[str, Doubt]]:
    found: dict[str, dict[str, Doubt]] = {}
    for name, doubt in labels.twice(book.batches):
        found.setdefault(name, {})[doubt.id] = doubt
    return found


def _of_several(book: Book) -> Mapping[str, dict[str, Doubt]]:
    """Return by batch the doubts about its family and about incidents that name it."""
    found: dict[str, dict[str, Doubt]] = {}
    for family in families(book.batches):
        for name, doubt in product(family.batches, family.doubts):
            found.setdefault(name, {})[doubt.id] = doubt
    for incident in book.once(exposure.incidents):
        for name in incident.about:
            for doubt in incident.doubts:
                found.setdefault(name, {})[doubt.id] = doubt
    return found


def _without_reentry(state: Batch | Place, _: Book) -> Iterable[Doubt]:
    """Yield a doubt for each treatment that states no end of re-entry (rule P-2)."""
    for one in state.record.treatments:
        if one.reentry_until is None:
            yield Doubt("reentry_missing", (one.entry,))


OF_BATCHES: tuple[Callable[[Batch, Book], Iterable[Doubt]], ...] = (
    toughening.against,
    _without_reentry,
    quarantine.too_soon,
    treatments.booked_too_soon,
    treatments.odd,
    release.odd,
    samples.odd,
    unasked.odd,
    ordered_acts.odd,
    overrides.odd,
    against.odd,
)
OF_PLACES: tuple[Callable[[Place, Book], Iterable[Doubt]], ...] = (
    _without_reentry,
    treatments.odd,
    all_out.odd,
    overrides.odd,
    thinning.odd,
)
