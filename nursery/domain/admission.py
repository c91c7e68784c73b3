"""What becomes of a text that a phone sends: it is never refused.

An entry is stored; one dated more than a day ahead is stored and set aside until its day or a
person releases it; what is no entry is kept raw for a person. Each answer ends sending.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from typing import Any

from nursery.domain.chain import text_hash
from nursery.domain.entry import Entry, Unreadable, read

# The future that a phone's clock may claim (design, "Admission").
AHEAD = timedelta(hours=24)
# An entry is at most this long by construction of the app (sync protocol, section 9.5).
LONGEST = 64 * 1024


class Status(StrEnum):
    STORED = "stored"
    KNOWN = "known"
    SET_ASIDE = "set_aside"
    KEPT_RAW = "kept_raw"


@dataclass(frozen=True, slots=True)
class Admitted:
    """A text that is an entry of this nursery."""

    text: str
    hash: str
    entry: Entry
    set_aside: bool


@dataclass(frozen=True, slots=True)
class Kept:
    """A text that is none: `code` says why, `field` where, `ident` is its id if it has one."""

    text: str
    hash: str
    code: str
    field: str
    ident: str
    n: int | None


def admit(text: str, raw: object, nursery: str, now: datetime) -> Admitted | Kept:
    """Return what becomes of `text`, which decodes to `raw` (None where it is no JSON)."""
    hashed = text_hash(text)
    try:
        entry = read(raw)
    except Unreadable as fault:
        return _kept(text, hashed, raw, "unreadable", fault.field)
    if len(text.encode()) > LONGEST:
        return _kept(text, hashed, raw, "too_long", "entry")
    if "\n" in text or "\r" in text:
        # The feed is told line by line; no phone could tell where such an entry ends.
        return _kept(text, hashed, raw, "unreadable", "line_break")
    if isinstance(raw, Mapping) and raw.get("nursery", nursery) != nursery:
        return _kept(text, hashed, raw, "wrong_nursery", "nursery")
    return Admitted(text, hashed, entry, entry.occurred_at > now + AHEAD)


def reused(item: Admitted) -> Kept:
    """The id of this entry already names an entry with other content."""
    entry = item.entry
    return Kept(item.text, item.hash, "id_reused", "id", entry.id, entry.n)


def crashed(item: Admitted) -> Kept:
    """Taking this entry in failed, though nothing is wrong with its envelope."""
    entry = item.entry
    return Kept(item.text, item.hash, "not_taken_in", "body", entry.id, entry.n)


def _kept(text: str, hashed: str, raw: object, code: str, field: str) -> Kept:
    fields: Mapping[str, Any] = raw if isinstance(raw, Mapping) else {}
    ident, n = fields.get("id"), fields.get("n")
    return Kept(
        text,
        hashed,
        code,
        field,
        ident if isinstance(ident, str) and len(ident) <= 64 and ident.isprintable() else "",
        n if type(n) is int and 1 <= n < 2**53 else None,
    )
