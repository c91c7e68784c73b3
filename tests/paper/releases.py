"""Releases as values, without a database: a small one, and one of the whole scene."""

import json
from datetime import UTC, datetime
from typing import Any

from nursery.domain import chain
from nursery.paper import bundle, release_words
from nursery.paper.bundle import NO_PHOTOS, Bundle
from nursery.services.release import Line, Release
from tests.domain.release_scene import file_of, whole

AT = datetime(2031, 5, 20, 8, tzinfo=UTC)
SECRET = "a secret that only tests know, long enough to make a key"


def release_of(texts: list[tuple[str, str]], chosen: set[int], facts: dict[str, Any]) -> Release:
    """Return a release over a feed of these ids and texts, of which some are handed over."""
    links = [chain.START]
    for seq, (ident, text) in enumerate(texts, 1):
        links.append(chain.link(links[-1], seq, ident, chain.text_hash(text)))
    lines = tuple(
        Line(seq, ident, links[seq - 1], text)
        for seq, (ident, text) in enumerate(texts, 1)
        if seq in chosen
    )
    return Release("veshmere", "c-1", facts, lines, tuple(links[1:]), AT)


def small() -> Release:
    """Four records of seven lines; one has letters beyond ASCII, a quote and a tag."""
    texts = [(f"e-{at}", json.dumps({"n": at})) for at in range(1, 8)]
    texts[2] = ("e-3", json.dumps({"n": "ñandú </script> \u2028 \\"}, ensure_ascii=False))
    return release_of(texts, {1, 3, 4, 7}, {"on": "2031-05-20"})


def of_scene() -> Release:
    house = whole()
    texts = [(raw["id"], json.dumps(raw)) for raw in house.raws]
    facts = {**file_of(house, "2031-05-20"), "as_of_seq": len(texts)}
    return release_of(texts, set(range(1, len(texts) + 1, 2)), facts)


def small_bundle(photos: dict[str, bytes] | None = None) -> Bundle:
    return bundle.make(small(), {}, photos or NO_PHOTOS)


def scene_bundle() -> Bundle:
    release = of_scene()
    return bundle.make(release, release_words.pages(release.facts))
