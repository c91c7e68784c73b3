"""The real services as a server for `Phone`, at the bytes of the wire and without HTTP."""

import itertools
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

import orjson
from django.db import connection

from nursery.api import wire
from nursery.domain.entry import Entry
from nursery.services import log, nurseries, pull
from nursery.services.errors import EpochChanged
from nursery.store import lines
from nursery.store.models import (
    AboutRow,
    FeedRow,
    HeadRow,
    InstallRow,
    KeptRawRow,
    NurseryRow,
    RefRow,
    SubjectRow,
)  # fmt: skip
from nursery.store.scope import scope
from tests.phone import Answered

_names = (f"veshmere-{number}" for number in itertools.count())


@dataclass
class Real:
    """One nursery; a backup is a copy of its rows under another name, and so is a restore."""

    now: datetime
    device: str = "d-1"
    ident: str = field(default_factory=lambda: next(_names))

    def __post_init__(self) -> None:
        nurseries.begin(self.ident, "Veshmere Terraces", "Etc/GMT-10")

    @property
    def epoch(self) -> str:
        return pull.epoch(self.ident)

    def push(self, body: dict[str, Any]) -> dict[str, Any]:
        push = wire.read_push(orjson.dumps(body), "")
        box = wire.outbox(push, self.device, self.now)
        try:
            receipt = log.receive(self.ident, box, push.entries, self.now)
        except EpochChanged as error:
            raise _refused(error) from None
        answer: dict[str, Any] = orjson.loads(orjson.dumps(wire.receipt(receipt, self.now, {})))
        return answer

    def pull(self, after: str, limit: int) -> Iterable[bytes]:
        at = pull.cursor(after)
        if at is None:
            return b"".join(pull.snapshot(self.ident, self.now)).splitlines()
        try:
            return b"".join(pull.after(self.ident, at, limit, self.now)).splitlines()
        except EpochChanged as error:
            raise _refused(error) from None

    def check(self, ids: list[str]) -> list[str]:
        return pull.lacking(self.ident, ids)

    def back_up(self) -> str:
        """Copy the book, and let phones forget what the copy holds."""
        copy = _copy(self.ident)
        with scope(self.ident, write=True) as book:
            head = book.lock_head()
            HeadRow.objects.filter(pk=book.key).update(durable_seq=head.last_seq)
        return copy

    def restore(self, backup: str) -> None:
        """Go on with the book of a backup, as a new epoch."""
        self.ident = _copy(backup)
        HeadRow.objects.filter(nursery__ident=self.ident).update(epoch=nurseries.new_epoch())

    def entries(self) -> Iterable[Entry]:
        with scope(self.ident) as book:
            subjects = AboutRow.objects.filter(nursery_id=book.key).values_list(
                "subject", flat=True
            )
            found = lines.of_subjects(book, {*subjects})
        return [entry for some in found.values() for entry in some]

    def states(self) -> list[dict[str, Any]]:
        """Return the kept states of all subjects."""
        with scope(self.ident) as book:
            return [orjson.loads(row.state) for row in book.subjects.order_by("type", "ident")]

    def ids(self) -> list[str]:
        with scope(self.ident) as book:
            return [*book.entries.order_by("seq").values_list("ident", flat=True)]


def _refused(error: EpochChanged) -> Answered:
    return Answered(error.status, {"code": error.code, "params": error.params})


def _copy(ident: str) -> str:
    """Copy every row of a nursery under a new name, and return that."""
    name = next(_names)
    old = NurseryRow.objects.get(ident=ident)
    new = NurseryRow.objects.create(ident=name, name=old.name, zone=old.zone)
    with connection.cursor() as cursor:
        for model in (HeadRow, FeedRow, AboutRow, KeptRawRow, RefRow, SubjectRow, InstallRow):
            columns = [str(field.column) for field in model._meta.concrete_fields]
            rest = ", ".join(name for name in columns if name not in ("id", "nursery_id"))
            table = model._meta.db_table
            cursor.execute(
                f"INSERT INTO {table} (nursery_id, {rest})"
                f" SELECT %s, {rest} FROM {table} WHERE nursery_id = %s",
                [new.pk, old.pk],
            )
    return name
