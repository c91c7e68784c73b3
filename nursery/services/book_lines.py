"""The lines of a book's file, read and held against the chain before anybody believes them."""

import sys
from collections.abc import Iterator
from datetime import datetime
from typing import Any

import orjson

from nursery.domain import entry as entries
from nursery.services import book_file, verify
from nursery.services.book_file import BookFile, BookFileLine
from nursery.services.verify import Line
from nursery.store.models import FeedRow

LONGEST_NAME = 64
LONGEST_KIND = 40
LONGEST_TYPE = 8


def walked(held: BookFile) -> Iterator[tuple[Line, tuple[str, ...]]]:
    """Yield each line of the feed with the subjects that it names, after looking at its link.

    Raises:
        BookFileLine: where the feed is not what was written.
    """
    walk = verify.Walk()
    number = 0
    for number, told in held.lines(book_file.FEED):
        line, about = read(number, told)
        for fault in walk.step(line):
            raise BookFileLine(book_file.FEED, number, fault)
        yield line, about
    if (held.settings["lines"], held.settings["link"]) != (walk.seq, walk.link):
        raise BookFileLine(book_file.FEED, number, "lines are missing after it")


def read(number: int, told: dict[str, Any]) -> tuple[Line, tuple[str, ...]]:
    """Return what line `number` of a file tells, and the subjects that it names.

    Raises:
        BookFileLine: it is not what such a file holds.
    """
    try:
        line = Line(
            seq=told["number"],
            type=told["type"],
            what=told["what"],
            ident=told["id"],
            rev=told["revision"],
            text=told["text"],
            hash=told["hash"],
            link=told["link"],
            received_at=entries.instant(told["received_at"], "received_at"),
            occurred_at=instant(told.get("occurred_at")),
            install=told.get("install"),
            n=told.get("n"),
            set_aside=told.get("set_aside", False),
        )
        about = _about(line, told) if line.type == FeedRow.ENTRY else ()
        _fits(line)
    except KeyError as lack:
        raise BookFileLine(book_file.FEED, number, f"it lacks {lack.args[0]}") from None
    except (ValueError, TypeError) as fault:
        why = f"it cannot be read ({fault})"[:120]
        raise BookFileLine(book_file.FEED, number, why) from None
    return line, about


def instant(text: object) -> datetime | None:
    """Return an instant that may be absent.

    Raises:
        ValueError: it is not in the one canonical form.
    """
    return None if text is None else entries.instant(text, "instant")


def _about(line: Line, told: dict[str, Any]) -> tuple[str, ...]:
    if line.text:
        return entries.read(orjson.loads(line.text)).about
    about = told["about"]
    if not all(isinstance(one, str) and entries.NAME.fullmatch(one) for one in about):
        raise ValueError("about")
    return tuple(dict.fromkeys(about))


def _fits(line: Line) -> None:
    """Whether the columns take it.

    Raises:
        ValueError: the name of the field that they do not.
    """
    texts: dict[str, tuple[object, int]] = {
        "type": (line.type, LONGEST_TYPE),
        "what": (line.what, LONGEST_KIND),
        "id": (line.ident, LONGEST_NAME),
        "install": (line.install or "", LONGEST_NAME),
        "text": (line.text, sys.maxsize),
    }
    for name, (text, most) in texts.items():
        if not isinstance(text, str) or len(text) > most or "\0" in text:
            raise ValueError(name)
    wholes: dict[str, object] = {"revision": line.rev, "number": line.seq, "n": line.n or 0}
    for name, whole in wholes.items():
        if type(whole) is not int or not 0 <= whole <= entries.LARGEST_NUMBER:
            raise ValueError(name)
    if line.text and not isinstance(orjson.loads(line.text), dict):
        raise ValueError("text")
