"""The layout of a block: what it would be, and its positions as a file."""

import csv
import io
from collections.abc import Iterator
from typing import Any

from nursery.domain.assembled import fields
from nursery.domain.book import Book
from nursery.domain.field import gaps, held, laid_out, positions
from nursery.domain.occupants import Occupant
from nursery.domain.reference import read as read_row
from nursery.domain.reference.layouts import Layout, Stands
from nursery.services import outlook
from nursery.services.errors import Unknown
from nursery.store.scope import scope

SQUARE_METRES = 10_000.0


def preview(nursery: str, ident: str, asked: dict[str, Any]) -> dict[str, Any]:
    """Return the layout that somebody asks for, with its figures; nothing is kept.

    Raises:
        Unknown: there is no such place.
        Refusal: what the ground or the rows cannot be.
    """
    book = _book(nursery)
    if book.row("place", ident) is None:
        raise Unknown("place", ident)
    site = next((row for _, row in book.rows_of("site")), None)
    made = laid_out.asked(asked, None if site is None else site.latitude)
    body = {**made, "crop": asked["crop"]} if asked.get("crop") else made
    row = read_row("layout", ident, body)
    if not isinstance(row, Layout):
        raise TypeError(row)
    return {"body": body, "figures": figures(row, book)}


def figures(layout: Layout, book: Book) -> dict[str, Any]:
    """Return what a layout holds, and how many plants are short against what is at hand."""
    crop = [row for row in layout.rows if row.stands is Stands.CROP]
    holes = sum(row.holes for row in crop)
    some = gaps.reserve(layout, book) if layout.crop else []
    free = sum(one["plants"] for one in some if one["why"] is None)
    area = layout.area_m2
    return {
        "rows": len(crop),
        "positions": holes,
        "shelter_rows": len(layout.rows) - len(crop),
        "shelter": sum(row.holes for row in layout.rows) - holes,
        "per_hectare": _by_distances(layout),
        "on_area": None if area is None else holes * SQUARE_METRES / area,
        "area_m2": area,
        "at_hand": free if layout.crop else None,
        "short": max(0, holes - free) if layout.crop else None,
        "standing": len(standing(layout, book)),
    }


def _by_distances(layout: Layout) -> float | None:
    if layout.in_row_m is None or layout.between_m is None:
        return None
    distances = (layout.in_row_m, layout.between_m)
    return laid_out.Spacing(*distances, layout.pattern.value, layout.pair_m).per_hectare()


def standing(layout: Layout, book: Book) -> dict[str, Occupant]:
    """Return who was put last into each position of a block."""
    found = fields(book.batches.values(), book.places.values(), book.day).get(layout.id)
    return {} if found is None else dict(found.standing)


def as_csv(nursery: str, ident: str) -> str:
    """Return every position of a block as one table.

    Raises:
        Unknown: the place is not laid out.
    """
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(positions.COLUMNS)
    writer.writerows(positions.cells(one) for one in _told(nursery, ident))
    return out.getvalue()


def as_geojson(nursery: str, ident: str) -> dict[str, Any]:
    """Return every position of a block as a point.

    Raises:
        Unknown: the place is not laid out.
    """
    return positions.as_geojson(iter(_told(nursery, ident)))


def _told(nursery: str, ident: str) -> list[dict[str, Any]]:
    book = _book(nursery)
    layout = book.row("layout", ident)
    if not isinstance(layout, Layout):
        raise Unknown("layout", ident)
    return list(told(layout, book))


def told(layout: Layout, book: Book) -> Iterator[dict[str, Any]]:
    """Yield every position of a block, as it is written into a file."""
    labels = {name: batch.label or name for name, batch in book.batches.items()}
    stands = standing(layout, book)
    yield from positions.told(layout, stands, held.positions(layout, stands, book), labels)


def _book(nursery: str) -> Book:
    with scope(nursery) as rows:
        return outlook.read_book(rows)
