"""The release file of a consignment as it is handed over: on paper, and as one signed file.

Both are made from one reading of the book. The paper carries the key's fingerprint and a code with
the digest of the signed file's seal, so that either can be held against the other.
"""

import io
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from typing import Any

import segno

from nursery.domain.entry import write_instant
from nursery.paper import bundle, pictures, release_words, typeset
from nursery.paper.bundle import Bundle
from nursery.paper.release_voice import first_language, voice_for
from nursery.services import release, words
from nursery.services.release import Release

TEMPLATE = "release.typ"
ERROR_LEVEL = "M"
# So many figures of the digest, in so large groups, stand beside the code.
SHOWN, GROUP = 12, 4


@dataclass(frozen=True, slots=True)
class Made:
    """A release with what it says in every language, and its signed file."""

    release: Release
    pages: Mapping[str, dict[str, Any]]
    bundle: Bundle
    photos: Mapping[str, bytes] = field(default_factory=dict)


def make(nursery: str, consignment: str, now: datetime) -> Made:
    """Read a consignment's file with the photos that are here, and sign it.

    Raises:
        Unknown: there is no such consignment.
        NothingToSignWith: the installation has no signing key.
    """
    read = release.read(nursery, consignment, now)
    told, photos = pictures.gathered(nursery, read.facts["photos"])
    return signed(replace(read, facts={**read.facts, "photos": told}), photos)


def signed(read: Release, photos: Mapping[str, bytes]) -> Made:
    """Put a release into words and sign it; `photos` are JPEGs by the names the records use."""
    pages = release_words.pages(read.facts)
    return Made(read, pages, bundle.make(read, pages, photos), photos)


def pdf(made: Made, language: str | None = None) -> bytes:
    """Return the file on paper, in a language or in the nursery's first."""
    return typeset.pdf(TEMPLATE, *composed(made, language))


def composed(made: Made, language: str | None) -> tuple[dict[str, Any], date, dict[str, bytes]]:
    """Return what the template is given, the day that is printed, and the pictures by file."""
    facts = made.release.facts
    chosen = language if language in words.languages() else first_language(facts)
    voice = voice_for(facts, chosen)
    # The year is printed once, whatever the day.
    undated = replace(voice, house=replace(voice.house, today=None))
    day = date.fromisoformat(facts["on"])
    named = {name: f"photo-{at}.jpg" for at, name in enumerate(sorted(made.photos))}
    check = _grouped(made.bundle.digest[:SHOWN])
    at = write_instant(made.release.at)
    sheet = {
        "page": made.pages[chosen],
        "date": {"year": day.year, "month": day.month, "day": day.day},
        "foot": " · ".join(
            (
                made.pages[chosen]["title"],
                undated.say("release_file.printed", at=at, year=at[:4], n=made.release.size),
                voice.say("release_file.check", text=check),
            )
        ),
        # The template knows the pages.
        "count": voice.say("release_file.page", n="{n}", of="{of}"),
        "proof": voice.say("release_file.proof", check=check, name=made.bundle.fingerprint),
        "code": {"svg": _code(made.bundle), "alt": voice.say("release_file.code", text=check)},
        "files": named,
    }
    return sheet, day, {file: made.photos[name] for name, file in named.items()}


def name_of(made: Made) -> str:
    """Return a name for the file: the permit's or the consignment's, and the day."""
    facts = made.release.facts
    permits = [one.get("reference", one["id"]) for one in facts["permits"]]
    name = "-".join((*permits, made.release.consignment, facts["on"]))
    return "".join(one if one.isascii() and one.isalnum() else "-" for one in name)


def written_code(made: Bundle) -> str:
    """Return what the printed code says: the digest of the seal, and the key."""
    return f"SHA256 {made.digest.upper()} KEY {made.fingerprint}"


def _code(made: Bundle) -> str:
    symbol = segno.make_qr(written_code(made), error=ERROR_LEVEL, mode="alphanumeric")
    picture = io.BytesIO()
    symbol.save(picture, kind="svg", border=0, xmldecl=False, svgns=True)
    return picture.getvalue().decode()


def _grouped(text: str) -> str:
    return " ".join(text[at : at + GROUP] for at in range(0, len(text), GROUP))
