"""Parts of a record that are more than one field in a phrase."""

from collections.abc import Mapping

from nursery.paper.telling import (
    Body,
    Part,
    Voice,
    coded,
    counted,
    each,
    figure,
    joined,
    named,
    plain,
    several,
    text,
)

# Beside the fields of a breach's record: what the release file works out of it.
STOOD_OPEN = "stood_open"
LICENCE_THAT_DAY = "licence_that_day"
MINUTE_MS = 60_000
# So much of a hash tells files of one nursery apart.
MARK = 12

LABEL: tuple[Part, ...] = (
    counted("stated", "line.received"),
    named("crop", "crop"),
    coded("stage", "stage"),
    plain("container"),
    counted("cells", "line.cells"),
    named("place", "place", "line.place"),
)


def of_batches(body: Body, voice: Voice) -> str | None:
    """Say which batches came, each with its cells."""
    said = [
        voice.say("line.child", text=label, plants=cells)
        if (cells := joined([counted("cells", "line.cells")], one, voice))
        else label
        for one in several(body.get("batches"))
        if (label := text(one.get("label")))
    ]
    return ", ".join(said) or None


def fate(body: Body, voice: Voice) -> str | None:
    n = figure(body.get("count", body.get("plants")))
    return None if n is None else voice.word("fate", body.get("fate", "missing"), n=n)


def settled_fate(body: Body, voice: Voice) -> str | None:
    return fate(body, voice) if "plants" in body else None


def doubt(body: Body, voice: Voice) -> str | None:
    code = str(body.get("doubt", "other")).split(":")[0]
    return voice.word("doubt_name", code) or voice.say("doubt_name.other")


def seen_alive(body: Body, voice: Voice) -> str | None:
    n = figure(body.get("alive"))
    method = voice.code("method", body.get("method", "?"))
    return None if n is None else voice.say("line.counted", n=n, method=method)


def minutes(body: Body, voice: Voice) -> str | None:
    spent = figure(body.get("minutes"))
    return None if spent is None else voice.say("line.spent", n=round(spent))


def trap(body: Body, voice: Voice) -> str | None:
    if body.get("answer") == "not_readable":
        return voice.say("look.not_readable")
    return each("catches", [caught])(body, voice) or voice.say("line.no_catch")


def caught(body: Body, voice: Voice) -> str | None:
    name = voice.name("pest", str(body.get("pest")))
    return voice.say("line.figure", text=name, n=figure(body.get("count")) or 0)


def sheet(body: Body, voice: Voice) -> str | None:
    """Who wrote it on paper, and whether that was photographed."""
    told = body.get("sheet")
    if not isinstance(told, Mapping) or not text(told.get("by")):
        return None
    key = "line.on_paper" if text(told.get("photo")) else "line.on_paper_bare"
    return voice.say(key, name=voice.name("person", told["by"]))


def of_file(body: Body, voice: Voice) -> str | None:
    """Which row of which spreadsheet told it; the file is known again by the start of its hash."""
    told = body.get("file")
    if not isinstance(told, Mapping) or not text(told.get("name")):
        return None
    mark = (text(told.get("sha256")) or "")[:MARK]
    return voice.say("line.from_file", name=told["name"], row=told.get("row", 0), mark=mark)


def who(body: Body, voice: Voice) -> str | None:
    visitor = body.get("visitor")
    if isinstance(visitor, Mapping) and text(visitor.get("name")):
        name, firm = visitor["name"], text(visitor.get("firm"))
        return voice.say("line.firm", text=name, firm=firm) if firm else str(name)
    return named("person", "person")(body, voice)


def addressee(body: Body, voice: Voice) -> str | None:
    name, how = text(body.get("who")), text(body.get("how"))
    # How somebody was told is a code of the phone's buttons, or a word that the desk typed.
    return voice.say("line.told", text=name, how=voice.code("told", how)) if name and how else name


def lifts(body: Body, voice: Voice) -> str | None:
    """An order is lifted by its reference; a find by an id, which nobody reads."""
    what = text(body.get("lifts"))
    if what is None:
        return None
    is_id = len(what) == 36 and what.count("-") == 4  # an id's form
    return voice.say("line.lifts", text=voice.say("line.a_find") if is_id else what)


def check(body: Body, voice: Voice) -> str | None:
    return voice.word("check", str(body.get("check", "")).split("-")[0])


def sampled(body: Body, voice: Voice) -> str | None:
    n = figure(body.get("plants"))
    key = "line.whole_plants" if body.get("whole") is True else "plants"
    return None if n is None else voice.say(key, n=n)


def pictures(body: Body, voice: Voice) -> str | None:
    photos = body.get("photos")
    n = len(photos) if isinstance(photos, list) else 0
    return voice.say("line.photos", n=n) if n else None


def into(body: Body, voice: Voice) -> str | None:
    labels = []
    for child in several(body.get("children")):
        plants = joined([counted("count", "plants"), *LABEL], child, voice)
        name = str(child.get("label", "?"))
        labels.append(voice.say("line.child", text=name, plants=plants) if plants else name)
    return voice.say("line.into", labels=labels) if labels else None


def left_in(body: Body, voice: Voice) -> str | None:
    name = voice.name("batch", str(body.get("id")))
    return voice.say("line.left_in", n=figure(body.get("left")) or 0, label=name)


def day_checks(body: Body, voice: Voice) -> str | None:
    """Say which checks of a planting day were signed away, each with its part of the field."""
    keys = body.get("checks")
    some = [str(key) for key in keys] if isinstance(keys, list) else []
    return ", ".join(_day_check(key, voice) for key in some) or None


def _day_check(key: str, voice: Voice) -> str:
    what, _, block = key.partition(":")
    name = voice.code("day_check", what)
    return voice.say("planting.at", check=name, block=voice.name("place", block)) if block else name


def relabelling(body: Body, _voice: Voice) -> str | None:
    old, new = text(body.get("old")), text(body.get("new"))
    return f"{old} → {new}" if old and new else None


def stood_open(body: Body, voice: Voice) -> str | None:
    """Say how long; where nobody knows when it was whole for the last time, nobody can tell."""
    span = body.get(STOOD_OPEN)
    if not isinstance(span, Mapping):
        return None
    if span["mended_at"] is None:
        return voice.say("release_file.not_mended")
    open_for = stood_open_for(body, voice)
    return (
        voice.say("release_file.open_for", span=open_for)
        if open_for
        else voice.say("release_file.open_unknown")
    )


def stood_open_for(body: Body, voice: Voice) -> str:
    span = body.get(STOOD_OPEN)
    minutes = figure(span["minutes"]) if isinstance(span, Mapping) else None
    return "" if minutes is None else voice.say("line.span", ms=minutes * MINUTE_MS)


def licence_that_day(body: Body, voice: Voice) -> str | None:
    """Say which licence of whoever treated was good on that day by the book, or that none was."""
    told = body.get(LICENCE_THAT_DAY)
    if not isinstance(told, Mapping):
        return None
    one = told["licence"]
    if one is None:
        return voice.say("release_file.no_licence", on=told["on"])
    named = " ".join(filter(None, (one["what"], one["number"])))
    if one["until"] is None:
        return voice.say("release_file.licence_no_end", text=named)
    return voice.say("release_file.licence_until", text=named, on=one["until"])


def count_of(field: str, key: str) -> Part:
    def told(body: Body, voice: Voice) -> str | None:
        value = body.get(field)
        return voice.say(key, n=len(value)) if isinstance(value, list) and value else None

    return told
