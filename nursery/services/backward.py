"""A plan worked back from the field, asked of the book as it stands; nothing is written."""

from collections.abc import Mapping
from datetime import date, datetime
from typing import Any

from nursery.domain import backward, backward_book, seasons
from nursery.services import outlook
from nursery.store.scope import scope


def ask(nursery: str, asked: Mapping[str, Any], now: datetime) -> dict[str, Any]:
    """Return how many to start and what to do by when, as of a line of the feed.

    With a `release` the days follow from it, forward; else they are worked back from the weeks.
    """
    with scope(nursery) as rows:
        seq = rows.head.last_seq
        book = outlook.read_book(rows)
    today = book.day(now)
    crop = asked["crop"]
    known = backward_book.known(crop, asked.get("permit"), book, today)
    wanted = backward.Wanted(
        plants=asked["plants"],
        first=asked["first"],
        last=asked["last"],
        certainty=asked["certainty"],
        lost=asked.get("lost") or {},
        past=backward_book.past(crop, book, today),
    )
    release: date | None = asked.get("release")
    if release is None:
        days = backward.back(wanted, known)
    else:
        weeks = [(one.first, one.last) for one in seasons.after(release, book)]
        days = backward.forward(release, weeks or [(wanted.first, wanted.last)], known)
    return {
        "as_of_seq": seq,
        "today": today.isoformat(),
        "crop": crop,
        "plants": wanted.plants,
        "certainty": wanted.certainty,
        "start": backward.start(wanted),
        "days": [{**one, "past": (one["until"] or one["on"]) < today.isoformat()} for one in days],
        "missing": backward.missing(known),
    }
