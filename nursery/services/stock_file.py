"""Stock out of a spreadsheet: shown as what it would become, then brought in as that or not at all.

Looking keeps nothing: the file comes a second time with what was said of it, and the seal of what
was shown. It is brought in only if it would still become the same (rule I-4).
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from hashlib import sha256
from typing import Any

import orjson

from nursery.domain import stock_file as stock
from nursery.domain.book import Book
from nursery.domain.stock_file import Choices, Field, Incoming, Plan, Wording, cells, here
from nursery.services import outlook, stock_records, table_file, words
from nursery.services.errors import NobodyWrites, Refused
from nursery.services.people import Caller
from nursery.services.table_file import Table
from nursery.store.scope import scope

SHOWN_ROWS = 50
SHOWN_FAULTS = 200
SHOWN_UNKNOWN = 200
LONGEST_NAME = 120
STAGES = (
    *("seed", "cuttings", "seedlings", "grafted", "rooted", "taken"),
    *("quarantine", "growing_on", "toughening", "ready", "reserve"),
)
MONTHS = range(1, 13)


class StockFileChanged(Refused):
    """What the file would become is not what was shown: the book, or what was said, changed."""

    code = "stock_file_changed"
    status = 409


class StockFileUnfit(Refused):
    """Faulty rows that nobody said to leave out, a column that lacks, or nothing to bring in."""

    code = "stock_file_unfit"
    status = 422


@dataclass(frozen=True, slots=True)
class File:
    """A file as it came, and what somebody says of it; `sheet` names one of a workbook."""

    name: str
    content: bytes
    choices: Choices
    sheet: str | None = None


@dataclass(frozen=True, slots=True)
class _Looked:
    table: Table
    plan: Plan
    book: Book
    sha256: str
    seal: str


def shown(nursery: str, file: File, language: str, now: datetime) -> dict[str, Any]:
    """Return what a file would become and what is wrong with it. Nothing is written.

    Raises:
        TableUnfit: it cannot be read at all.
    """
    return _as_json(_look(nursery, file, language, now), file, now)


def bring_in(caller: Caller, file: File, seal: str, language: str, now: datetime) -> dict[str, Any]:
    """Write what was shown, all of it in one transaction; return figures of what came in.

    Raises:
        TableUnfit: the file cannot be read.
        StockFileChanged: it would become something else than what was shown.
        StockFileUnfit: something is wrong with it that nobody said to leave out.
        NobodyWrites: the account is none of the nursery's people.
    """
    nursery = caller.nursery
    if not caller.person:
        raise NobodyWrites(value=nursery)
    # Folded before anybody waits for the book; whether it still holds is asked under the lock.
    looked = _look(nursery, file, language, now)
    if looked.seal != seal:
        raise StockFileChanged(value=file.name)
    if not looked.plan.may_come(file.choices.left_out):
        raise StockFileUnfit(n=looked.plan.faulty, value=file.name)
    told = {"name": file.name, "sha256": looked.sha256}
    written = stock_records.write(
        nursery, caller.person, stock_records.Lot(looked.plan, told, wording(language)), now
    )
    if not written:
        raise StockFileChanged(value=file.name)
    return {**_figures(looked.plan), **written, "places": _places(looked, now)}


def _look(nursery: str, file: File, language: str, now: datetime) -> _Looked:
    table = table_file.read(file.content, file.sheet)
    with scope(nursery) as rows:
        book = outlook.read_book(rows)
    plan = stock.plan(table.sheet, file.choices, here.of_book(book, now), wording(language))
    digest = sha256(file.content).hexdigest()
    return _Looked(table, plan, book, digest, _seal(digest, file, plan))


def _seal(digest: str, file: File, plan: Plan) -> str:
    """Return the hash of all that somebody saw of a file and said of it."""
    seen = [
        digest,
        file.sheet,
        file.choices.left_out,
        [[one.id, one.row, one.crop, one.place, one.goods, one.permit] for one in plan.incoming],
        [one.row for one in plan.known],
        [fault.as_json() for fault in plan.faults],
    ]
    return sha256(orjson.dumps(seen)).hexdigest()


@cache
def wording(language: str) -> Wording:
    """Return how files may say things, in every language; notes are headed in `language`."""
    headings: dict[str, Field] = {}
    stages: dict[str, str] = {}
    months: dict[str, int] = {}
    for tongue in words.languages():
        for column in Field:
            said = words.say(tongue, f"stock_also.{column}").split(",")
            for one in (words.say(tongue, f"stock_column.{column}"), *said, column.value):
                headings.setdefault(cells.key(one.partition("(")[0]), column)
        stages |= {cells.key(words.say(tongue, f"stage.{one}")): one for one in STAGES}
        months |= {cells.key(words.say(tongue, f"date.month.{n}"))[:3]: n for n in MONTHS}
    return Wording(
        headings,
        stages,
        months,
        words.say(language, "stock_column.lot"),
        words.say(language, "stock_column.arrived_on"),
    )


def _as_json(looked: _Looked, file: File, now: datetime) -> dict[str, Any]:
    plan = looked.plan
    return {
        "seal": looked.seal,
        "file": {"name": file.name, "sha256": looked.sha256, **looked.table.as_json()},
        "columns": [
            {"at": at, "heading": heading, "field": plan.taken.get(at)}
            for at, heading in enumerate(looked.table.sheet.headings)
        ],
        "lacking": [column.value for column in plan.lacking],
        "order": plan.order,
        "asks_order": plan.asks_order,
        "figures": _figures(plan),
        "may_come": plan.may_come(file.choices.left_out),
        "left_out": file.choices.left_out,
        "places": _places(looked, now),
        "rows": [_row(one, looked.book) for one in plan.incoming[:SHOWN_ROWS]],
        "faults": [fault.as_json() for fault in plan.faults[:SHOWN_FAULTS]],
        "unknown": [
            {"column": one.column, "said": one.said, "rows": one.rows, "made": one.made}
            for one in plan.unknown[:SHOWN_UNKNOWN]
        ],
        "crops": plan.crops(),
        "goods": sorted(plan.goods()),
        "told": _told(looked),
    }


def _figures(plan: Plan) -> dict[str, int]:
    return {
        "batches": len(plan.incoming),
        "plants": plan.plants,
        "estimates": sum(one.estimate for one in plan.incoming),
        "known": len(plan.known),
        "faulty": plan.faulty,
        "faults": len(plan.faults),
    }


def _places(looked: _Looked, now: datetime) -> list[dict[str, Any]]:
    """Return what comes to each place, and what the gates say to it (rule I-9)."""
    rooms: Mapping[str, str] = looked.book.rooms
    said: dict[str, list[dict[str, Any]]] = {}
    found = []
    for at in looked.plan.at_places():
        room = rooms.get(at["place"], at["place"])
        if room not in said:
            said[room] = [
                {"answer": answer.value, **why.as_json()}
                for answer, why in here.against(at["place"], looked.book, now)
            ]
        found.append({**at, "name": _called("place", at["place"], looked.book), "told": said[room]})
    return found


def _row(one: Incoming, book: Book) -> dict[str, Any]:
    return {
        "row": one.row,
        "id": one.id,
        "label": one.label,
        "plants": one.plants,
        "estimate": one.estimate,
        "counted_on": one.counted_on,
        "crop": _called("crop", one.crop, book) or one.crop_said,
        "place": _called("place", one.place, book),
        "goods": one.goods_said,
        "arrived_on": one.arrived_on,
        "stage": one.stage,
        "permit": one.permit is not None,
    }


def _called(kind: str, ident: str | None, book: Book) -> str:
    row = book.row(kind, ident)
    return "" if row is None else str(row.name)


def _told(looked: _Looked) -> dict[str, int]:
    """Return how many batches come in so that somebody should know it, by what is to be known."""
    plan, book = looked.plan, looked.book
    if not book.conditions:
        return {}
    free = sum(one.permit is None and not one.goods_said for one in plan.incoming)
    open_goods = sum(
        one.goods is None and bool(one.goods_said) and one.permit is None for one in plan.incoming
    )
    return {"no_conditions": free, "goods_without_permit": open_goods}
