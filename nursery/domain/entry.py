"""What a person wrote: one immutable fact about one or more subjects.

An entry is read once, at the door, from the exact text a phone stored. What cannot be read as an
envelope is not an entry (`Unreadable`); what has a sound envelope and a body nobody can read yet is
an entry whose body is `kinds.Unread`, kept and doubted.
"""

import re
from collections.abc import Mapping
from datetime import datetime
from typing import Any, NamedTuple

from nursery.domain import kinds
from nursery.domain.kinds import shape

ID = re.compile(r"[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}")
KIND = re.compile(r"[a-z][a-z_]{0,39}")
NAME = re.compile(r"[^\s\x00-\x1f\x7f]{1,64}")
MOST_SUBJECTS = 500
LARGEST_NUMBER = 2**53 - 1


class Unreadable(ValueError):
    """The text is no entry: the envelope lacks `field`, or `field` cannot be read."""

    def __init__(self, field: str) -> None:
        super().__init__(field)
        self.field = field


class Entry(NamedTuple):
    """One fact, as its maker stored it.

    `occurred_at` is UTC with milliseconds; `n` counts the entries of one install from 1;
    `saw` is the id of the count, or of the head of the line, that its maker had on screen.
    Order among entries is `(occurred_at, id)`: deterministic, not causal.
    """

    id: str
    v: int
    kind: str
    about: tuple[str, ...]
    occurred_at: datetime
    offset_min: int
    by_hand: bool
    author: str
    confirmed: bool
    device: str
    install: str
    n: int
    based_on: int | None
    skew_ms: int | None
    corrects: str | None
    saw: str | None
    body: kinds.Body

    @property
    def line(self) -> str:
        """The id by which the book knows this fact, however often it was corrected."""
        return self.corrects or self.id

    @property
    def doer(self) -> str:
        """Who did it: the author, or who wrote it on the sheet that the author typed in (I-3)."""
        sheet = getattr(self.body, "sheet", None)
        return self.author if sheet is None else str(sheet.by)


def read(raw: object) -> Entry:
    """Return the entry that decoded JSON `raw` holds.

    Raises:
        Unreadable: the envelope is not sound; names the first field at fault.
    """
    if not isinstance(raw, dict):
        raise Unreadable("entry")
    body = raw.get("body")
    if not isinstance(body, dict):
        raise Unreadable("body")
    kind, v = _text(raw, "kind", KIND), _whole(raw, "v", least=1)
    saw = body.get("saw")
    return Entry(
        id=_text(raw, "id", ID),
        v=v,
        kind=kind,
        about=_about(raw),
        occurred_at=instant(raw.get("occurred_at"), "occurred_at"),
        offset_min=_whole(raw, "offset_min", least=-1440, default=0),
        by_hand=raw.get("by_hand") is True,
        author=_text(raw, "author", NAME),
        confirmed=raw.get("confirmed") is not False,
        device=_text(raw, "device", NAME),
        install=_text(raw, "install", NAME),
        n=_whole(raw, "n", least=1),
        based_on=_perhaps_whole(raw, "based_on"),
        skew_ms=_perhaps_whole(raw, "skew_ms"),
        corrects=None if raw.get("corrects") is None else _text(raw, "corrects", ID),
        saw=saw if isinstance(saw, str) else None,
        body=kinds.read(kind, v, body),
    )


def instant(raw: object, field: str) -> datetime:
    """Return the instant that `field` holds in its one canonical form (see `shape.instant`)."""
    try:
        return shape.instant(raw)
    except shape.Misfit:
        raise Unreadable(field) from None


def write_instant(moment: datetime) -> str:
    """Return `moment` (UTC) in the one canonical form."""
    return moment.isoformat(timespec="milliseconds")[:23] + "Z"


def _about(raw: Mapping[str, Any]) -> tuple[str, ...]:
    about = raw.get("about")
    if not isinstance(about, list) or not 1 <= len(about) <= MOST_SUBJECTS:
        raise Unreadable("about")
    for name in about:
        if not isinstance(name, str) or not NAME.fullmatch(name):
            raise Unreadable("about")
    return tuple(about) if len(about) == 1 else tuple(dict.fromkeys(about))


def _text(raw: Mapping[str, Any], field: str, form: re.Pattern[str]) -> str:
    value = raw.get(field)
    if not isinstance(value, str) or not form.fullmatch(value):
        raise Unreadable(field)
    return value


def _whole(raw: Mapping[str, Any], field: str, *, least: int, default: int | None = None) -> int:
    value = raw.get(field, default)
    if type(value) is not int or not least <= value <= LARGEST_NUMBER:
        raise Unreadable(field)
    return value


def _perhaps_whole(raw: Mapping[str, Any], field: str) -> int | None:
    value = raw.get(field)
    if value is None:
        return None
    if type(value) is not int or abs(value) > LARGEST_NUMBER:
        raise Unreadable(field)
    return value
