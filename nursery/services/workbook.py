"""Workbooks (XLSX), read and written by a program apart that no file can talk out of its limits.

The library that reads them also loads what the process that answers people must stay free of.
"""

import io
import json
import os
import subprocess
import sys
import zipfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from nursery.domain.stock_file.cells import Cell
from nursery.services.errors import Refused

MEMORY = 512 << 20
SECONDS = 20
MOST_LINES = 100_000
MOST_MEMBERS = 2_000
MOST_UNPACKED = 128 << 20
# Deflate can reach a thousandth; tables of an honest workbook shrink to a tenth or a twentieth.
MOST_SHRUNK, SHRUNK_FROM = 100, 1 << 20
PROGRAM = "vbaproject"
ZIP = b"PK\x03\x04"

_CHILD = Path(__file__).with_name("workbook_child.py")
_PASSED_ON = ("PATH", "PYTHONPATH", "PYTHONHOME", "HOME", "LD_LIBRARY_PATH", "SYSTEMROOT")

Line = tuple[int, tuple[Cell, ...]]


class TableUnfit(Refused):
    """A spreadsheet that is not read; nothing was changed."""

    status = 422


class TableUnreadable(TableUnfit):
    """Neither a text nor a workbook of today's kind."""

    code = "table_unreadable"


class TableTooLong(TableUnfit):
    code = "table_too_long"


class TableSwollen(TableUnfit):
    """A zip that would become far larger than any honest workbook."""

    code = "table_swollen"


class TableHasPrograms(TableUnfit):
    code = "table_has_programs"


class TableEmpty(TableUnfit):
    code = "table_empty"


@dataclass(frozen=True, slots=True)
class Book:
    """The rows of one sheet of a workbook, and the names of all its sheets."""

    sheets: tuple[str, ...]
    chosen: str
    lines: tuple[Line, ...]


def read(content: bytes, sheet: str | None, most_rows: int) -> Book:
    """Return the rows of a sheet in which anything stands; the first sheet unless one is named.

    Raises:
        TableUnfit: it is no workbook, holds programs, or would become too much.
    """
    _look_at_members(content)
    asked = {"sheet": sheet, "most_lines": MOST_LINES}
    head, *rows = _told(_ask(asked, content))
    fault = head["fault"]
    if fault == "too_long":
        raise TableTooLong(most=most_rows)
    if fault:
        raise {"swollen": TableSwollen, "empty": TableEmpty}.get(fault, TableUnreadable)
    lines = tuple((number, tuple(map(_cell, cells))) for number, cells in rows)
    return Book(tuple(head["sheets"]), head["chosen"], lines)


def written(
    title: str, rows: Sequence[Sequence[str]], forms: Mapping[int, str], ready: int
) -> bytes:
    """Return a workbook with these rows, and so many more whose cells have their forms.

    Raises:
        TableUnreadable: it could not be made.
    """
    return _ask({"title": title, "rows": rows, "forms": forms, "ready": ready}, b"")


def _ask(asked: Mapping[str, Any], content: bytes) -> bytes:
    limits = {"memory": MEMORY, "seconds": SECONDS}
    passed = {name: os.environ[name] for name in _PASSED_ON if name in os.environ}
    try:
        done = subprocess.run(  # noqa: S603  no shell, and every word is ours
            [sys.executable, "-P", str(_CHILD)],
            input=json.dumps({**asked, **limits}).encode() + b"\n" + content,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            env={**passed, "LC_ALL": "C.UTF-8"},
            timeout=SECONDS * 2,
            check=True,
        )
    except (OSError, subprocess.SubprocessError):
        # Too much memory or time: whatever it is, no list of stock takes so much.
        raise TableSwollen if content else TableUnreadable from None
    return done.stdout


def _told(answer: bytes) -> list[Any]:
    try:
        found = [json.loads(line) for line in answer.splitlines()]
    except ValueError:
        found = []
    return found or [{"fault": "unreadable"}]


def _cell(told: Any) -> Cell:
    if isinstance(told, dict):
        return date.fromisoformat(told["day"])
    cell: Cell = told
    return cell


def _look_at_members(content: bytes) -> None:
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as pack:
            members = pack.infolist()
    except (zipfile.BadZipFile, OSError, ValueError):
        raise TableUnreadable from None
    names = [one.filename.casefold() for one in members]
    if "xl/workbook.xml" not in names or any(one.flag_bits & 1 for one in members):
        raise TableUnreadable
    if any(PROGRAM in name for name in names):
        raise TableHasPrograms
    whole = sum(one.file_size for one in members)
    swollen = [
        one for one in members if one.file_size > max(SHRUNK_FROM, MOST_SHRUNK * one.compress_size)
    ]
    if swollen or len(members) > MOST_MEMBERS or whole > MOST_UNPACKED:
        raise TableSwollen
