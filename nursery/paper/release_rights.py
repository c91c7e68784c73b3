"""The permits, what came under each, how many plants to look at, and who may go in, as tables."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from nursery.paper import release_terms
from nursery.paper.release_voice import Facts, labels_of
from nursery.paper.telling import Voice

Table = dict[str, Any]
Row = list[str]


def tables(facts: Facts, voice: Voice) -> Iterator[Table]:
    yield _table("permits", PERMITS, list(_conditions(facts, voice)), voice, 2)
    yield _table("under_permits", UNDER, list(_under(facts, voice)), voice, 2)
    yield _table("plans", ("look", "says"), _plans(facts, voice), voice, 1)
    yield _table("admitted", ("place", "order", "people"), _admitted(facts, voice), voice, 2)


def _table(name: str, columns: Sequence[str], rows: list[Row], voice: Voice, wide: int) -> Table:
    return {
        "name": name,
        "title": voice.say(f"release_file.list.{name}"),
        "columns": [voice.say(f"release_file.{one}") for one in columns],
        "rows": rows,
        "none": voice.say("release_file.nothing"),
        "wide": wide,
        "shared": None,
    }


PERMITS = ("permit", "condition", "says", "source", "here")


def _conditions(facts: Facts, voice: Voice) -> Iterator[Row]:
    for permit in facts["permits"]:
        for term in permit.get("terms", ()):
            yield [
                voice.name("permit", permit["id"]),
                release_terms.title_of(term["rule"], voice),
                release_terms.said_by(term["rule"], term.get("says", {}), voice),
                term.get("source", ""),
                _reach(permit["reach"].get(term["id"]), term, voice),
            ]


def _reach(reason: Mapping[str, Any] | None, term: Mapping[str, Any], voice: Voice) -> str:
    """Return whether a condition reaches the consignment; of one that is not known, its day."""
    on = term.get("since")
    since = voice.say("release_file.dated", on=on, year=on[:4]) if on else ""
    if reason is None or reason["code"] == "term_applies":
        return since
    return voice.say(f"reason.{reason['code']}", **reason["params"])


UNDER = ("permit", "consignment", "where", "in", "alive", "at_most")


def _under(facts: Facts, voice: Voice) -> Iterator[Row]:
    """Yield what came under each permit, by consignment, and of several their sum."""
    for permit in facts["permits"]:
        name, some = voice.name("permit", permit["id"]), permit["consignments"]
        most = permit["most_plants"]
        limit = "" if most is None else voice.say("figure", figure=most)
        for one in some:
            whole = limit if len(some) == 1 else ""
            yield [name, *_came(one, facts, voice), *_figures([one], voice), whole]
        if len(some) > 1:
            yield [name, voice.say("release_file.total"), "", *_figures(some, voice), limit]


def _came(one: Mapping[str, Any], facts: Facts, voice: Voice) -> Row:
    """Return which consignment, and where its plants are now."""
    ident = one["consignment"]
    name = (
        voice.say("release_file.by_itself") if ident is None else voice.name("consignment", ident)
    )
    here = ident == facts["consignment"]["id"]
    batches = _now(facts["batches"]) if here else [{**b, "id": b["batch"]} for b in one["batches"]]
    places: dict[str | None, list[str]] = {}
    for batch in batches:
        places.setdefault(batch["place"], []).append(batch["id"])
    told = [
        voice.say(
            "release_file.in_place",
            labels=", ".join(labels_of(some, voice)),
            place=_place(place, voice),
        )
        for place, some in places.items()
    ]
    return [name, "; ".join(told)]


def _now(batches: Sequence[Mapping[str, Any]]) -> list[Mapping[str, Any]]:
    return [one for one in batches if one["alive"]]


def _place(place: str | None, voice: Voice) -> str:
    return voice.say("stock.no_place") if place is None else voice.name("place", place)


def _figures(some: Sequence[Mapping[str, Any]], voice: Voice) -> Row:
    return [voice.say("figure", figure=sum(one[key] for one in some)) for key in ("in", "alive")]


def _plans(facts: Facts, voice: Voice) -> list[Row]:
    return [
        [
            voice.code("rule_choice", at),
            voice.say(f"reason.{plan['why']['code']}", **plan["why"]["params"]),
        ]
        for at, plan in facts["plans"].items()
    ]


def _admitted(facts: Facts, voice: Voice) -> list[Row]:
    return [
        [
            voice.name("place", one["place"]),
            ", ".join(one["orders"]) or voice.say("file.no_order"),
            ", ".join(voice.name("person", who) for who in one["people"])
            or voice.say("file.nobody" if one["orders"] else "file.everybody"),
        ]
        for one in facts["admitted"]
    ]
