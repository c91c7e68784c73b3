"""What is wrong with a file, told with the row and the column that it stands in."""

from dataclasses import dataclass, field
from typing import Any


@dataclass(frozen=True, slots=True)
class Trouble:
    """`code` has words in the catalogue; `row` counts from 1 as a spreadsheet does.

    A grave one lets nothing of the file in; the others say what was left out or assumed.
    """

    code: str
    row: int | None = None
    column: str | None = None
    params: dict[str, Any] = field(default_factory=dict)
    grave: bool = True

    def as_json(self) -> dict[str, Any]:
        return {
            "code": self.code,
            "row": self.row,
            "column": self.column,
            "params": self.params,
            "grave": self.grave,
        }


class Unreadable(ValueError):
    """Nothing can be shown of such a file; it bears the one trouble that says why."""

    def __init__(self, trouble: Trouble) -> None:
        super().__init__(trouble.code)
        self.trouble = trouble
