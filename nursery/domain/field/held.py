"""What holds the positions of a block (rule F-40)."""

from collections.abc import Mapping

from nursery.domain import holds
from nursery.domain.book import Book
from nursery.domain.field import plan
from nursery.domain.holds import Hold
from nursery.domain.kinds.field import seat
from nursery.domain.occupants import Occupant
from nursery.domain.reference.layouts import Layout, PlantedRow, Stands

Held = Mapping[str, tuple[Hold, ...]]


def positions(layout: Layout, standing: Mapping[str, Occupant], book: Book) -> Held:
    """Return the positions of the crop that are held, each with what holds it."""
    found: dict[str, tuple[Hold, ...]] = {}
    for row in layout.rows:
        if row.stands is Stands.CROP:
            found |= _of_row(layout.id, row, standing, book)
    return found


def _of_row(block: str, row: PlantedRow, standing: Mapping[str, Occupant], book: Book) -> Held:
    place = seat(block, str(row.number))
    names = plan.names(row)
    stood = {name: standing[name].batch if name in standing else None for name in names}
    told = {batch: of_batch(batch, place, book) for batch in set(stood.values())}
    return {name: told[batch] for name, batch in stood.items() if told[batch]}


def of_batch(batch: str | None, place: str, book: Book) -> tuple[Hold, ...]:
    """Return what holds the plants of a batch in a row, or its ground alone where nobody stands.

    An order about other ground holds the batch at every gate, but not the plants that stand here.
    """
    around = book.outward(place)
    every = () if batch is None else book.once(holds.of_book).get(batch, ())
    own = tuple(one for one in every if one.by != "ground_order" or one.place in around)
    told = {name for one in own for name in (one.reference, *one.orders)}
    ground: dict[str, Hold] = {}
    for name in around:
        for reference, since in holds.at_place(name, book).items():
            if reference not in told:
                ground.setdefault(reference, Hold("place_order", reference, since, place=name))
    return (*own, *ground.values())
