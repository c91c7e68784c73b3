"""The slip that goes with plants to a neighbour: what the file beside it says, for people."""

from collections.abc import Mapping
from datetime import date
from typing import Any

from nursery.paper import typeset
from nursery.paper.telling import Voice
from nursery.paper.trace import TEMPLATE
from nursery.services import words
from nursery.services.word_forms import House

Told = Mapping[str, Any]


def pdf(file: Told, language: str | None) -> bytes:
    """Return the slip of a signed file in a language."""
    return typeset.pdf(TEMPLATE, *composed(file, language))


def composed(file: Told, language: str | None) -> tuple[dict[str, Any], date]:
    """Return what the template is given, and the day on which the plants were sent."""
    facts = file["facts"]
    on = date.fromisoformat(facts["on"])
    voice = Voice(language if language in words.languages() else "en", House(today=on), {})
    parts = facts["batches"]
    sheet = {
        "language": voice.language,
        "date": {"year": on.year, "month": on.month, "day": on.day},
        "title": voice.say("slip.title", receiver=facts["receiver"]),
        "under": [voice.say("slip.from", nursery=facts["nursery"], on=facts["on"])],
        "sums": [
            (
                voice.say("figure", figure=sum(one["plants"] for one in parts)),
                voice.say("slip.plants"),
            ),
            (voice.say("figure", figure=len(parts)), voice.say("slip.batches")),
        ],
        "holds": [
            voice.say("slip.held", label=one["label"], references=one["holds"])
            for one in parts
            if one["holds"]
        ],
        "sections": [_table(parts, voice)],
        "foot": voice.say("slip.key", text=file["fingerprint"]),
        "count": voice.say("trace.page", n="{n}", of="{of}"),
    }
    return sheet, on


def _table(parts: list[Told], voice: Voice) -> dict[str, Any]:
    keys = ("batch", "plants", "crop", "permit", "from")
    return {
        "title": voice.say("slip.batches"),
        "columns": [voice.say(f"slip.column_{key}") for key in keys],
        "figures": [1],
        "rows": [_row(one, voice) for one in parts],
        "lines": [voice.say("slip.beside")],
        "none": "",
    }


def _row(one: Told, voice: Voice) -> list[str]:
    goods = [", ".join(filter(None, (at["name"], at["supplier"]))) for at in one["origins"]]
    permit = one["permit"] or voice.say("slip.no_permit")
    if one["clock_started_on"]:
        permit += ", " + voice.say("trace.since", on=one["clock_started_on"])
    plants = voice.say("figure", figure=one["plants"])
    came = "; ".join((*goods, *one["parents"])) or "–"
    return [one["label"], plants, one["crop"] or "–", permit, came]
