"""A trace on paper: sums first, then where each plant stands, on one page where it fits."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from nursery.domain.entry import write_instant
from nursery.domain.occupants import GONE
from nursery.paper import typeset
from nursery.paper.telling import Voice
from nursery.services import words
from nursery.services.word_forms import House

TEMPLATE = "trace.typ"
MARKS = {"comma": ",", "point": "."}
DOT = " · "
NOT_ALIVE = frozenset(str(state) for state in GONE)

Told = Mapping[str, Any]


def pdf(told: Told, language: str | None = None) -> bytes:
    """Return what `services.trace.of` found on paper, in a language or in the nursery's first."""
    return typeset.pdf(TEMPLATE, *composed(told, language))


def composed(told: Told, language: str | None) -> tuple[dict[str, Any], date]:
    """Return what the template is given, and the day that is printed."""
    own = told["nursery"]
    at: datetime = told["at"]
    on = at.astimezone(ZoneInfo(own["zone"])).date()
    house = House(own["zone"], MARKS.get(own["decimal_mark"] or "", "."), on)
    voice = Voice(_language(own["languages"], language), house, told["names"])
    made = _labels(told["made"], voice)
    sheet = {
        "language": voice.language,
        "date": {"year": on.year, "month": on.month, "day": on.day},
        "title": voice.say("trace.title", labels=_labels(told["asked"], voice)),
        "under": [
            *([voice.say("trace.with_made", labels=made)] if made else []),
            own["name"] + DOT + voice.say("line.moment", at=write_instant(at)),
        ],
        "sums": list(_sums(told, voice)),
        "holds": list(_holds(told, voice)),
        "sections": [_field(told, voice), _nursery(told, voice), *_lists(told, voice)],
        "foot": voice.say("trace.as_of", n=told["as_of_seq"]),
        "count": voice.say("trace.page", n="{n}", of="{of}"),
    }
    return sheet, on


def _language(known: Sequence[str], wished: str | None) -> str:
    able = words.languages()
    return next((one for one in (wished, *known) if one in able), "en")


def _labels(batches: Sequence[str], voice: Voice) -> list[str]:
    return [voice.name("batch", one) for one in batches]


def _sums(told: Told, voice: Voice) -> Iterator[tuple[str, str]]:
    for name in ("positions", "alive", "gone", "reserve", "sent"):
        figure = told["sums"][name]
        none = name == "sent" and figure == 0
        yield (
            voice.say("trace.none") if none else voice.say("figure", figure=figure),
            voice.say(f"trace.{name}"),
        )


def _holds(told: Told, voice: Voice) -> Iterator[str]:
    """Yield what holds the plants, who asked for it, whether it is in writing, who was told."""
    calls = {one["reference"]: one for one in told["calls"]}
    for reference, hold in _together(told).items():
        mine = set(hold["batches"])
        n = sum(plant["batch"] in mine for stood in told["field"] for plant in stood["plants"])
        said = [
            voice.say("trace.held", reference=_called(hold, voice), n=n) + ".",
            voice.say("trace.held_of", labels=_labels(hold["batches"], voice), at=hold["since"]),
        ]
        call = calls.get(reference)
        if call is not None and call["asked_by"]:
            reason = call["reason"] or ""
            said.append(voice.say("trace.asked", who=call["asked_by"], reason=reason))
        said.append(_ends(hold, voice))
        said.append(voice.say("trace.means"))
        said += [
            voice.say("trace.was_told", who=one["who"], how=voice.code("told", one["how"]))
            + ", "
            + voice.say("line.moment", at=one["at"])
            + "."
            for one in told["told"]
            if one["reference"] == reference
        ]
        yield " ".join(said)


def _together(told: Told) -> dict[str, dict[str, Any]]:
    """Return each order, find or breach by its name, with all the batches that it holds."""
    held: dict[str, dict[str, Any]] = {}
    for batch, holds in told["held"].items():
        for hold in holds:
            name = next(iter(hold["orders"]), hold["reference"])
            by = "order" if hold["orders"] else hold["by"]
            mine = {**hold, "by": by, "reference": name, "batches": []}
            one = held.setdefault(name, mine)
            one["by"] = "order" if by == "order" else one["by"]
            one["paper"] = one["paper"] and hold["paper"]
            one["since"] = min(one["since"], hold["since"])
            if batch not in one["batches"]:
                one["batches"].append(batch)
    return held


def _called(hold: Mapping[str, Any], voice: Voice) -> str:
    """Return what a hold is called: an order by its own name, else what it is, and where."""
    if hold["by"] == "order":
        return str(hold["reference"])
    what = voice.say(f"hold_by.{hold['by']}", reference=hold["reference"])
    place = voice.names.get("place", {}).get(hold["place"] or "")
    return what if place is None else f"{what}, {place}"


def _ends(hold: Mapping[str, Any], voice: Voice) -> str:
    """Return whether an order is in writing; of what is no order, what ends it."""
    if hold["by"] not in ("find", "breach"):
        return voice.say("trace.in_writing" if hold["paper"] else "trace.reported")
    code = "when_decided" if hold["by"] == "breach" else "when_lifted_here"
    return voice.say("held.ends", what=voice.say(f"reason.{code}")) + "."


