"""What was corrected: the record as it was first written, each later version, who, when and why."""

from collections import defaultdict
from typing import Any

from nursery.domain.entry import write_instant
from nursery.domain.release_file.told import Records, Told, written_at


def changes(records: Records) -> list[dict[str, Any]]:
    """Return every line of which more than one version is in the book, in order of happening."""
    lines: dict[str, list[Told]] = defaultdict(list)
    for ident, told in records.by_id.items():
        lines[records.line.lines.get(ident, ident)].append(told)
    stand = {one.line: one.id for one in records.line.entries}
    found = [
        {
            "line": original,
            "stands": stand.get(original),
            "versions": [_version(one) for one in sorted(told, key=lambda one: one.entry.id)],
        }
        for original, told in lines.items()
        if any(one.entry.corrects is not None for one in told)
    ]
    return sorted(found, key=lambda one: (one["versions"][0]["at"], one["line"]))


def _version(told: Told) -> dict[str, Any]:
    entry = told.entry
    return {
        "entry": entry.id,
        "seq": told.seq,
        "kind": entry.kind,
        "about": list(entry.about),
        "at": write_instant(entry.occurred_at),
        "by": entry.author,
        "confirmed": entry.confirmed,
        "written_at": written_at(entry.id),
        "received_at": write_instant(told.received_at),
        "why": told.body.get("fix"),
        "withdrawn": entry.kind == "withdrawn",
        "body": dict(told.body),
    }
