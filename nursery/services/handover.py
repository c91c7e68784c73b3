"""The signed file that goes with plants to a neighbour, and taking such a file on."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

import orjson

from nursery.domain import handover
from nursery.domain.kinds.shape import Misfit
from nursery.services import desk, outlook, rows, signing
from nursery.services.desk import Said
from nursery.services.errors import HandoverAltered, HandoverUnreadable, PlantsThere, Unknown
from nursery.store.models import SubjectRow
from nursery.store.scope import Scope, scope


@dataclass(frozen=True, slots=True)
class Taken:
    """What was taken on, from which nursery, and by which key its file was signed."""

    nursery: str
    fingerprint: str
    consignment: str
    batches: tuple[str, ...]

    def as_json(self) -> dict[str, Any]:
        return {
            "nursery": self.nursery,
            "fingerprint": self.fingerprint,
            "consignment": self.consignment,
            "batches": list(self.batches),
        }


def file_of(nursery: str, record: str) -> dict[str, Any]:
    """Return the signed file of a record of sending.

    Raises:
        Unknown: the book has no such record, or it was taken back.
        NothingToSignWith: the installation has no secret for it yet.
    """
    with scope(nursery) as book:
        facts = handover.of_record(record, book.nursery.name, outlook.read_book(book))
    if facts is None:
        raise Unknown("record", record)
    signer = signing.of(nursery)
    return {
        "format": handover.FORMAT,
        "key": signer.public,
        "fingerprint": signer.fingerprint,
        "signature": signer.sign(_text(facts)),
        "facts": facts,
    }


def take_on(
    nursery: str, person: str, file: Mapping[str, Any], place: str | None, now: datetime
) -> Taken:
    """Take plants on that a neighbour handed over with a file (rule N-7).

    Raises:
        HandoverUnreadable: it is no such file, or a field of it is not what it must be.
        HandoverAltered: what it says is not what was signed.
        PlantsThere: the book knows one of its batches already.
        NobodyWrites: the account is none of the nursery's people.
        RecordUnreadable: a record that the file leads to is none.
    """
    told, fingerprint = _read(file)
    names = [part.id for part in told.batches]
    consignment = f"from-{told.record}"[:64]
    # Goods, batches and holds are one act: where a part is refused nothing of it is there.
    with scope(nursery, write=True) as book:
        book.lock_head()
        _refuse_known(book, names)
        permit = _permit(book, told)
        goods = rows.Row("consignment", consignment, None, handover.goods(told, permit))
        rows.put(nursery, goods, now)
        said = [Said(*one) for one in handover.records(told, consignment, place, permit)]
        desk.write_together(nursery, person, said, now)
    return Taken(told.nursery, fingerprint, consignment, tuple(names))


def _refuse_known(book: Scope, names: Sequence[str]) -> None:
    known = book.subjects.filter(type=SubjectRow.BATCH, ident__in=names).order_by("ident")
    there = known.values_list("label", flat=True).first()
    if there is not None:
        raise PlantsThere(value=there)


def _permit(book: Scope, told: handover.Handover) -> str | None:
    """Return the permit that is typed here under the reference of one in the file."""
    wanted = {part.permit for part in told.batches} - {None}
    own = (row.id for row in rows.every(book, "permit") if row.body["reference"] in wanted)
    return next(own, None)


def _read(file: Mapping[str, Any]) -> tuple[handover.Handover, str]:
    if file.get("format") != handover.FORMAT or not isinstance(file.get("facts"), Mapping):
        raise HandoverUnreadable(field="format")
    try:
        key, signature = bytes.fromhex(file["key"]), bytes.fromhex(file["signature"])
        text = _text(file["facts"])
    except (KeyError, TypeError, ValueError):
        raise HandoverUnreadable(field="signature") from None
    if not signing.signed_by(key, text, signature):
        raise HandoverAltered
    try:
        return handover.read(file["facts"]), signing.fingerprint(key)
    except Misfit as misfit:
        raise HandoverUnreadable(field=str(misfit)) from None


def _text(facts: Mapping[str, Any]) -> str:
    """Return facts in the one way in which they are signed: keys in order, nothing between."""
    return orjson.dumps(facts, option=orjson.OPT_SORT_KEYS).decode()