def _field(told: Told, voice: Voice) -> dict[str, Any]:
    """Return the table of the field, batch by batch in each block, and what is not alive."""
    batches = [*told["asked"], *told["made"]]
    rows, gone = [], []
    for stood in told["field"]:
        block = voice.name("block", stood["block"])
        for batch in batches:
            mine = [one for one in stood["plants"] if one["batch"] == batch]
            if mine:
                dead = [one for one in mine if one["state"] in NOT_ALIVE]
                figures = [
                    voice.say("figure", figure=n) for n in (len(mine), len(mine) - len(dead))
                ]
                where = ", ".join(stretches([one["position"] for one in mine]))
                rows.append([block, voice.name("batch", batch), *figures, where])
                gone += [_gone(block, one, voice) for one in dead]
    keys = ("block", "batch", "plants", "alive", "where")
    return {
        "title": voice.say("trace.field"),
        "columns": [voice.say(f"trace.column_{key}") for key in keys],
        "figures": [2, 3],
        "rows": rows,
        "lines": [voice.say("trace.not_alive", said="; ".join(gone))] if gone else [],
        "none": voice.say("trace.none_in_field"),
    }


def _gone(block: str, plant: Told, voice: Voice) -> str:
    said = [f"{block}-{plant['position']} {voice.code('standing', plant['state'])}"]
    if plant["cause"]:
        said.append(voice.code("cause", plant["cause"]))
    said.append(voice.say("on_day", on=plant["seen"][-1]["on"]))
    return ", ".join(said)


def stretches(positions: Sequence[str]) -> list[str]:
    """Return positions as stretches; what has a letter stands by itself.

    >>> stretches(["1", "2", "3", "7", "S1", "S2"])
    ['1–3', '7', 'S1', 'S2']
    """
    found: list[list[str]] = []
    for one in positions:
        last = found[-1][-1] if found else ""
        if one.isdigit() and last.isdigit() and int(one) == int(last) + 1:
            found[-1].append(one)
        else:
            found.append([one])
    return [some[0] if len(some) == 1 else f"{some[0]}–{some[-1]}" for some in found]


def _nursery(told: Told, voice: Voice) -> dict[str, Any]:
    """Return what is left of each batch in the nursery, and what ended there and how."""
    rows = []
    for batch in (*told["asked"], *told["made"]):
        ended = told["ended"].get(batch, {})
        ways = [voice.word("fate", way, n=n) or way for way, n in ended.items()]
        left = voice.say("figure", figure=told["reserve"].get(batch, 0))
        rows.append([voice.name("batch", batch), left, ", ".join(ways) or "–"])
    keys = ("batch", "left", "ended")
    return {
        "title": voice.say("trace.in_nursery"),
        "columns": [voice.say(f"trace.column_{key}") for key in keys],
        "figures": [1],
        "rows": rows,
        "lines": [],
        "none": voice.say("trace.none"),
    }


def _lists(told: Told, voice: Voice) -> Iterator[dict[str, Any]]:
    """Yield what is told in lines: plants of before, receivers, one step back, people, places."""
    if told["before"]:
        yield _listed("before", [_before(one, voice) for one in told["before"]], voice)
    yield _listed("receivers", [_sent(one, voice) for one in told["sent"]], voice, "no_receiver")
    back = [*_labels(told["back"], voice), *(_goods(one, voice) for one in told["consignments"])]
    yield _listed("back", [", ".join(back)] if back else [], voice, "from_nowhere")
    for part, kind, key in (("people", "person", "who"), ("rooms", "place", "place")):
        said = [f"{voice.name(kind, one[key])}, {_days(one, voice)}" for one in told[part]]
        yield _listed(part, [DOT.join(said)] if said else [], voice)
    things = [
        one["thing"] + ": " + ", ".join(voice.name("place", room) for room in one["rooms"])
        for one in told["things"]
    ]
    yield _listed("things", [DOT.join(things)] if things else [], voice)


def _listed(name: str, lines: list[str], voice: Voice, none: str = "none") -> dict[str, Any]:
    told = {"title": voice.say(f"trace.{name}"), "lines": lines, "none": voice.say(f"trace.{none}")}
    return {**told, "columns": [], "figures": [], "rows": []}


def _before(stood: Told, voice: Voice) -> str:
    block = voice.name("block", stood["block"])
    plants = stood["plants"]
    return ", ".join(
        f"{block}-{one['position']} {voice.name('batch', one['batch'])}" for one in plants
    )


def _sent(one: Told, voice: Voice) -> str:
    said = [
        one["receiver"],
        voice.say("plants", n=one["plants"]) + " " + voice.name("batch", one["batch"]),
        voice.say("on_day", on=one["on"]),
    ]
    return ", ".join([*said, one["paper"]] if one["paper"] else said)


def _goods(ident: str, voice: Voice) -> str:
    name, supplier = voice.name("consignment", ident), voice.names.get("supplier", {}).get(ident)
    return f"{name} ({supplier})" if supplier else name


def _days(one: Told, voice: Voice) -> str:
    if one["until"] is None:
        return voice.say("trace.since", on=one["since"])
    return voice.say("trace.between", since=one["since"], until=one["until"])
