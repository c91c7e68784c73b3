"""The photos of a release file in words: each with its record, who, when and hash, or why not."""

from collections.abc import Mapping
from typing import Any

from nursery.paper.release_voice import Facts, moment, subjects_of
from nursery.paper.telling import Voice

DIGEST_SHOWN = 16


def told(facts: Facts, voice: Voice) -> dict[str, Any]:
    """Return the list of photos: a figure for each, in order of taking, missing ones as well."""
    figures = [_figure(photo, voice) for photo in facts["photos"]]
    missing = sum(bool(one["missing"]) for one in figures)
    return {
        "name": "photos",
        "title": voice.say("release_file.list.photos"),
        "columns": [],
        "rows": [],
        "none": voice.say("release_file.nothing"),
        "wide": 0,
        "shared": None,
        "figures": figures,
        "about": voice.say("release_file.photos_made", n=len(figures), missing=missing),
        "enlarge": voice.say("release_file.photo_enlarge"),
    }


def _figure(photo: Mapping[str, Any], voice: Voice) -> dict[str, Any]:
    why = None if photo.get("picture") else photo.get("missing") or "not_sent"
    shows = _shows(photo, voice)
    return {
        "photo": photo["name"],
        "shows": shows,
        "alt": voice.say("release_file.photo_alt", text=shows),
        "missing": voice.say(f"release_file.photo.{why}") if why else "",
        "lines": [line for line in (_taken(photo, voice), *_records(photo, voice)) if line],
    }


def _shows(photo: Mapping[str, Any], voice: Voice) -> str:
    """Return of what it is: as its record says, else by what names it."""
    if photo["shows"]:
        what = voice.code("shows", photo["shows"])
    else:
        kinds = dict.fromkeys(_kind(one["kind"], voice) for one in photo["named_by"])
        what = ", ".join(kinds) or voice.say("release_file.not_described")
    return ": ".join(filter(None, (subjects_of(photo, voice), what)))


def _kind(kind: str, voice: Voice) -> str:
    return voice.word("kind", kind) or voice.say("kind.other")


def _taken(photo: Mapping[str, Any], voice: Voice) -> str:
    when = moment(photo["at"], voice) if photo["at"] else ""
    return " · ".join(
        filter(None, (when, voice.name("person", photo["by"]) if photo["by"] else ""))
    )


def _records(photo: Mapping[str, Any], voice: Voice) -> list[str]:
    """Return what described it, what names it, and the hash by which its record knows it."""
    kinds: dict[str, list[str]] = {}
    for one in photo["named_by"]:
        kinds.setdefault(one["kind"], []).append(str(one["seq"]))
    named = [
        voice.say("release_file.photo_named", text=_kind(kind, voice), names=", ".join(numbers))
        for kind, numbers in kinds.items()
    ]
    own = [voice.say("release_file.photo_record", n=photo["seq"])] if photo["seq"] else []
    digest = photo["sha256"]
    hashed = [voice.say("release_file.photo_hash", text=digest[:DIGEST_SHOWN])] if digest else []
    return [" · ".join((*own, *named)), *hashed]
