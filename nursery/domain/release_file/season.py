"""What lies ahead of the plants: the weeks in which they may be planted, and when pots are full."""

from collections.abc import Iterable
from datetime import date
from typing import Any

from nursery.domain import quarantine, seasons
from nursery.domain.batch import Batch
from nursery.domain.book import Book, gone


def season(batches: Iterable[Batch], book: Book, on: date) -> dict[str, Any]:
    """Return the first planting weeks that all can meet, those that are lost, and the pots' day.

    Of pots it is the first day on which some are full of roots (rules S-1 to S-3).
    """
    told = [
        reason
        for batch in batches
        if not gone(batch)
        for reason in seasons.ahead(batch, quarantine.clock(batch, book, on), book, on)
    ]
    weeks = [
        (one.params["first"], one.params["last"]) for one in told if one.code == "planting_weeks"
    ]
    lost = [one.params for one in told if one.code in ("main_weeks_lost", "weeks_lost")]
    weeks += [(one["next_first"], one["next_last"]) for one in lost]
    return {
        "weeks": list(max(weeks)) if weeks else None,
        "lost": list(max((one["first"], one["last"]) for one in lost)) if lost else None,
        "pots_full": min(
            (one.params["on"] for one in told if one.code == "pots_full"), default=None
        ),
    }
