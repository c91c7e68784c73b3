"""Records that the grower writes at the desk, signed in, without a phone that has joined.

The server is the device then: it makes the id and the number, and takes the record in by the one
way that all records come.
"""

import secrets
import uuid
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

import orjson

from nursery.domain import kinds
from nursery.domain.admission import Status
from nursery.domain.entry import write_instant
from nursery.domain.kinds.common import Unread
from nursery.services import log
from nursery.services.errors import NobodyWrites, RecordUnreadable
from nursery.services.installs import Outbox
from nursery.store.scope import scope

DEVICE = "desk"
INSTALL = "i-desk"
NO_OFFSET = timedelta()


@dataclass(frozen=True, slots=True)
class Said:
    """What somebody at the desk says of some subjects; it happened now, or `at` an instant."""

    kind: str
    about: Sequence[str]
    body: Mapping[str, Any]
    at: datetime | None = None


def write(nursery: str, person: str, said: Said, now: datetime) -> str:
    """Write a record by a person who signed in, and return its id.

    A phone's odd record is kept and doubted; here somebody sits who can put it right at once.

    Raises:
        NobodyWrites: the account is none of the nursery's people.
        RecordUnreadable: it is no record of this kind; nothing was written.
    """
    [ident] = write_together(nursery, person, [said], now)
    return ident


def write_together(
    nursery: str, person: str, said: Sequence[Said], now: datetime
) -> tuple[str, ...]:
    """Write records of one act at once, and return their ids; raises as `write` does."""
    if not person:
        raise NobodyWrites(value=nursery)
    texts, idents = [], []
    for more, one in enumerate(said):
        body = kinds.read(one.kind, kinds.VERSIONS.get(one.kind, 1), one.body)
        if isinstance(body, Unread):
            raise RecordUnreadable(kind=one.kind, field=body.why)
        idents.append(_new_id(now))
        envelope = _envelope(idents[-1], person, one.at or now)
        try:
            texts.append(_text(nursery, {**envelope, **_told(one)}, now, more))
        except TypeError:  # a number or a text that no JSON of ours holds
            raise RecordUnreadable(kind=one.kind, field="body") from None
    outcomes = log.receive(nursery, Outbox(INSTALL, DEVICE), texts, now).outcomes
    for one, outcome in zip(said, outcomes, strict=True):
        if outcome.status is not Status.STORED:
            raise RecordUnreadable(kind=one.kind, field="about")
    return tuple(idents)


def _envelope(ident: str, person: str, at: datetime) -> dict[str, Any]:
    return {
        "id": ident,
        "occurred_at": write_instant(at),
        "by_hand": False,
        "author": person,
        "confirmed": True,
        "device": DEVICE,
        "install": INSTALL,
        "skew_ms": 0,
        "corrects": None,
        "salt": secrets.token_hex(8),
    }


def _told(said: Said) -> dict[str, Any]:
    version = kinds.VERSIONS[said.kind]
    return {"v": version, "kind": said.kind, "about": list(said.about), "body": dict(said.body)}


def _text(nursery: str, entry: dict[str, Any], now: datetime, more: int) -> str:
    """Return the text of a record; `more` were made since the book was last written to."""
    with scope(nursery) as book:
        before = book.installs.filter(ident=INSTALL).values_list("n_max", flat=True).first()
        offset = book.zone.utcoffset(now) or NO_OFFSET
        standing = {
            "n": (before or 0) + 1 + more,
            "based_on": book.head.last_seq,
            "offset_min": round(offset.total_seconds() / 60),
        }
    return orjson.dumps({**entry, **standing}).decode()


def _new_id(now: datetime) -> str:
    """Return a UUIDv7 (RFC 9562) of this instant."""
    ms, chance = round(now.timestamp() * 1000), secrets.randbits(74)
    high = ms << 16 | 0x7000 | chance >> 62
    low = 0b10 << 62 | chance & (1 << 62) - 1
    return str(uuid.UUID(int=high << 64 | low))
