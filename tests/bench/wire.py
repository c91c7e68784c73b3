"""How many bytes of a pull go over the wire, packed as the API packs it."""

# ruff: noqa: PLC0415  Django is loaded once the database to measure is there

from collections.abc import Sequence

CODINGS = ("br", "gzip")


def packed(lines: Sequence[bytes], coding: str) -> int:
    """Return the bytes of an answer that holds these lines."""
    from django.test import RequestFactory

    from nursery.api import packed as packing

    request = RequestFactory().get("/", headers={"Accept-Encoding": coding})
    return len(b"".join(packing.stream(request, lines)))
