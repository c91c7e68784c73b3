"""How a body that was read once, and kept, is read back: without asking again whether it fits.

Every body of a kept state came through `kinds.read`. What it left out stands for the default, as it
does there; what only an older version could have kept so is read there.
"""

from collections.abc import Callable, Mapping
from dataclasses import MISSING, fields
from datetime import date, datetime
from enum import StrEnum
from functools import partial
from types import UnionType
from typing import Any, Union, get_args, get_origin, get_type_hints

from nursery.domain import kinds

Converter = Callable[[Any], Any]


def reader_of(cls: type) -> Callable[[Mapping[str, Any]], Any]:
    """Return the function that reads a JSON object into dataclass `cls`; it trusts the object.

    That function raises KeyError where a field is missing that has no default.
    """
    hints = get_type_hints(cls)
    plan = [(f.name, _converter(hints[f.name]), f.default) for f in fields(cls)]

    def read(raw: Mapping[str, Any]) -> Any:
        values = []
        for name, convert, default in plan:
            value = raw.get(name)
            if value is None:
                if default is MISSING:
                    raise KeyError(name)
                value = default
            elif convert is not None:
                value = convert(value)
            values.append(value)
        return cls(*values)

    return read


def _converter(kind: Any) -> Converter | None:
    """Return how a field of this type is read; None where its JSON is the value itself."""
    if kind in PLAIN:
        return PLAIN[kind]
    origin = get_origin(kind)
    if origin in (Union, UnionType):
        return _converter(next(arm for arm in get_args(kind) if arm is not type(None)))
    if origin is tuple:
        inner = _converter(get_args(kind)[0])
        return tuple if inner is None else partial(_many, inner)
    if not isinstance(kind, type):
        return None  # a name or a count, by its own type
    if issubclass(kind, StrEnum):
        # Asking the members is several times as quick as asking the class.
        return {member.value: member for member in kind}.__getitem__
    return reader_of(kind)


def _many(convert: Converter, value: list[Any]) -> tuple[Any, ...]:
    return tuple(map(convert, value))


PLAIN: Mapping[Any, Converter | None] = {
    str: None,
    int: None,
    bool: None,
    float: float,
    date: date.fromisoformat,
    datetime: datetime.fromisoformat,
    tuple: tuple,
}

_READERS = {kind: reader_of(cls) for kind, cls in kinds.KINDS.items()}


def read(kind: str, raw: Mapping[str, Any]) -> kinds.Body:
    """Return the body that was kept, as `kinds.read` would of its newest version. Never raises."""
    try:
        return _READERS[kind](raw)
    except KeyError:
        return kinds.read(kind, kinds.VERSIONS[kind], raw)
