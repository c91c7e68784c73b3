"""Writing what a spreadsheet of stock becomes: by the one way in, all of it or nothing."""

import secrets
import uuid
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta
from hashlib import sha256
from typing import Any
from zoneinfo import ZoneInfo

import orjson

from nursery.domain import kinds
from nursery.domain.admission import Status
from nursery.domain.entry import write_instant
from nursery.domain.kinds.common import Unread
from nursery.domain.stock_file import Incoming, Plan, Wording, cells
from nursery.domain.stock_file.plan import arrived
from nursery.domain.stock_file.records import Draft, drafts
from nursery.services import desk, log, rows
from nursery.services.errors import RecordUnreadable
from nursery.services.installs import Outbox
from nursery.store.models import SubjectRow
from nursery.store.scope import Scope, scope

NOON = time(12)
# Goods have come before they are counted, also on one day.
BEFORE = timedelta(minutes=1)
EARLIER = timedelta(days=1)
ASKED_AT_ONCE = 500


@dataclass(frozen=True, slots=True)
class Lot:
    """What is to be written: the plan, name and hash of its file, and how its notes are headed."""

    plan: Plan
    file: Mapping[str, Any]
    wording: Wording


def write(nursery: str, person: str, lot: Lot, now: datetime) -> dict[str, int]:
    """Write crops, goods and records in one transaction, and return how many there are of each.

    Returns nothing, and writes nothing, where a row has come in meanwhile.

    Raises:
        RecordUnreadable: a row would become a record that nobody could read; nothing was written.
    """
    with scope(nursery, write=True) as book:
        book.lock_head()
        if _has_any(book, [one.id for one in lot.plan.incoming]):
            return {}
        crops = {cells.key(name): _crop(nursery, name, now) for name in lot.plan.crops()}
        goods = {
            cells.key(name): _goods(nursery, name, some, now)
            for name, some in lot.plan.goods().items()
        }
        made = [
            (one, draft)
            for one in lot.plan.incoming
            for draft in drafts(
                one,
                one.crop or crops[cells.key(one.crop_said)],
                one.goods or goods.get(cells.key(one.goods_said)),
                lot.file,
                lot.wording,
            )
        ]
        texts = list(_texts(book, person, made, now))
        receipt = log.receive_all(nursery, Outbox(desk.INSTALL, desk.DEVICE), texts, now)
        for (_, draft), outcome in zip(made, receipt.outcomes, strict=True):
            if outcome.status is not Status.STORED:
                raise RecordUnreadable(kind=draft.kind, field="about")
    return {"records": len(texts), "crops": len(crops), "goods": len(goods)}


def _has_any(book: Scope, ids: list[str]) -> bool:
    parts = (ids[at : at + ASKED_AT_ONCE] for at in range(0, len(ids), ASKED_AT_ONCE))
    batches = book.subjects.filter(type=SubjectRow.BATCH)
    return any(batches.filter(ident__in=part).exists() for part in parts)


def _crop(nursery: str, name: str, now: datetime) -> str:
    ident = _ident("crop", name)
    rows.put(nursery, rows.Row("crop", ident, None, {"name": name}), now)
    return ident


def _goods(nursery: str, name: str, some: list[Incoming], now: datetime) -> str:
    """Make the row of goods that the file names, under the permit that its rows say.

    Without a permit no gate opens until somebody types one, except where no plant is held under
    any here.
    """
    ident = _ident("goods", name)
    with scope(nursery) as book:
        conditions = all(row.body.get("conditions", True) for row in rows.every(book, "nursery"))
    on = arrived(some)
    body: dict[str, Any] = {
        "name": name,
        "supplier": name,
        "permit": some[0].permit,
        "without_conditions": not conditions,
        "lines": [],
        "arrived_on": None if on is None else on.isoformat(),
    }
    rows.put(nursery, rows.Row("consignment", ident, None, body), now)
    return ident


def _ident(kind: str, name: str) -> str:
    """Return the id of a row that is made of a name, the same whichever file names it."""
    return f"{kind}-{sha256(cells.key(name).encode()).hexdigest()[:16]}"


def _texts(
    book: Scope, person: str, made: list[tuple[Incoming, Draft]], now: datetime
) -> Iterator[str]:
    last = book.installs.filter(ident=desk.INSTALL).values_list("n_max", flat=True).first() or 0
    seq = book.head.last_seq
    for n, (one, draft) in enumerate(made, start=last + 1):
        version = kinds.VERSIONS[draft.kind]
        body: object = kinds.read(draft.kind, version, draft.body)
        if isinstance(body, Unread):
            raise RecordUnreadable(kind=draft.kind, field=body.why)
        at = _moment(draft, book.zone, now)
        offset = at.astimezone(book.zone).utcoffset() or timedelta()
        entry = {
            "id": _id_of(one.id, draft),
            "v": version,
            "kind": draft.kind,
            "about": [draft.about],
            "occurred_at": write_instant(at),
            "offset_min": round(offset.total_seconds() / 60),
            "by_hand": True,
            "author": person,
            "confirmed": True,
            "device": desk.DEVICE,
            "install": desk.INSTALL,
            "n": n,
            "based_on": seq,
            "skew_ms": 0,
            "corrects": None,
            "salt": secrets.token_hex(8),
            "body": dict(draft.body),
        }
        yield orjson.dumps(entry).decode()


def _moment(draft: Draft, zone: ZoneInfo, now: datetime) -> datetime:
    """Return noon of the day that a row names, which tells no hour; never an instant to come."""
    noon = datetime.combine(draft.on, NOON, zone).astimezone(now.tzinfo)
    return min(noon, now) - (BEFORE if draft.first else timedelta())


def _id_of(batch: str, draft: Draft) -> str:
    """Return the id of a record of a row: the same however often its file comes (rule I-7).

    A UUIDv7 (RFC 9562, 5.7) of the day before its own, with a hash in place of chance. Of the
    records that correct one another the greatest id stands (rule B-3), so this one has to lie
    below all that are still to be written, in every zone.
    """
    day = datetime.combine(draft.on - EARLIER, time(), UTC)
    ms = max(0, round(day.timestamp() * 1000))
    chance = int.from_bytes(sha256(f"{batch} {draft.kind}".encode()).digest()[:10]) >> 6
    high = ms << 16 | 0x7000 | chance >> 62
    low = 0b10 << 62 | chance & (1 << 62) - 1
    return str(uuid.UUID(int=high << 64 | low))
