"""What needs a look: an odd fact is kept and doubted, never refused.

A doubt has an id made of its code and the entries it is about, so that the same facts give the same
doubt everywhere, a `settled` entry can name it, and new facts open a new one.
"""

from dataclasses import dataclass, field, replace
from enum import StrEnum
from typing import Any


class Weight(StrEnum):
    """A blocking doubt shuts the release gate; a note does not."""

    BLOCKING = "blocking"
    NOTE = "note"


WEIGHTS: dict[str, Weight] = {
    "unknown_subject": Weight.BLOCKING,  # facts about a batch that nothing brought in
    "newer_version": Weight.BLOCKING,  # made with a newer app
    "unreadable_body": Weight.BLOCKING,
    "correction_without_original": Weight.BLOCKING,
    "subject_changed": Weight.BLOCKING,  # a correction names other subjects than its original
    "contested": Weight.BLOCKING,  # two corrections made apart
    "disagreement": Weight.BLOCKING,  # two counts made apart
    "difference": Weight.BLOCKING,  # count and account do not agree
    "group_difference": Weight.BLOCKING,  # plants lost between batches that gave to each other
    "below_zero": Weight.BLOCKING,  # more plants left than there were
    "more_returned": Weight.BLOCKING,  # more plants came back than were sent
    "begun_twice": Weight.BLOCKING,  # two arrivals of one batch
    "count_over_cells": Weight.BLOCKING,  # more plants than the tray has cells
    "suspicion": Weight.BLOCKING,  # a find that nobody has answered yet
    "pest_result": Weight.BLOCKING,  # a laboratory says a pest is there that nobody suspected
    "label_twice": Weight.BLOCKING,  # one label on two living batches
    "released_differs": Weight.BLOCKING,  # the notice says another figure than lives
    "against_hold": Weight.BLOCKING,  # moved, potted or sent while held
    "released_unmet": Weight.BLOCKING,  # a notice of a day on which something was missing
    "gone_over_release": Weight.BLOCKING,  # more plants went than the notice lets go
    "put_in_unasked": Weight.BLOCKING,  # new plants in a room that was not free for them
    "unknown_sample": Weight.BLOCKING,  # a result of a sample that nobody took
    "ordered_without_licence": Weight.BLOCKING,  # an ordered treatment without operator or licence
    "before_release": Weight.BLOCKING,  # a find that happened before the release
    "treated_too_soon": Weight.BLOCKING,  # a later treatment inside the ordered interval
    "no_paper": Weight.BLOCKING,  # an act of the authority without its paper's picture
    "set_aside": Weight.BLOCKING,  # dated more than a day ahead
    "released_early": Weight.NOTE,  # a notice of a day before the last day of quarantine
    "destroyed_differs": Weight.NOTE,  # more or fewer were destroyed than an order says
    "override_refused": Weight.NOTE,  # signed for what no signature opens
    "booked_too_soon": Weight.NOTE,  # planned for a day on which it does not count or cannot be
    "emptied_too_soon": Weight.NOTE,  # plants or the officer's bag were still in the room
    "licence_missing": Weight.NOTE,  # a treatment without operator or licence
    "operator_unlicensed": Weight.NOTE,  # who treated had no licence in date in the book
    "booked_unlicensed": Weight.NOTE,  # planned for somebody without a licence in date on that day
    "sign_late": Weight.NOTE,  # the sign was posted after the treatment began
    "somebody_inside": Weight.NOTE,  # people were in the room when it was treated
    "reentry_short": Weight.NOTE,  # fewer hours than the product's row says
    "reentry_under_class": Weight.NOTE,  # fewer hours than the classes of its substances say
    "mix_differs": Weight.NOTE,  # another amount than rate times area
    "product_too_soon": Weight.NOTE,  # fewer days after the last than the product's row wants
    "reentry_missing": Weight.NOTE,  # a treatment that says not until when nobody goes in
    "not_the_growers": Weight.NOTE,  # only the grower lifts a mis-tap
    "twice": Weight.NOTE,  # the same count by one phone within ten seconds
    "clock_off": Weight.NOTE,  # the phone's clock was over five minutes off
    "not_inside": Weight.NOTE,  # left a room without having gone in
    "unconfirmed": Weight.NOTE,  # written without a PIN
    "step_against": Weight.NOTE,  # into the sun although something spoke against it
    "planted_against": Weight.NOTE,  # planted although soil, sky, pits or the weeks said no
    "planted_twice": Weight.NOTE,  # one hole, told of by two
    "filled_living": Weight.NOTE,  # a new plant where one was living
    "looked_at_nothing": Weight.NOTE,  # a count of a position that nobody planted
    "grades_differ": Weight.NOTE,  # graded were more or fewer plants than live
    "paper_differs": Weight.NOTE,  # certificate or permit says another figure than the count
}


@dataclass(frozen=True, slots=True)
class Doubt:
    """One thing to look at. `settled_by` is the id of the entry that closed it."""

    code: str
    entries: tuple[str, ...]
    params: dict[str, Any] = field(default_factory=dict)
    settled_by: str | None = None

    @property
    def id(self) -> str:
        return ":".join((self.code, *self.entries))

    @property
    def weight(self) -> Weight:
        return WEIGHTS[self.code]

    @property
    def blocks(self) -> bool:
        return self.settled_by is None and self.weight is Weight.BLOCKING

    def as_json(self) -> dict[str, Any]:
        return {
            "id": self.id,
            "code": self.code,
            "weight": self.weight.value,
            "entries": list(self.entries),
            "params": self.params,
            "settled_by": self.settled_by,
        }


def settle(doubts: list[Doubt], settled: dict[str, str]) -> tuple[Doubt, ...]:
    """Return the doubts in order of id, each with the entry that settled it, if one did."""
    once = {doubt.id: doubt for doubt in doubts}
    for name in once.keys() & settled.keys():
        once[name] = replace(once[name], settled_by=settled[name])
    return tuple(once[name] for name in sorted(once))
