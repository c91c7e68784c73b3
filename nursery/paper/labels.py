"""Labels on paper: a word as large as can be, a code, and what does not go stale.

No count, no hold and no stage stands on a label: they change, and a label is believed.
"""

import io
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

import segno

from nursery.domain import codes
from nursery.domain.batch import Batch
from nursery.domain.codes import Code, What
from nursery.domain.reference import LabelSize, PlaceKind
from nursery.paper import typeset
from nursery.paper.errors import (
    LabelLacks,
    LabelsSkipped,
    LabelsTooMany,
    LabelTooSmall,
    NothingToPrint,
)
from nursery.paper.label_layout import lay
from nursery.services import labelled, words
from nursery.services.labelled import BatchFacts, House, PlaceFacts

TEMPLATE = "labels.typ"
MOST_LABELS = 600
MOST_EACH = 4
# Community nurseries put two on a tray, at opposite corners, because one gets lost. (trade)
USUAL_EACH = 2
ERROR_LEVEL = "Q"
DOT = " · "

STAIRS = frozenset((PlaceKind.BLOCK, PlaceKind.TERRACE, PlaceKind.ROW))
BENCHES = frozenset((PlaceKind.BENCH, PlaceKind.BED, PlaceKind.TRAY_POSITION))


@dataclass(frozen=True, slots=True)
class Wanted:
    """Which batches and places get labels, how many each, and how many of a sheet are used.

    With `each_plant` every living plant of a batch gets one: before they leave for the field.
    """

    batches: tuple[str, ...] = ()
    places: tuple[str, ...] = ()
    each: int = USUAL_EACH
    skip: int = 0
    each_plant: bool = False


@dataclass(frozen=True, slots=True)
class Label:
    """One label in words: its sign with the word in it, and lines, the most needed first."""

    code: Code
    sign: str
    word: str
    spoken: str
    lines: tuple[tuple[str, bool], ...]


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
    speech = _Speech(house)
    made = [_of_batch(one, speech) for one in facts.batches]
    made += [_of_place(one, speech) for one in facts.places]
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


class _Speech:
    """What is said on labels, in the first language of the nursery that has a catalogue."""

    def __init__(self, house: House) -> None:
        known = (one for one in house.languages if one in words.languages())
        self.language = next(known, "en")
        on = house.today
        self.printed = self.say("labels.printed", on=on.isoformat(), year=str(on.year))

    def say(self, key: str, **params: object) -> str:
        return words.say(self.language, key, params)


def _of_batch(facts: BatchFacts, speech: _Speech) -> Label:
    batch = facts.batch
    if batch.label is None:
        raise LabelLacks(batch.id)
    sign = sign_of(batch)
    # What tells look-alikes apart, and what the law asks for, stand where no end is cut off.
    what = DOT.join(filter(None, (facts.cultivar, facts.crop)))
    came = DOT.join((*facts.permits, *facts.consignments))
    return Label(
        Code(What.BATCH, batch.id),
        sign,
        batch.label,
        speech.say(_SPOKEN[sign], label=batch.label),
        _lines((came, False), (what, True), (DOT.join(facts.stands), False), speech=speech),
    )


_SPOKEN = {"tray": "name.tray", "mixed": "name.mixed", "pots": "name.batch"}


def sign_of(batch: Batch) -> str:
    """Return how a batch is drawn; the phone's `shapeOf` draws it likewise."""
    if batch.one_of_parents:
        return "mixed"
    return "pots" if batch.container and not batch.cells else "tray"


def _of_place(facts: PlaceFacts, speech: _Speech) -> Label:
    place = facts.place
    word = place.short or place.name
    sign = "house"
    if place.kind in STAIRS:
        sign = "stair"
    elif place.kind in BENCHES:
        sign = "bench"
    elif place.kind is PlaceKind.TRAP:
        sign = "trap"
    return Label(
        Code(What.PLACE, place.id),
        sign,
        word,
        speech.say("name.place", label=word),
        _lines((place.name, True), (DOT.join(facts.inside), False), speech=speech),
    )


def _lines(*lines: tuple[str, bool], speech: _Speech) -> tuple[tuple[str, bool], ...]:
    return (*(line for line in lines if line[0]), (speech.printed, False))


def _drawn(label: Label, size: LabelSize, speech: _Speech) -> dict[str, Any]:
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
