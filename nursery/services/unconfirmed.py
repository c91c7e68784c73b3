"""Records that were written without a PIN, until the grower has said whose they are."""

from collections.abc import Iterable, Mapping
from typing import Any

import orjson

from nursery.store.scope import Scope

CODE = "unconfirmed"


def among(book: Scope, doubtful: Iterable[Mapping[str, Any]]) -> list[dict[str, Any]]:
    """Return each unconfirmed record once, oldest first, with all that it is about.

    Args:
        book: the nursery's rows.
        doubtful: subjects with their open doubts, as the list of what needs a look has them.
    """
    subjects: dict[str, list[dict[str, Any]]] = {}
    for item in doubtful:
        for doubt in item["doubts"]:
            if doubt["code"] == CODE:
                about = {"id": item["subject"], "label": item["label"]}
                subjects.setdefault(doubt["entries"][0], []).append(about)
    rows = book.entries.filter(ident__in=list(subjects)).exclude(text="")
    return [
        {
            "doubt": f"{CODE}:{row.ident}",
            "subjects": subjects[row.ident],
            "entry": orjson.loads(row.text),
        }
        for row in rows.order_by("occurred_at", "ident")
    ]
