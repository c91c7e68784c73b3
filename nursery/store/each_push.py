"""What every push of every phone asks, in statements that are written once.

The ORM writes a statement anew each time that it is asked, which takes ten times as long as the
database takes to answer it: of a push of twenty records that was nearly half. All else goes by the
ORM; these go by the same connection, and see under PostgreSQL's policies what that would see.
"""

from collections.abc import Callable, Collection, Iterable
from datetime import datetime
from functools import cached_property
from typing import Any, Generic, TypeVar

import orjson
from django.db import DatabaseError, connection
from django.db.models import Model

from nursery.store.models import HeadRow, InstallRow, NurseryRow

M = TypeVar("M", bound=Model)


class _Table(Generic[M]):
    """A table of the ORM's, whose rows are read and kept as the ORM does."""

    def __init__(self, model: type[M]) -> None:
        options = model._meta  # noqa: SLF001  Django documents it as its API
        self._model = model
        self._fields = options.concrete_fields
        self._names = [field.attname for field in self._fields]
        columns = [str(field.column) for field in self._fields]
        key = str(options.pk.column)
        self._read = f"SELECT {', '.join(columns)} FROM {options.db_table} WHERE "  # noqa: S608  # words of ours
        given = ", ".join(f"{column} = %s" for column in columns if column != key)
        self._keep = f"UPDATE {options.db_table} SET {given} WHERE {key} = %s"  # noqa: S608  # words of ours

    @cached_property
    def _read_as(self) -> list[tuple[int, Callable[..., Any], Any]]:
        """Return the place of each column that a database tells in its own way, and its reader."""
        columns = [field.get_col(self._model._meta.db_table) for field in self._fields]  # noqa: SLF001
        return [
            (place, reads, column)
            for place, column in enumerate(columns)
            for reads in (
                *connection.ops.get_db_converters(column),
                *column.get_db_converters(connection),
            )
        ]

    def first(self, where: str, *values: Any) -> M | None:
        """Return the row of which `where`, in words of ours, holds; None where there is none."""
        found = _one(self._read + where, *values)
        if found is None:
            return None
        told = list(found)
        for place, reads, column in self._read_as:
            told[place] = reads(told[place], column, connection)
        return self._model.from_db(connection.alias, self._names, told)

    def keep(self, row: M) -> None:
        """Keep all of a row that was read.

        Raises:
            DatabaseError: it is no longer there.
        """
        told = [
            field.get_db_prep_save(getattr(row, field.attname), connection)
            for field in self._fields
            if not field.primary_key
        ]
        _kept(self._keep, *told, row.pk)


NURSERIES = _Table(NurseryRow)
HEADS = _Table(HeadRow)
INSTALLS = _Table(InstallRow)


def _one(sql: str, *values: Any) -> tuple[Any, ...] | None:
    with connection.cursor() as cursor:
        cursor.execute(sql, values)
        found: tuple[Any, ...] | None = cursor.fetchone()
        return found


def _changed(sql: str, *values: Any) -> int:
    with connection.cursor() as cursor:
        cursor.execute(sql, values)
        return int(cursor.rowcount)


def _kept(sql: str, *values: Any) -> None:
    """Change the one row that is there.

    Raises:
        DatabaseError: it is not, or may not be seen here.
    """
    if _changed(sql, *values) != 1:
        raise DatabaseError("a row that was read is no longer there")


def _at(moment: datetime) -> Any:
    return connection.ops.adapt_datetimefield_value(moment)


def nursery(ident: str) -> NurseryRow | None:
    """Return the nursery of a name; None where none is called so."""
    return NURSERIES.first("ident = %s", ident)


def head(nursery: int, *, lock: bool = False) -> HeadRow:
    """Return where a nursery's feed stands; `lock` takes it for this transaction.

    On SQLite the writer already is the only one.

    Raises:
        HeadRow.DoesNotExist: no feed of such a nursery may be seen here.
    """
    locked = " FOR UPDATE" if lock and connection.features.has_select_for_update else ""
    found = HEADS.first(f"nursery_id = %s{locked}", nursery)
    if found is None:
        raise HeadRow.DoesNotExist
    return found


def keep_head(row: HeadRow) -> None:
    """Keep how far a feed came, and the link of its last line.

    Raises:
        DatabaseError: no such head may be seen here.
    """
    _kept(
        "UPDATE head SET last_seq = %s, chain = %s WHERE nursery_id = %s",
        *(row.last_seq, row.chain, row.nursery_id),
    )


