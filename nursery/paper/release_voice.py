"""How a release file speaks: names, days and labels as the nursery writes them."""

import re
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
# So many labels that follow each other are told one by one.
SHORT_RUN = 2
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
    """Return the labels, three or more that follow each other as one run: `T1–T6`.

    They follow each other among all batches that the file names, so that a run is never wider than
    it says.
    """
    every = sorted(voice.names.get("batch", {}), key=lambda one: natural(voice.name("batch", one)))
    place = {name: at for at, name in enumerate(every)}
    known = sorted((one for one in set(batches) if one in place), key=lambda one: place[one])
    runs: list[list[str]] = []
    for name in known:
        if runs and place[runs[-1][-1]] == place[name] - 1:
            runs[-1].append(name)
        else:
            runs.append([name])
    told = [label for run in runs for label in _run(run, voice)]
    return told + [one for one in dict.fromkeys(batches) if one not in place]


def _run(run: Sequence[str], voice: Voice) -> list[str]:
    labels = [voice.name("batch", one) for one in run]
    if len(labels) <= SHORT_RUN:
        return labels
    return [voice.say("release_file.from_to", first=labels[0], last=labels[-1])]


def natural(label: str) -> list[tuple[int, str]]:
    """Return what sorts T2 before T10."""
    return [(int(one) if one.isdecimal() else -1, one) for one in re.split(r"(\d+)", label)]


def subjects_of(event: Event, voice: Voice) -> str:
    """Return the labels and places that a record is about."""
    batches = voice.names.get("batch", {})
    places = [voice.name("place", one) for one in event["about"] if one not in batches]
    return ", ".join(
        (*labels_of([one for one in event["about"] if one in batches], voice), *places)
    )


def happened(event: Event, voice: Voice) -> str:
    return voice.say("on_day", on=local_day(event["at"], voice))


def span_of(week: Mapping[str, Any], voice: Voice) -> str:
    """Return the days of a week, or of another period of looking."""
    first, last = (voice.say("release_file.bare", on=week[end]) for end in ("from", "to"))
    return f"{first} – {last}"


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
