"""The card of an anteroom on one page: who may go in, after what, and in which order."""

from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import Any

from nursery.domain.entry import write_instant
from nursery.paper import typeset
from nursery.paper.telling import Voice
from nursery.services import anteroom, words
from nursery.services.anteroom import Card, Kept, Step

TEMPLATE = "anteroom.typ"
# What hangs at a door is read in passing: the numbers that are called first.
MOST_CALLS = 6


def pdf(nursery: str, room: str, now: datetime, language: str | None) -> bytes:
    """Return the card of a room as a PDF of one page, in a language or in the nursery's first.

    Raises:
        Unknown: there is no such place.
    """
    card = anteroom.read(nursery, room, now)
    return typeset.pdf(TEMPLATE, composed(card, language), card.house.today or now.date())


def composed(card: Card, language: str | None) -> dict[str, Any]:
    """Return what the template is given."""
    spoken = (one for one in (language, *card.languages) if one in words.languages())
    voice = Voice(next(spoken, "en"), card.house, {})
    say = voice.say
    on = card.house.today or card.at.date()
    return {
        "language": voice.language,
        "date": {"year": on.year, "month": on.month, "day": on.day},
        "title": say("anteroom.title", room=card.room),
        "before": say("anteroom.before"),
        "room": card.room,
        "nursery": card.nursery,
        "drawn": say("anteroom.drawn", at=write_instant(card.at), year=str(on.year)),
        "warnings": list(_warnings(card, voice)),
        "who": {"title": say("anteroom.who"), "names": list(card.people), **_who(card, voice)},
        "steps": {
            "title": say("anteroom.steps"),
            "says": [_step(one, voice) for one in card.steps],
            "more": list(_more(card, voice)),
        },
        "rooms": {
            "title": say("anteroom.order"),
            "why": say("anteroom.order_why"),
            "says": [
                {"name": name, "note": say("anteroom.last") if grave else "", "mine": mine}
                for name, grave, mine in card.rooms
            ],
        },
        "inside": {
            "title": say("anteroom.inside"),
            "none": "" if card.inside else say("access.nobody"),
            "says": [
                say("anteroom.inside_since", name=one.name, at=write_instant(one.since))
                for one in card.inside
            ],
        },
        "out": {"title": say("anteroom.out"), "says": say("anteroom.out_how")},
        "cautions": {
            "title": say("anteroom.cautions"),
            "says": [say(f"anteroom.caution_{one}") for one in ("reentry", "disinfectant", "tell")],
        },
        "calls": {"title": say("anteroom.calls"), "says": _calls(card, voice)},
    }


def _warnings(card: Card, voice: Voice) -> Iterable[str]:
    for until in card.shut:
        if until is None:
            yield voice.say("anteroom.shut_unknown")
        else:
            yield voice.say("anteroom.shut", at=write_instant(until))
    by = [
        *card.held,
        *(
            voice.say("anteroom.incident", at=write_instant(at))
            for at in card.incidents
            if not card.held
        ),
    ]
    if by:
        yield voice.say("anteroom.held", names=by)


def _who(card: Card, voice: Voice) -> dict[str, Any]:
    return {
        "none": "" if card.people else voice.say("anteroom.nobody_may"),
        "only": voice.say("anteroom.only", names=list(card.only)) if card.only else "",
        "kept": [
            *_kept(card.kept_out, "order", voice),
            *_kept(card.kept_out, "training", voice),
        ],
        "more": [
            *([voice.say("anteroom.trainings", names=list(card.trainings))] * bool(card.trainings)),
            voice.say("anteroom.visitors"),
        ],
    }


def _kept(some: Sequence[Kept], why: str, voice: Voice) -> Iterable[str]:
    """Yield a line for each order or training, with all whom it keeps out."""
    found: dict[str, list[str]] = {}
    for one in some:
        what = getattr(one, why)
        if what is not None:
            found.setdefault(what, []).append(one.name)
    for what, names in found.items():
        yield voice.say(f"anteroom.not_by_{why}", what=what, names=names)


def _step(step: Step, voice: Voice) -> str:
    said = dict(step.says)
    if said:
        return said.get(voice.language) or next(iter(said.values()))
    return voice.say(f"anteroom.step_{step.id}")


def _more(card: Card, voice: Voice) -> Iterable[str]:
    if card.bath_at is None:
        yield voice.say("anteroom.bath_unknown")
    else:
        yield voice.say("anteroom.bath", at=write_instant(card.bath_at))
    yield voice.say("anteroom.doors")


def _calls(card: Card, voice: Voice) -> list[dict[str, str]]:
    return [
        {
            "what": voice.word("card", call.what) or call.what,
            "number": call.number,
            "who": call.who or "",
        }
        for call in card.calls[:MOST_CALLS]
    ]
