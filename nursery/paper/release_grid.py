"""Every look-over of every batch: a table of weeks by batches, with the minutes that each took."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from nursery.paper.release_voice import Facts, natural, span_of
from nursery.paper.telling import Voice

# So many batches stand side by side on a page.
ACROSS = 12
FOUND, NOT_LOOKED = "*", "–"


def tables(facts: Facts, voice: Voice) -> Iterator[dict[str, Any]]:
    """Yield a table for each dozen of batches that somebody looked over."""
    weeks = facts["looks"]["weeks"]
    seen = {look["batch"] for week in weeks for look in week["looks"]}
    batches = [one["id"] for one in facts["batches"] if one["id"] in seen]
    batches.sort(key=lambda name: natural(voice.name("batch", name)))
    for start in range(0, len(batches), ACROSS):
        some = batches[start : start + ACROSS]
        yield {
            "name": "minutes",
            "title": voice.say("release_file.list.minutes"),
            "columns": [
                voice.say("release_file.week"),
                *(voice.name("batch", one) for one in some),
            ],
            "rows": [_row(week, some, voice) for week in weeks],
            "none": voice.say("release_file.nothing"),
            "wide": 0,
            "shared": None,
        }


def _row(week: Mapping[str, Any], batches: Sequence[str], voice: Voice) -> list[str]:
    looks: dict[str, list[Mapping[str, Any]]] = {}
    for look in week["looks"]:
        looks.setdefault(look["batch"], []).append(look)
    return [span_of(week, voice), *(_cell(looks.get(one, ()), voice) for one in batches)]


def _cell(looks: Sequence[Mapping[str, Any]], voice: Voice) -> str:
    """Return the minutes of one batch in one week, and how it was answered."""
    done = [one for one in looks if one["answer"] != "not_looked"]
    if not done:
        return NOT_LOOKED if looks else ""
    minutes = round(sum(one["minutes"] or 0 for one in done))
    mark = FOUND if any(one["answer"] == "found" for one in done) else ""
    return voice.say("figure", figure=minutes) + mark
