"""Positions by their names: in which row of a layout each lies, and for which batch it is meant."""

from collections.abc import Iterator, Mapping

from nursery.domain.field.filling import Place
from nursery.domain.kinds.field import SHELTER, seat
from nursery.domain.reference.layouts import Layout, PlantedRow, Stands


def names(row: PlantedRow) -> Iterator[str]:
    """Yield the names of a row's positions, from the painted end.

    >>> row = PlantedRow(2, 13, 3)
    >>> list(names(row)), list(names(PlantedRow(3, 1, 2, Stands.SHELTER)))
    (['13', '14', '15'], ['S1', 'S2'])
    """
    before = SHELTER if row.stands is Stands.SHELTER else ""
    return (f"{before}{n}" for n in range(row.first, row.first + row.holes))


def seats(layout: Layout) -> Mapping[str, PlantedRow]:
    """Return the rows of a layout by the subjects that keep who stands in them."""
    return {seat(layout.id, str(row.number)): row for row in layout.rows}


def crop_rows(layout: Layout) -> Iterator[PlantedRow]:
    """Yield the rows that are planted from batches, in the order of the layout."""
    return (row for row in layout.rows if row.stands is Stands.CROP)


def places(layout: Layout) -> Mapping[str, Place]:
    """Return where each position of the crop lies: its row among the crop's, and along that row."""
    return {
        name: Place(across, along)
        for across, row in enumerate(crop_rows(layout), start=1)
        for along, name in enumerate(names(row), start=1)
    }


def meant(layout: Layout) -> Mapping[str, str]:
    """Return the batch that each position is meant for, where one is."""
    return {str(n): one.batch for one in layout.meant for n in range(one.first, one.last + 1)}
