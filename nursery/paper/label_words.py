"""What stands on labels: a word as large as can be, a code, and what does not go stale.

No count and no stage stands on a label: they change, and a label is believed. That plants are held
does, with the day since when: whoever has the tray in hand must know it without a phone. When a
hold has ended, its labels are taken off, and the sheet of labels says which.
"""

from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from nursery.domain.batch import Batch
from nursery.domain.codes import Code, What
from nursery.domain.entry import write_instant
from nursery.domain.reference import Place, PlaceKind
from nursery.paper.errors import LabelLacks, NotHeld
from nursery.services import words
from nursery.services.held_now import HeldNow
from nursery.services.labelled import BatchFacts, House, PlaceFacts
from nursery.services.word_forms import House as Manner

DOT = " · "
STAIRS = frozenset((PlaceKind.BLOCK, PlaceKind.TERRACE, PlaceKind.ROW))
BENCHES = frozenset((PlaceKind.BENCH, PlaceKind.BED, PlaceKind.TRAY_POSITION))
# How much of a sign's height the words "do not move" take: on a tray's own label, and on one that
# is there for nothing else.
BAND_BESIDE, BAND_ALONE = 0.42, 0.66

Lines = tuple[tuple[str, bool], ...]


@dataclass(frozen=True, slots=True)
class Label:
    """One label in words: its sign with the word in it, and lines, the most needed first.

    `band` are the words in white on black above the sign, a line each; none where nothing holds it.
    Lines that `wraps` are told whole, on as many lines of print as they take.
    """

    code: Code
    sign: str
    word: str
    spoken: str
    lines: Lines
    band: tuple[str, ...] = ()
    band_share: float = 0.0
    wraps: bool = False


class Speech:
    """What is said on labels, in the first language of the nursery that has a catalogue."""

    def __init__(self, house: House) -> None:
        known = (one for one in house.languages if one in words.languages())
        self.language = next(known, "en")
        self._zone = ZoneInfo(house.zone)
        self._manner = Manner(house.zone, today=house.today)
        on = house.today
        self.printed = self.say("labels.printed", on=on.isoformat(), year=str(on.year))

    def dated(self, at: datetime) -> dict[str, str]:
        """Return day, year and hour of an instant, for a sentence that is read years later."""
        local = at.astimezone(self._zone)
        return {
            "on": local.date().isoformat(),
            "year": str(local.year),
            "at": write_instant(at),
        }

    def say(self, key: str, **params: object) -> str:
        return words.say(self.language, key, params, self._manner)


def of_batch(facts: BatchFacts, speech: Speech) -> Label:
    """Return the label of a batch; while it is held, it says so and since when.

    Raises:
        LabelLacks: the batch bears none.
    """
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
        _lines(
            *_held_line(facts.held, speech),
            (came, False),
            (what, True),
            (DOT.join(facts.stands), False),
            speech=speech,
        ),
        *_band(facts.held, BAND_BESIDE, speech),
    )


_SPOKEN = {"tray": "name.tray", "mixed": "name.mixed", "pots": "name.batch"}


def sign_of(batch: Batch) -> str:
    """Return how a batch is drawn; the phone's `shapeOf` draws it likewise."""
    if batch.one_of_parents:
        return "mixed"
    return "pots" if batch.container and not batch.cells else "tray"


def of_place(facts: PlaceFacts, speech: Speech) -> Label:
    """Return the label of a place; while it is held, it says so and since when."""
    place = facts.place
    word = place.short or place.name
    return Label(
        Code(What.PLACE, place.id),
        _sign_of_place(place),
        word,
        speech.say("name.place", label=word),
        _lines(
            *_held_line(facts.held, speech),
            (place.name, True),
            (DOT.join(facts.inside), False),
            speech=speech,
        ),
        *_band(facts.held, BAND_BESIDE, speech),
    )


def _sign_of_place(place: Place) -> str:
    if place.kind in STAIRS:
        return "stair"
    if place.kind in BENCHES:
        return "bench"
    return "trap" if place.kind is PlaceKind.TRAP else "house"


def of_held(facts: BatchFacts | PlaceFacts, speech: Speech) -> Label:
    """Return a label that is there for the hold alone: since when, by whom, what is forbidden.

    Raises:
        NotHeld: nothing holds it, so the label would be untrue.
        LabelLacks: the batch bears no label.
    """
    plain = of_batch(facts, speech) if isinstance(facts, BatchFacts) else of_place(facts, speech)
    held = facts.held
    if held is None:
        raise NotHeld(plain.word)
    forbids = "labels.hold_field" if held.in_field else "labels.hold_forbids"
    key = "labels.hold_authority" if held.orders else f"labels.hold_{held.kind}_by"
    lines = (
        (speech.say("labels.hold_since", **speech.dated(held.since)), True),
        (speech.say(key, names=list(held.orders), where=held.where, who=held.who), True),
        (speech.say(forbids), False),
        (speech.printed, False),
    )
    band, share = _band(held, BAND_ALONE, speech)
    return Label(plain.code, plain.sign, plain.word, plain.spoken, lines, band, share, wraps=True)


def _held_line(held: HeldNow | None, speech: Speech) -> Lines:
    if held is None:
        return ()
    by = ", ".join(held.orders)
    if not held.orders:
        by = speech.say(f"labels.hold_{held.kind}", where=held.where)
    return ((speech.say("labels.hold_line", by=by, **speech.dated(held.since)), True),)


def _band(held: HeldNow | None, share: float, speech: Speech) -> tuple[tuple[str, ...], float]:
    if held is None:
        return (), 0.0
    return (speech.say("labels.band_what"), speech.say("labels.band_forbids")), share


def _lines(*lines: tuple[str, bool], speech: Speech) -> Lines:
    return (*(line for line in lines if line[0]), (speech.printed, False))
