"""The annex of a release file: its lists as tables, in words."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import groupby
from typing import Any

from nursery.domain.release_file.facts import LISTS
from nursery.paper import release_grid, release_photos, release_readings, release_rights
from nursery.paper.release_breach import with_span
from nursery.paper.release_voice import (
    Event,
    Facts,
    author,
    happened,
    labels_of,
    local_day,
    moment,
    span_of,
    subjects_of,
)
from nursery.paper.telling import Voice
from nursery.paper.tellings import tell

Row = list[str]


def lists(facts: Facts, voice: Voice) -> list[dict[str, Any]]:
    """Return the tables of the annex; one that is empty says so, since that is an answer."""
    first = (*release_rights.tables(facts, voice), _weeks(facts, voice))
    told = (_events(name, facts, voice) for name in LISTS)
    last = (
        *(_traps, release_readings.readings, release_readings.counted_days),
        *(_visits, _corrections, release_photos.told, _people),
    )
    minutes = release_grid.tables(facts, voice)
    return [*first, *minutes, *told, *(make(facts, voice) for make in last)]


def _table(
    name: str, columns: Sequence[str], rows: Sequence[Row], voice: Voice, wide: int
) -> dict[str, Any]:
    """Return a table; `wide` is the column that takes most of the room, `shared` one beside it."""
    return {
        "name": name,
        "title": voice.say(f"release_file.list.{name}"),
        "columns": [voice.say(f"release_file.{one}") for one in columns],
        "rows": list(rows),
        "none": voice.say("release_file.nothing"),
        "wide": wide,
        "shared": columns.index("of") if "of" in columns else None,
    }


def _events(name: str, facts: Facts, voice: Voice) -> dict[str, Any]:
    rows = [
        [
            moment(event["at"], voice),
            subjects_of(event, voice),
            _with_kind(event, voice),
            author(event, voice),
            str(event["seq"]),
        ]
        for event in with_span(facts[name], facts)
    ]
    return _table(name, ("when", "of", "what", "by", "number"), rows, voice, 2)


def _with_kind(event: Event, voice: Voice) -> str:
    kind = voice.word("kind", event["kind"]) or voice.say("kind.other")
    told = tell(event["kind"], event["body"], voice)
    return voice.say("line.reason", text=kind, reason=told) if told else kind


# Looks


def _weeks(facts: Facts, voice: Voice) -> dict[str, Any]:
    rows = [
        [
            span_of(week, voice),
            voice.say(f"release_file.week.{week['answer']}"),
            voice.say("figure", figure=round(week["minutes"])),
            voice.say("figure", figure=week["plants"]),
            ", ".join(voice.name("person", one) for one in week["by"]),
            "; ".join(_remarks(week, voice)),
        ]
        for week in facts["looks"]["weeks"]
    ]
    columns = ("week", "answer", "minutes", "plants", "by", "remarks")
    return _table("looks", columns, rows, voice, 5)


def week_line(week: Mapping[str, Any], voice: Voice) -> str | None:
    """Return what the first page says of a week: nothing of one that was looked over and clean."""
    if week["answer"] in ("nothing", "running"):
        return None
    what = "; ".join(_remarks(week, voice)) or voice.say(f"release_file.week.{week['answer']}")
    return voice.say("release_file.week_said", first=week["from"], last=week["to"], what=what)


def _remarks(week: Mapping[str, Any], voice: Voice) -> Iterator[str]:
    """Yield what was found, and what was not done, why, and by which paper that was accepted."""
    if week["found_in"]:
        yield voice.say("release_file.week_found", labels=labels_of(week["found_in"], voice))
    if week["answer"] == "running":
        return
    alike: dict[tuple[str | None, str | None], list[str]] = {}
    for one in week["not_done"]:
        alike.setdefault((one["why"], one["accepted"]), []).append(one["batch"])
    for (why, accepted), batches in alike.items():
        labels = labels_of(batches, voice)
        reason = voice.code("unlooked", why) if why else None
        told = (
            voice.say("release_file.week_why", labels=labels, text=reason)
            if reason
            else voice.say("release_file.week_missing", labels=labels)
        )
        paper = voice.say("release_file.week_accepted", text=accepted) if accepted else None
        yield ", ".join(filter(None, (told, paper)))


# By the day


def _traps(facts: Facts, voice: Voice) -> dict[str, Any]:
    def told(day: Sequence[Event]) -> str:
        alike: dict[str, list[str]] = {}
        for event in day:
            caught = tell("trapped", event["body"], voice)
            alike.setdefault(caught, []).append(subjects_of(event, voice))
        return "; ".join(f"{', '.join(traps)}: {caught}" for caught, traps in alike.items())

    rows = list(_by_day(facts["traps"], told, voice))
    return _table("traps", ("day", "what", "by"), rows, voice, 1)


def _visits(facts: Facts, voice: Voice) -> dict[str, Any]:
    def way(event: Event) -> str:
        name = tell(event["kind"], event["body"], voice)
        if not {"person", "visitor"}.intersection(event["body"]):
            # Who writes of going in without naming anybody went in.
            name = ": ".join(filter(None, (voice.name("person", event["by"]), name)))
        hour = voice.say("line.hour", at=event["at"])
        key = "release_file.went_in" if event["kind"] == "entered" else "release_file.went_out"
        return voice.say(key, hour=hour, name=name)

    def told(day: Sequence[Event]) -> str:
        return "; ".join(map(way, day))

    rows = list(_by_day(facts["visits"], told, voice))
    return _table("visits", ("day", "what", "by"), rows, voice, 1)


def _by_day(
    events: Sequence[Event], told: Callable[[Sequence[Event]], str], voice: Voice
) -> Iterator[Row]:
    for _, some in groupby(events, key=lambda one: local_day(one["at"], voice)):
        day = list(some)
        people = dict.fromkeys(author(one, voice) for one in day)
        yield [happened(day[0], voice), told(day), ", ".join(people)]


# What was changed, people


def _corrections(facts: Facts, voice: Voice) -> dict[str, Any]:
    rows = [
        [
            moment(version["received_at"], voice),
            subjects_of(version, voice) if at == 0 else "",
            _version(version, voice, first=at == 0),
            author(version, voice),
            voice.code("fix", version["why"]) if version["why"] else "",
            str(version["seq"]),
        ]
        for line in facts["corrections"]
        for at, version in enumerate(line["versions"])
    ]
    columns = ("written", "of", "version", "by", "why", "number")
    return _table("corrections", columns, rows, voice, 2)


def _version(version: Mapping[str, Any], voice: Voice, *, first: bool) -> str:
    if version["withdrawn"]:
        return voice.say("release_file.cancelled")
    key = "release_file.first_version" if first else "release_file.later_version"
    return voice.say(key, text=_with_kind(version, voice))


def _people(facts: Facts, voice: Voice) -> dict[str, Any]:
    rows = [
        [str(one.get("name", ident)), voice.code("role", one.get("role", "worker"))]
        for ident, one in sorted(facts["names"]["person"].items())
    ]
    return _table("people", ("person", "role"), rows, voice, 0)
