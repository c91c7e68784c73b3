"""What a record cannot say yet: how long a room stood open, whose licence was good on a day."""

from collections.abc import Iterable, Iterator
from typing import Any

from nursery.paper.release_voice import Event, Facts
from nursery.paper.spoken import LICENCE_THAT_DAY, STOOD_OPEN


def with_span(events: Iterable[Event], facts: Facts) -> Iterator[dict[str, Any]]:
    """Yield the records, those of breaches and treatments with what the file works out of each."""
    found = (one["breach"] for one in facts["incidents"] if one["breach"])
    spans = {one["entry"]: one for one in found}
    for event in events:
        entry, body = event["entry"], event["body"]
        worked_out = {STOOD_OPEN: spans.get(entry), LICENCE_THAT_DAY: facts["licences"].get(entry)}
        yield {**event, "body": {**body, **{k: v for k, v in worked_out.items() if v}}}
