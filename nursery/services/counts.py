"""What a book holds at one moment: rows per table, and where the feed of each nursery stands."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django.apps import apps

Ask = Callable[[str], list[tuple[Any, ...]]]


@dataclass(frozen=True, slots=True)
class Counts:
    """Rows by table name, and the last number of the feed by nursery."""

    rows: dict[str, int]
    heads: dict[str, int]


def read(ask: Ask) -> Counts:
    """Count by plain SQL, so that any open connection will do."""
    models = apps.get_app_config("store").get_models()
    tables = sorted(model._meta.db_table for model in models)  # noqa: SLF001  Django's published API
    rows = {name: int(ask(f'SELECT count(*) FROM "{name}"')[0][0]) for name in tables}  # noqa: S608  names of our tables
    heads = ask(
        "SELECT n.ident, h.last_seq FROM head h JOIN nursery n ON n.id = h.nursery_id ORDER BY 1"
    )
    return Counts(rows, {str(ident): int(seq) for ident, seq in heads})
