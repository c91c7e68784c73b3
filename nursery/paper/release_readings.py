"""What the instruments said, month by month, and the days that counted by it, as tables."""

from collections.abc import Mapping, Sequence
from typing import Any

from nursery.paper.release_voice import Facts, labels_of
from nursery.paper.telling import Voice

Table = dict[str, Any]


def readings(facts: Facts, voice: Voice) -> Table:
    rows = [
        [
            month_of(one["month"], voice),
            place_of(one["place"], voice),
            _with_unit(one["what"], voice),
            *(_figure(one[key], voice) for key in ("low", "high", "days", "readings")),
        ]
        for one in facts["readings"]
    ]
    columns = ("month", "of", "figure", "low", "high", "days_read", "readings")
    return _table("readings", columns, rows, voice, 2)


def counted_days(facts: Facts, voice: Voice) -> Table:
    rows = [
        [
            month_of(month["month"], voice),
            ", ".join(labels_of(demand["batches"], voice)),
            demand_of(demand, voice),
            *(_figure(month[key], voice) for key in ("days", "unknown", "gained", "total")),
        ]
        for demand in facts["counted_days"]
        for month in demand["months"]
    ]
    columns = ("month", "of", "condition", "days_over", "days_unread", "gained", "so_far")
    return _table("counted_days", columns, rows, voice, 2)


def month_of(month: str, voice: Voice) -> str:
    year, number = month.split("-")
    return f"{voice.say(f'date.month.{int(number)}')} {year}"


def place_of(name: str, voice: Voice) -> str:
    return voice.name("batch" if name in voice.names.get("batch", {}) else "place", name)


def demand_of(demand: Mapping[str, Any], voice: Voice) -> str:
    """Return what is counted, with what is wanted where that is a number, and by which text."""
    if demand["rule"] == "generations":
        name = voice.name("pest", demand["of"])
        wanted = _figure(demand["wanted"], voice)
        told = voice.say("file.degree_days", pest=name, wanted=wanted)
    elif demand["wanted"] is None:
        told = voice.say("file.qualifying_share", what=voice.code("reading", demand["of"]))
    else:
        what = voice.code("reading", demand["of"])
        told = voice.say("file.qualifying", what=what, n=demand["wanted"])
    return f"{told} ({demand['source']})" if demand["source"] else told


def _with_unit(what: str, voice: Voice) -> str:
    return ", ".join(filter(None, (voice.code("reading", what), voice.word("unit", what))))


def _figure(value: float, voice: Voice) -> str:
    whole = int(value) if value == int(value) else value
    return voice.say("figure", figure=whole)


def _table(
    name: str, columns: Sequence[str], rows: list[list[str]], voice: Voice, wide: int
) -> Table:
    return {
        "name": name,
        "title": voice.say(f"release_file.list.{name}"),
        "columns": [voice.say(f"release_file.{one}") for one in columns],
        "rows": rows,
        "none": voice.say("release_file.nothing"),
        "wide": wide,
        "shared": 1,
    }
