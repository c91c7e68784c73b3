"""The shape of a push on the wire. Read by msgspec, since texts by the hundred pass here."""

import re
import zlib
from dataclasses import fields
from datetime import datetime
from typing import Any

import msgspec

from nursery.api.problems import Shut
from nursery.domain.entry import NAME
from nursery.services.installs import Outbox
from nursery.services.log import Outcome, Receipt

MOST_ENTRIES = 200
LARGEST_PACKED = 256 * 1024
# What a push may unpack to: 200 entries of 64 KB, written as JSON texts.
LARGEST_UNPACKED = 32 * 1024 * 1024
LARGEST_NUMBER = 2**53 - 1


class BadEnvelope(Shut):
    """No push at all; the phone splits it into single items."""

    status_code = 400

    def __init__(self) -> None:
        super().__init__("bad_envelope")


class TooBig(Shut):
    """More than a push may carry; the phone halves it."""

    status_code = 413

    def __init__(self) -> None:
        super().__init__("too_big")


class OutboxShape(msgspec.Struct):
    unsent: int = 0
    n_max: int = 0
    oldest: datetime | None = None
    photos: int = 0
    photo_bytes: int = 0


class PushShape(msgspec.Struct):
    """One push. The entries are texts, exactly as the phone stored them."""

    epoch: str
    install: str
    entries: list[str]
    phone_time: datetime | None = None
    app: str = ""
    persisted: bool | None = None
    outbox: OutboxShape = msgspec.field(default_factory=OutboxShape)
    wrong_pins: dict[str, int] = msgspec.field(default_factory=dict)


_OUTCOME = tuple(f.name for f in fields(Outcome))
_push = msgspec.json.Decoder(PushShape)


def read_push(body: bytes, encoding: str, *, most: int = MOST_ENTRIES) -> PushShape:
    """Return the push that a request's body holds, unpacked if need be.

    Raises:
        TooBig: more entries, or more bytes, than one push may carry.
        BadEnvelope: it is no push.
    """
    if encoding == "gzip":
        if len(body) > LARGEST_PACKED:
            raise TooBig
        body = _unpacked(body)
    try:
        push = _push.decode(body)
    except (msgspec.MsgspecError, UnicodeDecodeError, RecursionError):
        raise BadEnvelope from None
    if len(push.entries) > most:
        raise TooBig
    if not re.fullmatch(NAME, push.install) or not _sane(push):
        raise BadEnvelope
    return push


def _sane(push: PushShape) -> bool:
    box = push.outbox
    numbers = (box.unsent, box.n_max, box.photos, box.photo_bytes)
    moments = (push.phone_time, box.oldest)
    return all(0 <= number <= LARGEST_NUMBER for number in numbers) and all(
        moment is None or moment.tzinfo is not None for moment in moments
    )


def _unpacked(body: bytes) -> bytes:
    packed = zlib.decompressobj(wbits=31)
    try:
        text = packed.decompress(body, LARGEST_UNPACKED)
    except zlib.error:
        raise BadEnvelope from None
    if packed.unconsumed_tail:
        raise TooBig
    if not packed.eof:
        raise BadEnvelope
    return text


def outbox(push: PushShape, device: str, now: datetime) -> Outbox:
    """Return what the phone says about itself."""
    return Outbox(
        install=push.install,
        device=device,
        app=push.app[:40],
        persisted=push.persisted,
        unsent=min(push.outbox.unsent, 2**31 - 1),
        photos=min(push.outbox.photos, 2**31 - 1),
        n_max=push.outbox.n_max,
        oldest=push.outbox.oldest,
        skew=None if push.phone_time is None else push.phone_time - now,
        wrong_pins=push.wrong_pins,
        epoch=push.epoch,
    )


def receipt(answer: Receipt, now: datetime, app: dict[str, str]) -> dict[str, Any]:
    """Return the answer to a push as JSON."""
    return {
        "epoch": answer.epoch,
        "server_time": now,
        "durable_seq": answer.durable_seq,
        "results": [_outcome(outcome) for outcome in answer.outcomes],
        "holes": answer.holes,
        "head": {"seq": answer.last_seq, "hash": answer.chain},
        "app": app,
    }


def _outcome(outcome: Outcome) -> dict[str, Any]:
    told = ((name, getattr(outcome, name)) for name in _OUTCOME)
    return {name: value for name, value in told if value is not None}
