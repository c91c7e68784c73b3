"""Which gaps of a block are filled, and with which plants of the reserve (rules F-7, F-13)."""

from typing import Any

from nursery.domain import holds, quarantine
from nursery.domain.batch import Batch
from nursery.domain.book import Book, gone
from nursery.domain.field import plan
from nursery.domain.field.filling import filling
from nursery.domain.occupants import Field
from nursery.domain.reference.layouts import Layout
from nursery.domain.toughening import course


def of_block(layout: Layout, field: Field, book: Book) -> dict[str, Any]:
    """Return the gaps to fill in walking order, those that are left, and the reserve by batch."""
    some = reserve(layout, book)
    free = sum(one["plants"] for one in some if one["why"] is None)
    found = filling(field, plan.places(layout), layout.fill, free)
    return {
        "holes": list(found.holes),
        "left": list(found.left),
        "reserve": some,
        "free": free,
        "short": found.short,
    }


def reserve(layout: Layout, book: Book) -> list[dict[str, Any]]:
    """Return the living plants of the block's crop that stand in no field, and why some may not go.

    `why` is `held` or `not_released`; None where nothing stands against planting them (F-13).
    """
    held = book.once(holds.of_book)
    crops = {layout.crop} if layout.crop else _planted_crops(layout, book)
    return [
        {
            "batch": name,
            "label": batch.label,
            "plants": batch.alive,
            "why": "held" if name in held else _not_released(batch, book),
        }
        for name, batch in sorted(book.batches.items(), key=lambda one: one[1].label or one[0])
        if (batch.alive or 0) > 0 and not gone(batch) and course.crop_of(batch, book) in crops
    ]


def _planted_crops(layout: Layout, book: Book) -> set[str | None]:
    some = {batch for batch in plan.meant(layout).values() if batch in book.batches}
    return {course.crop_of(book.batches[name], book) for name in some}


def _not_released(batch: Batch, book: Book) -> str | None:
    clock = quarantine.clock(batch, book)
    return "not_released" if clock is not None and not clock.released else None
