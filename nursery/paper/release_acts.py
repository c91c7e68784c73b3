"""The acts of the first page: what the law and the plants' health came to, a row for each."""

import json
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from nursery.paper.release_breach import with_span
from nursery.paper.release_voice import Event, Facts, happened, labels_of, local_day, said
from nursery.paper.spoken import stood_open_for
from nursery.paper.telling import Voice

# In order of happening.
ACTS = ("finds", "samples", "orders", "treatments", "inspections", "acceptances", "exceptions",
        "releases", "room")  # fmt: skip
OF_A_ROOM = ("breached", "repaired")
# Where the paper of an act has its number.
REFERENCES = ("reference", "notice", "order", "paper", "sample", "tag")
# What stands in the annex: which picture a paper has; and what is told of several batches at once.
LEFT_TO_THE_ANNEX = ("photo", "photos")
SUMMED = "plants"


def rows(facts: Facts, voice: Voice) -> list[list[str]]:
    """Return day, words and number of paper of each act; those of one paper on one day are one."""
    found: dict[tuple[str, str, str], list[str]] = {}
    for event in _together(_acts(facts), voice):
        reference = _reference(event["body"])
        key = (happened(event, voice), event["kind"], reference)
        told = said(event, voice)
        if told not in found.setdefault(key, []):
            found[key].append(told)
    return [
        [day, f"{voice.word('kind', kind)}: {'; '.join(told)}".removesuffix(": "), reference]
        for (day, kind, reference), told in found.items()
    ]


def short(facts: Facts, voice: Voice) -> list[list[str]]:
    """Return day, kind and paper of each act; one without has its span of time, or its batches."""
    found: dict[tuple[str, str, str], None] = {}
    for event in _together(_acts(facts), voice):
        kind = voice.word("kind", event["kind"]) or voice.say("kind.other")
        body = event["body"]
        paper = _reference(body) or stood_open_for(body, voice) or ", ".join(_labels(event, voice))
        day = voice.say("release_file.bare", on=local_day(event["at"], voice))
        found[(day, kind, paper)] = None
    return [list(one) for one in found]


def _labels(event: Event, voice: Voice) -> list[str]:
    return labels_of([one for one in event["about"] if one in voice.names.get("batch", {})], voice)


def _acts(facts: Facts) -> list[dict[str, Any]]:
    events = [
        {**event, "body": _without(event["body"], LEFT_TO_THE_ANNEX)}
        for name in ACTS
        for event in with_span(facts[name], facts)
        if name != "room" or event["kind"] in OF_A_ROOM
    ]
    return sorted(events, key=lambda one: (one["at"], one["entry"]))


def _together(events: Iterable[dict[str, Any]], voice: Voice) -> Iterator[Event]:
    """Yield the events; of batches that were told alike on one day one, with the sum of plants."""
    found: dict[tuple[str, ...], dict[str, Any]] = {}
    for event in events:
        body = event["body"]
        alike = json.dumps(_without(body, (SUMMED,)), sort_keys=True)
        key = (local_day(event["at"], voice), event["kind"], alike)
        known = found.get(key)
        if known is None or set(known["about"]).intersection(event["about"]):
            found[(*key, event["entry"]) if known else key] = event
            continue
        about = [*known["about"], *event["about"]]
        both = SUMMED in known["body"] and SUMMED in body
        plants = {SUMMED: known["body"][SUMMED] + body[SUMMED]} if both else {}
        found[key] = {**known, "about": about, "body": {**_without(body, (SUMMED,)), **plants}}
    yield from found.values()


def _reference(body: Mapping[str, Any]) -> str:
    return next((str(body[one]) for one in REFERENCES if body.get(one)), "")


def _without(body: Mapping[str, Any], fields: Iterable[str]) -> dict[str, Any]:
    return {name: value for name, value in body.items() if name not in fields}
