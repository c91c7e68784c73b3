"""For how long a room may have stood open: what its breach's own record cannot say yet."""

from collections.abc import Iterable, Iterator
from typing import Any

from nursery.paper.release_voice import Event, Facts
from nursery.paper.spoken import STOOD_OPEN


def with_span(events: Iterable[Event], facts: Facts) -> Iterator[dict[str, Any]]:
    """Yield the records, those of breaches with what the file works out of each."""
    found = (one["breach"] for one in facts["incidents"] if one["breach"])
    spans = {one["entry"]: one for one in found}
    for event in events:
        span = spans.get(event["entry"])
        yield {**event, "body": {**event["body"], STOOD_OPEN: span} if span else event["body"]}
