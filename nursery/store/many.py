"""Rows by the hundred into one table, by one statement.

SQLite takes them one after the other (`executemany`). PostgreSQL takes no COPY where policies hold,
and an array of texts is escaped letter by letter on this side, which for texts full of quotation
marks costs more than the insert; so it is given all rows as one JSON text, which both sides write
and read quickly and which brings every text over as it is.
"""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

import orjson
from django.db import connection
from django.db.models import F
from django.db.models.lookups import Lookup
from django.db.models.sql.compiler import SQLCompiler


class _Among(Lookup):
    """A text is one of many, which go into the statement as one parameter."""

    prepare_rhs = False

    def as_postgresql(self, compiler: SQLCompiler, connection: Any) -> tuple[str, list[Any]]:
        column, told = self.process_lhs(compiler, connection)
        return f"{column} = ANY(%s)", [*told, self.rhs]

    def as_sqlite(self, compiler: SQLCompiler, connection: Any) -> tuple[str, list[Any]]:
        column, told = self.process_lhs(compiler, connection)
        values = orjson.dumps(self.rhs).decode()
        return f"{column} IN (SELECT value FROM json_each(%s))", [*told, values]  # noqa: S608


def among(field: str, values: Iterable[str]) -> "Lookup[str]":
    """Return a condition for `filter`: a field's text is one of these.

    Two hundred parameters cost more to write into a statement than to look up.
    """
    return _Among(F(field), [*values])


def insert(
    table: str,
    columns: Mapping[str, str],
    rows: Iterable[Sequence[Any]],
    *,
    once: Sequence[str] = (),
) -> None:
    """Insert rows; table and columns are the caller's own words, never anybody's input.

    Args:
        table: its name.
        rows: the values of each row.
        columns: each column with its type on PostgreSQL, in the order of the rows' values.
        once: columns that are unique together; of a row that is there the others are replaced.
    """
    names = ", ".join(columns)
    then = _replacing([name for name in columns if name not in once], once) if once else ""
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            typed = ", ".join(f"{name} {kind}" for name, kind in columns.items())
            cursor.execute(
                f"INSERT INTO {table} ({names}) SELECT {names} "  # noqa: S608  # words of ours
                f"FROM json_to_recordset(%s::json) AS given ({typed}) {then}",
                [orjson.dumps([dict(zip(columns, row, strict=True)) for row in rows]).decode()],
            )
        else:
            marks = ", ".join(["%s"] * len(columns))
            cursor.executemany(
                f"INSERT INTO {table} ({names}) VALUES ({marks}) {then}",  # noqa: S608  # words of ours
                list(rows),
            )


def _replacing(others: Iterable[str], once: Sequence[str]) -> str:
    new = ", ".join(f"{name} = excluded.{name}" for name in others)
    return f"ON CONFLICT ({', '.join(once)}) DO UPDATE SET {new}"
