"""Entries about some subjects that are of some kinds: which batches came of which, who was told."""

from collections import defaultdict
from collections.abc import Iterable

import orjson
from django.db import connection

from nursery.domain import entry as entries
from nursery.domain.entry import Entry
from nursery.store.lines import COUNTS, THEN
from nursery.store.scope import Scope

# Kinds by which a batch may get a parent.
BIRTHS = ("split", "pricked", "mixed", "joined", "stuck", "worked")

_OF_KINDS = """SELECT a.subject, f.text FROM about a
    {then} feed f ON f.nursery_id = a.nursery_id AND f.seq = a.seq
    WHERE a.nursery_id = %s AND a.subject IN ({names}) AND f.what IN ({kinds}) AND {counts}
    ORDER BY f.seq"""

# SQLite takes at most 32 766 parameters in one statement.
_AT_ONCE = 5000


def told_of(book: Scope, subjects: Iterable[str], kinds: Iterable[str]) -> dict[str, list[Entry]]:
    """Return the entries of some kinds about each subject that count, in the order of the feed."""
    found: dict[str, list[Entry]] = defaultdict(list)
    names, wanted = sorted(set(subjects)), sorted(kinds)
    with connection.cursor() as cursor:
        for start in range(0, len(names), _AT_ONCE):
            some = names[start : start + _AT_ONCE]
            sql = _OF_KINDS.format(
                then=THEN[connection.vendor],
                names=", ".join(["%s"] * len(some)),
                kinds=", ".join(["%s"] * len(wanted)),
                counts=COUNTS,
            )
            cursor.execute(sql, [book.key, *some, *wanted])
            for subject, text in cursor.fetchall():
                if text:
                    found[subject].append(entries.read(orjson.loads(text)))
    return found
