"""Whether a book can be trusted: opened, counted, every link of its chain worked out anew."""

from typing import Any

from django.db import connection

from nursery.services import counts, schema, verify
from nursery.services.counts import Counts


def of_this_book() -> tuple[Counts, list[str]]:
    """Return what the book holds, and in words what is wrong with it."""
    faults = [f"the table's migration {name} is unknown" for name in schema.unknown()]
    if connection.vendor == "sqlite":
        faults += [str(row[0]) for row in _ask("PRAGMA integrity_check") if row[0] != "ok"]
    counted = counts.read(_ask)
    for nursery in counted.heads:
        faults += [f"{nursery}: {fault}" for fault in verify.chain(nursery)]
    return counted, faults


def _ask(sql: str) -> list[tuple[Any, ...]]:
    with connection.cursor() as cursor:
        cursor.execute(sql)
        return [*cursor.fetchall()]
