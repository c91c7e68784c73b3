"""Labels on paper, laid out on the sheets that a nursery buys."""

import io
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

import segno

from nursery.domain import codes
from nursery.domain.reference import LabelSize
from nursery.paper import label_words, typeset
from nursery.paper.errors import LabelsSkipped, LabelsTooMany, LabelTooSmall, NothingToPrint
from nursery.paper.label_layout import lay
from nursery.paper.label_words import Label, Speech
from nursery.services import labelled

TEMPLATE = "labels.typ"
MOST_LABELS = 600
MOST_EACH = 4
# Community nurseries put two on a tray, at opposite corners, because one gets lost. (trade)
USUAL_EACH = 2
ERROR_LEVEL = "Q"


@dataclass(frozen=True, slots=True)
class Wanted:
    """Which batches and places get labels, how many each, and how many of a sheet are used.

    With `each_plant` every living plant of a batch gets one: before they leave for the field. With
    `hold` they are those that say nothing else than that it is held, since when and by whom.
    """

    batches: tuple[str, ...] = ()
    places: tuple[str, ...] = ()
    each: int = USUAL_EACH
    skip: int = 0
    each_plant: bool = False
    hold: bool = False


def sheets(nursery: str, wanted: Wanted, now: datetime) -> bytes:
    """Return a PDF of the labels, in the nursery's size, on as many sheets as they take.

    The same labels on the same day give the same bytes.

    Raises:
        Unknown: there is no such batch or place.
        Refused: one of `nursery.paper.errors`.
    """
    return typeset.pdf(TEMPLATE, *composed(nursery, wanted, now))


def composed(nursery: str, wanted: Wanted, now: datetime) -> tuple[dict[str, Any], Any]:
    """Return what the template is given, and the day that is printed."""
    _of_bearable_number((len(wanted.batches) + len(wanted.places)) * wanted.each)
    facts = labelled.read(nursery, wanted.batches, wanted.places, now)
    times = [_times(one, wanted) for one in facts.batches] + [wanted.each] * len(facts.places)
    _of_bearable_number(sum(times))
    house = facts.house
    if wanted.skip >= house.size.on_sheet:
        raise LabelsSkipped(wanted.skip, house.size.on_sheet)
    speech = Speech(house)
    if wanted.hold:
        made = [label_words.of_held(one, speech) for one in facts.batches]
        made += [label_words.of_held(one, speech) for one in facts.places]
    else:
        made = [label_words.of_batch(one, speech) for one in facts.batches]
        made += [label_words.of_place(one, speech) for one in facts.places]
    drawn = [
        one
        for label, some in zip(made, times, strict=True)
        for one in [_drawn(label, house.size, speech)] * some
    ]
    width, height = house.size.paper
    sheet = {
        "title": speech.say("labels.title", name=house.name),
        "language": speech.language,
        "date": {"year": house.today.year, "month": house.today.month, "day": house.today.day},
        "paper": {"width": width, "height": height},
        "pages": list(_pages(drawn, house.size, wanted.skip)),
    }
    return sheet, house.today


def _times(facts: labelled.BatchFacts, wanted: Wanted) -> int:
    return max(0, facts.batch.alive or 0) if wanted.each_plant else wanted.each


def _of_bearable_number(many: int) -> None:
    """Raise what speaks against so many labels.

    Raises:
        NothingToPrint: there are none.
        LabelsTooMany: one file does not take so many.
    """
    if many == 0:
        raise NothingToPrint
    if many > MOST_LABELS:
        raise LabelsTooMany(many, MOST_LABELS)


def _drawn(label: Label, size: LabelSize, speech: Speech) -> dict[str, Any]:
    symbol = segno.make_qr(
        codes.write(label.code), error=ERROR_LEVEL, mode="alphanumeric", boost_error=False
    )
    modules = len(symbol.matrix)
    room = lay(size, modules, len(label.lines))
    if room is None:
        raise LabelTooSmall(label.word, size.width_mm, size.height_mm)
    picture = io.BytesIO()
    symbol.save(picture, kind="svg", border=0, xmldecl=False, svgns=True)
    kept = label.lines[: room.many]
    return {
        "sign": label.sign,
        "word": label.word,
        "wraps": label.wraps,
        "band": {"says": list(label.band), "share": label.band_share},
        # What a line of a batch is stands above what it came with, though it is dropped first.
        "lines": [
            {"says": says, "bold": bold} for says, bold in sorted(kept, key=lambda one: not one[1])
        ],
        "code": {
            "svg": picture.getvalue().decode(),
            "side": round(room.code.width, 3),
            "alt": speech.say("labels.code", what=label.spoken),
        },
        "lay": {
            "sign": room.sign.as_json(),
            "lines": room.lines.as_json(),
            "code": room.code.as_json(),
            "letter": round(room.letter, 3),
        },
    }


def _pages(
    drawn: Sequence[dict[str, Any]], size: LabelSize, skip: int
) -> Iterator[list[dict[str, Any]]]:
    """Yield the labels of each sheet with their corners; the first sheet begins after `skip`."""
    corners = list(size.corners())
    begin = skip
    left = list(drawn)
    while left:
        free = corners[begin:]
        some, left = left[: len(free)], left[len(free) :]
        yield [
            {**one, "x": round(x, 3), "y": round(y, 3)}
            for one, (x, y) in zip(some, free, strict=False)
        ]
        begin = 0
