"""The labels that a nursery buys: how large one is, and how they lie on their sheet (rule R-4)."""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from nursery.domain.kinds.shape import Count
from nursery.domain.reference.fields import Gap, Side

USUAL_WIDTH, USUAL_HEIGHT = Side(70.0), Side(37.0)
NO_GAP = Gap(0.0)
# One side is at least this long in mm: beside or below the code there is the word.
LONGER_SIDE = 40.0
# Rounding of inches to tenths of a millimetre, over a whole sheet.
SLACK_MM = 0.6


class Stock(StrEnum):
    """What the printer is fed with: a sheet of paper, or single labels on a roll."""

    A4 = "a4"
    LETTER = "letter"
    ROLL = "roll"


# Width and height in mm: ISO 216, and 8.5 x 11 in.
_PAPERS = {Stock.A4: (210.0, 297.0), Stock.LETTER: (215.9, 279.4)}


@dataclass(frozen=True, slots=True)
class LabelSize:
    """One label in mm, and where on the sheet labels lie; all lengths in mm.

    Without `columns` or `rows` there are as many as fit; without `left_mm` or `top_mm` they lie in
    the middle. The size given where a nursery names none is 70 x 37 mm, 24 without gaps on an A4
    sheet: no margin can be set wrongly, and plain paper is cut to it by straight cuts. (Common
    practice, no source.)
    """

    width_mm: Side = USUAL_WIDTH
    height_mm: Side = USUAL_HEIGHT
    stock: Stock = Stock.A4
    columns: Count | None = None
    rows: Count | None = None
    left_mm: Gap | None = None
    top_mm: Gap | None = None
    gap_across_mm: Gap = NO_GAP
    gap_down_mm: Gap = NO_GAP

    @property
    def paper(self) -> tuple[float, float]:
        """Width and height of the sheet; of a roll, of the label itself."""
        return _PAPERS.get(self.stock, (self.width_mm, self.height_mm))

    @property
    def across(self) -> int:
        """Labels beside each other on a sheet."""
        if self.stock is Stock.ROLL:
            return 1
        given = self.left_mm or 0.0
        return _fitting(self.columns, self.paper[0] - given, self.width_mm, self.gap_across_mm)

    @property
    def down(self) -> int:
        """Labels below each other on a sheet."""
        if self.stock is Stock.ROLL:
            return 1
        given = self.top_mm or 0.0
        return _fitting(self.rows, self.paper[1] - given, self.height_mm, self.gap_down_mm)

    @property
    def on_sheet(self) -> int:
        return self.across * self.down

    def corners(self) -> Iterator[tuple[float, float]]:
        """Yield the upper left corner of each label on a sheet: along a row, then down."""
        if self.stock is Stock.ROLL:
            yield 0.0, 0.0
            return
        wide = _length(self.across, self.width_mm, self.gap_across_mm)
        high = _length(self.down, self.height_mm, self.gap_down_mm)
        left = (self.paper[0] - wide) / 2 if self.left_mm is None else self.left_mm
        top = (self.paper[1] - high) / 2 if self.top_mm is None else self.top_mm
        for row in range(self.down):
            for column in range(self.across):
                yield (
                    left + column * (self.width_mm + self.gap_across_mm),
                    top + row * (self.height_mm + self.gap_down_mm),
                )

    def impossible(self) -> Iterator[tuple[str, float]]:
        """Yield the fields by which a word has no room, or labels do not lie on their sheet."""
        if max(self.width_mm, self.height_mm) < LONGER_SIDE:
            yield "width_mm", self.width_mm
        if self.stock is Stock.ROLL:
            return
        ways = (
            ("width_mm", self.width_mm, "columns", self.across, self.left_mm, self.gap_across_mm),
            ("height_mm", self.height_mm, "rows", self.down, self.top_mm, self.gap_down_mm),
        )
        for (side, length, many, n, before, gap), room in zip(ways, self.paper, strict=True):
            if (before or 0.0) + length > room + SLACK_MM:
                yield side, length
            elif n == 0 or (before or 0.0) + _length(n, length, gap) > room + SLACK_MM:
                yield many, n


def _fitting(given: int | None, room: float, side: float, gap: float) -> int:
    if given is not None:
        return given
    return int((room + gap + SLACK_MM) // (side + gap))


def _length(n: int, side: float, gap: float) -> float:
    return n * side + (n - 1) * gap