# PostgreSQL counts a table's rows a minute later at the earliest, and those of a new nursery in a
# large table only once a tenth of it is new. Until then it takes that nursery for empty, and any
# index that begins with the nursery for as good as another: it read the whole feed for some ids.
# So each id is looked up by itself, and the nursery is told as a sum, which no index answers.
KNOWN = {
    "sqlite": "SELECT ident, seq, hash FROM feed WHERE nursery_id = %(nursery)s"
    " AND type = 'entry' AND ident IN (SELECT value FROM json_each(%(asked)s))",
    "postgresql": "SELECT f.ident, f.seq, f.hash FROM unnest(%(asked)s::text[]) AS a (ident)"
    " CROSS JOIN LATERAL (SELECT ident, seq, hash FROM feed WHERE ident = a.ident"
    " AND type = 'entry' AND nursery_id + 0 = %(nursery)s LIMIT 1) AS f",
}


def known(nursery: int, idents: Iterable[str]) -> dict[str, tuple[int, str]]:
    """Return number and hash of those entries of the feed that have one of these ids."""
    listed = [*idents]
    asked = listed if connection.vendor == "postgresql" else orjson.dumps(listed).decode()
    with connection.cursor() as cursor:
        cursor.execute(KNOWN[connection.vendor], {"nursery": nursery, "asked": asked})
        return {ident: (seq, hashed) for ident, seq, hashed in cursor.fetchall()}


def links(nursery: int, seqs: Collection[int]) -> dict[int, str]:
    """Return the links of those of a feed's lines that have one of these numbers."""
    if not seqs:
        return {}
    marks = ", ".join(["%s"] * len(seqs))
    with connection.cursor() as cursor:
        cursor.execute(
            f"SELECT seq, link FROM feed WHERE nursery_id = %s AND seq IN ({marks})",  # noqa: S608
            [nursery, *seqs],
        )
        return dict(cursor.fetchall())


def install(nursery: int, ident: str) -> InstallRow | None:
    """Return what is known of an installation of the app; None where it is new."""
    return INSTALLS.first("nursery_id = %s AND ident = %s", nursery, ident)


def keep_install(row: InstallRow) -> None:
    """Keep what was noted of an installation that was known."""
    INSTALLS.keep(row)


def phone(secret_hash: str) -> tuple[str, str, bool] | None:
    """Return nursery and name of the phone with a secret, and whether it is shut out."""
    found = _one(
        "SELECT n.ident, d.ident, d.revoked_at IS NOT NULL FROM device d"
        " JOIN nursery n ON n.id = d.nursery_id WHERE d.secret_hash = %s",
        secret_hash,
    )
    return None if found is None else (found[0], found[1], bool(found[2]))


def may_be_shut(what: str, who: str) -> bool:
    """Whether a limit's row tells until when it shuts somebody out, be that over or not."""
    found = _one(
        "SELECT 1 FROM limit_used WHERE what = %s AND who = %s AND shut_until IS NOT NULL",
        *(what, who),
    )
    return found is not None


def one_more(what: str, who: str, since: datetime, now: datetime, below: int) -> bool:
    """Count one more where a limit's time began after `since`, with fewer than `below` in it."""
    return bool(
        _changed(
            "UPDATE limit_used SET used = used + 1 WHERE what = %s AND who = %s"
            " AND shut_until IS NULL AND since > %s AND since <= %s AND used < %s",
            *(what, who, _at(since), _at(now), below),
        )
    )


def outlook_mark(nursery: int) -> int | None:
    """Return from which line on the outlook is marked stale; None where it is not, or not made."""
    found = _one("SELECT stale_from FROM outlook WHERE nursery_id = %s", nursery)
    return None if found is None else found[0]


def mark_outlook(nursery: int, seq: int) -> None:
    """Mark the outlook stale from a line on, where it is made."""
    _changed("UPDATE outlook SET stale_from = %s WHERE nursery_id = %s", seq, nursery)


def job_waits(kind: str, nursery: int, until: datetime) -> bool:
    """Whether a new job of a kind is due by an instant. The first condition is its index's own."""
    found = _one(
        "SELECT 1 FROM job WHERE state IN ('new', 'running') AND state = 'new' AND kind = %s"
        " AND nursery_id = %s AND due_at <= %s LIMIT 1",
        *(kind, nursery, _at(until)),
    )
    return found is not None
