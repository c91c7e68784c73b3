"""Write `src/log/shapes.json`: the shape of every kind of body, from the dataclasses of the domain.

The phone reads bodies by this table, so that no list of fields is kept by hand on both sides.
Run `python frontend/tools/shapes.py` after a change of `nursery/domain/kinds/`; a test compares.
"""

import json
import sys
import types
from dataclasses import MISSING, fields, is_dataclass
from datetime import date, datetime
from enum import StrEnum
from pathlib import Path
from typing import Any, Union, get_args, get_origin, get_type_hints

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from nursery.domain import kinds  # noqa: E402  # the path comes first
from nursery.domain.kinds import shape  # noqa: E402

TARGET = ROOT / "frontend/src/log/shapes.json"

PLAIN = {
    shape.Count: "count",
    shape.Name: "name",
    int: "int",
    float: "float",
    bool: "flag",
    str: "text",
    date: "day",
    datetime: "instant",
}


def of(kind: Any) -> Any:
    """Return the shape of one field: a plain type, a list of choices, many of one, or a record."""
    origin = get_origin(kind)
    if origin in (Union, types.UnionType):
        return of(next(arm for arm in get_args(kind) if arm is not type(None)))
    if origin is tuple:
        return {"many": of(get_args(kind)[0])}
    if isinstance(kind, type) and issubclass(kind, StrEnum):
        return [member.value for member in kind]
    if is_dataclass(kind):
        return {"record": record(kind)}
    return PLAIN[kind]


def record(cls: Any) -> dict[str, Any]:
    """Return the fields of a dataclass; a required one has a mark behind its name."""
    hints = get_type_hints(cls)
    return {f.name + ("!" if f.default is MISSING else ""): of(hints[f.name]) for f in fields(cls)}


def text() -> str:
    """Return the whole table as it is stored."""
    newer = [kind for kind, v in kinds.VERSIONS.items() if v > 1]
    if newer:
        raise SystemExit(f"{newer}: write the upcast on the phone first (src/log/shape.ts)")
    lines = [
        f'  "{kind}": ' + json.dumps({"v": kinds.VERSIONS[kind], "shape": record(cls)})
        for kind, cls in sorted(kinds.KINDS.items())
    ]
    return "{\n" + ",\n".join(lines) + "\n}\n"


if __name__ == "__main__":
    TARGET.write_text(text(), encoding="utf-8")
