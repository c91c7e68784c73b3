"""What the columns of a file of stock mean, and which heading says which."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from nursery.domain.stock_file.cells import Cell, key


class Field(StrEnum):
    """What a column may mean, in the order of the empty file that is handed out."""

    LABEL = "label"
    CROP = "crop"
    COUNT = "count"
    ESTIMATE = "estimate"
    COUNTED_ON = "counted_on"
    PLACE = "place"
    CONTAINER = "container"
    CELLS = "cells"
    GOODS = "goods"
    ARRIVED_ON = "arrived_on"
    PERMIT = "permit"
    STAGE = "stage"
    LOT = "lot"
    NOTES = "notes"


NEEDED = (Field.LABEL, Field.CROP, Field.COUNT, Field.COUNTED_ON, Field.PLACE)
DAYS = (Field.COUNTED_ON, Field.ARRIVED_ON)


@dataclass(frozen=True, slots=True)
class Sheet:
    """The rows of one sheet of a file; `rows` pairs each with its number in the spreadsheet."""

    headings: tuple[str, ...]
    rows: tuple[tuple[int, tuple[Cell, ...]], ...]


@dataclass(frozen=True, slots=True)
class Wording:
    """How people say things in files, in every language: keys are compared texts.

    `headings` gives what a column means, `stages` a stage, `months` the number of a month by
    the first three letters of its name. `lot` and `arrived` head lines of a note.
    """

    headings: Mapping[str, Field]
    stages: Mapping[str, str]
    months: Mapping[str, int]
    lot: str = "Lot"
    arrived: str = "Arrived"


def taken_as(
    headings: Sequence[str], wording: Wording, said: Mapping[int, Field | None]
) -> dict[int, Field]:
    """Return what each column, by its place, means: as somebody `said`, or as its heading says.

    What stands in brackets is a unit. A meaning is taken once: what was said goes first, then
    the column further to the left.
    """
    taken = {at: field for at, field in said.items() if field is not None}
    for at, heading in enumerate(headings):
        field = wording.headings.get(key(heading.partition("(")[0]))
        if at not in said and field is not None and field not in taken.values():
            taken[at] = field
    return dict(sorted(taken.items()))
