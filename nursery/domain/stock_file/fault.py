"""What is amiss in a row: by row, column and value; the sentence with its remedy is a word."""

from dataclasses import dataclass, field
from typing import Any

LONGEST_SHOWN = 80

# Every way in which a cell can be amiss; each has its sentence, with the remedy, in the catalogue.
CODES = (
    "lacks",
    "text_unfit",
    "text_long",
    "sheet_fault",
    "label_signs",
    "label_used",
    "label_twice",
    "unknown",
    "several",
    "no_number",
    "negative",
    "fraction",
    "either_number",
    "too_many",
    "nothing",
    "over_cells",
    "no_flag",
    "no_day",
    "either_day",
    "day_ahead",
    "day_order",
    "day_wanted",
    "stage_seed",
    "permit_differs",
)


@dataclass(frozen=True, slots=True)
class Fault:
    """One cell of one row that keeps its row out. `row` counts from 1 as a spreadsheet does.

    `column` is the code of what the column means, `value` what stands in the cell.
    """

    row: int
    column: str
    value: str
    code: str
    params: dict[str, Any] = field(default_factory=dict)

    def as_json(self) -> dict[str, Any]:
        return {
            "row": self.row,
            "column": self.column,
            "value": self.value,
            "code": self.code,
            "params": self.params,
        }


class Amiss(ValueError):
    """A cell that cannot be read, and why."""

    def __init__(self, code: str, **params: Any) -> None:
        super().__init__(code)
        self.code = code
        self.params = params


def shown(cell: object) -> str:
    """Return what stands in a cell as a person sees it, short enough for a line."""
    return "" if cell is None else str(cell).strip()[:LONGEST_SHOWN]
