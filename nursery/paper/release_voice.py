"""How a release file speaks: names, days and labels as the nursery writes them."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from nursery.paper.telling import Voice
from nursery.paper.tellings import tell
from nursery.services import words
from nursery.services.word_forms import House

Facts = Mapping[str, Any]
Event = Mapping[str, Any]
Rows = Iterator[str]
MARKS = {"comma": ",", "point": "."}


def voice_for(facts: Facts, language: str) -> Voice:
    """Return the voice of a release file in a language."""
    nursery = facts["nursery"]
    mark = MARKS.get(nursery.get("decimal_mark", "point"), ".")
    house = House(nursery.get("zone", "UTC"), mark, date.fromisoformat(facts["on"]))
    return Voice(language, house, facts["names"])


def first_language(facts: Facts) -> str:
    """Return the first of the nursery's languages that has a catalogue."""
    known = words.languages()
    return next((one for one in facts["nursery"].get("languages", ()) if one in known), "en")


def labels_of(batches: Sequence[str], voice: Voice) -> list[str]:
    return [voice.name("batch", one) for one in batches]


def subjects_of(event: Event, voice: Voice) -> str:
    """Return the labels and places that a record is about."""
    batches = voice.names.get("batch", {})
    return ", ".join(
        voice.name("batch" if one in batches else "place", one) for one in event["about"]
    )


def happened(event: Event, voice: Voice) -> str:
    return voice.say("on_day", on=local_day(event["at"], voice))


def moment(instant: str, voice: Voice) -> str:
    return voice.say("line.moment", at=instant)


def local_day(instant: str, voice: Voice) -> str:
    zone = ZoneInfo(voice.house.zone)
    return datetime.fromisoformat(instant).astimezone(zone).date().isoformat()


def said(event: Event, voice: Voice) -> str:
    """Return what a record says, with the batches and places that it is about."""
    told = (subjects_of(event, voice), tell(event["kind"], event["body"], voice))
    return ", ".join(filter(None, told))


def author(event: Event, voice: Voice) -> str:
    name = voice.name("person", event["by"])
    return name if event["confirmed"] else voice.say("release_file.without_pin", name=name)
