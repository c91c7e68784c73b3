"""The rows that benchmarks measure: printed at once, and once more together at the end.

`note` prints a row; where a run over all benchmarks asked for it, it is kept in a file as well.
"""

import json
import os
from collections.abc import Sequence
from pathlib import Path

KEPT_IN = "BENCH_TABLE"
HEAD = ("what", "goal", "measured", "")


def note(what: str, goal: str, measured: str, *, reached: bool | None = None) -> None:
    """Print one row; `reached` says whether the goal is met, None where there is none."""
    row = (what, goal, measured, _word(reached))
    print("  " + "; ".join(one for one in (f"{what}: {measured}", _goal(goal), row[-1]) if one))
    kept = os.environ.get(KEPT_IN)
    if kept:
        with Path(kept).open("a", encoding="utf-8") as file:
            file.write(json.dumps(row) + "\n")


def _goal(goal: str) -> str:
    return f"goal {goal}" if goal else ""


def _word(reached: bool | None) -> str:
    return "" if reached is None else "reached" if reached else "MISSED"


def read(file: Path) -> list[tuple[str, ...]]:
    """Return the rows that were kept in a file."""
    if not file.exists():
        return []
    return [tuple(json.loads(line)) for line in file.read_text(encoding="utf-8").splitlines()]


def drawn(rows: Sequence[Sequence[str]], head: Sequence[str] = HEAD) -> str:
    """Return rows as a table of plain text.

    >>> print(drawn([("a", "1 s", "0.5 s", "reached")]))
    what | goal | measured |
    ---- | ---- | -------- | -------
    a    | 1 s  | 0.5 s    | reached
    """
    every = [tuple(head), *map(tuple, rows)]
    wide = [max(len(row[n]) for row in every) for n in range(len(head))]
    lines = [" | ".join(one.ljust(w) for one, w in zip(row, wide, strict=True)) for row in every]
    lines.insert(1, " | ".join("-" * w for w in wide))
    return "\n".join(line.rstrip() for line in lines)
