"""Whether lines of the feed are there that are no entries, asked in each push of a crowd."""

from django.db import connection

from nursery.store.scope import Scope

_LOOKED_THROUGH = 1000
_NEXT = """SELECT 1 FROM feed WHERE nursery_id = %s AND seq > %s AND seq <= %s
    AND NOT type = 'entry' LIMIT 1"""
# By the index of lines that are no entries. SQLite would go by the number through all that came; a
# plus keeps it from that, and it takes the index where it is told which other types there are.
_OTHERS = """SELECT 1 FROM feed WHERE nursery_id = %s AND {seq} > %s
    AND type IN ('ref', 'gone', 'mark') AND NOT type = 'entry' LIMIT 1"""
_BY_ITSELF = {"sqlite": "+seq", "postgresql": "seq"}


def more_than_entries(book: Scope, after: int) -> bool:
    """Whether anything but entries was written after a number: a row, or a mark.

    The next lines are looked through; what comes after them may be tens of thousands, and few of
    a book's lines are none of entries.
    """
    others = _OTHERS.format(seq=_BY_ITSELF[connection.vendor])
    with connection.cursor() as cursor:
        cursor.execute(_NEXT, [book.key, after, after + _LOOKED_THROUGH])
        if cursor.fetchone():
            return True
        cursor.execute(others, [book.key, after + _LOOKED_THROUGH])
        return cursor.fetchone() is not None
