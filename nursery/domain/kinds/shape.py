"""How a body is read: each field by the type that its dataclass states.

One reader is made for each class when the module is imported, so that reading a body is a loop
over ready-made functions. What does not fit raises `Misfit` with the path of the field;
`kinds.read` turns that into an `Unread` body, since a fact is never turned down for its shape.
"""

import re
import types
from collections.abc import Callable, Mapping
from dataclasses import MISSING, fields
from datetime import date, datetime
from enum import StrEnum
from functools import partial
from typing import Any, NewType, Union, get_args, get_origin, get_type_hints

Count = NewType("Count", int)
Name = NewType("Name", str)

MOST_PLANTS = 100_000_000
LONGEST_NAME = 64
LONGEST_TEXT = 4000
MOST_ITEMS = 20_000

DAY = re.compile(r"[12]\d{3}-\d\d-\d\d", re.ASCII)
INSTANT = re.compile(DAY.pattern + r"T(?:[01]\d|2[0-3]):\d\d:\d\d\.\d{3}Z", re.ASCII)
UNKEEPABLE = re.compile("[\x00\ud800-\udfff]")

Reader = Callable[[object], Any]
NO_READERS: Mapping[Any, Reader] = {}


class Misfit(ValueError):
    """A field of a body is missing or is not what its type says."""


def reader_of(
    cls: type, own: Mapping[Any, Reader] = NO_READERS
) -> Callable[[Mapping[str, Any]], Any]:
    """Return the function that reads a JSON object into dataclass `cls`.

    `own` holds the readers of types whose form the dataclass alone does not tell.
    """
    hints = get_type_hints(cls)
    known = {**PLAIN, **own}
    plan = [
        (f.name, _reader(hints[f.name], known), f.default is MISSING, f.default)
        for f in fields(cls)
    ]

    def read(raw: Mapping[str, Any]) -> Any:
        values: list[Any] = []
        for name, convert, required, default in plan:
            value = raw.get(name)
            if value is None:
                if required:
                    raise Misfit(name)
                values.append(default)
                continue
            try:
                values.append(convert(value))
            except Misfit as misfit:
                inner = str(misfit)
                raise Misfit(f"{name}.{inner}" if inner else name) from None
        return cls(*values)

    return read


def _reader(kind: Any, known: Mapping[Any, Reader]) -> Reader:
    if kind in known:
        return known[kind]
    origin = get_origin(kind)
    if origin in (Union, types.UnionType):
        return _reader(next(arm for arm in get_args(kind) if arm is not type(None)), known)
    if origin is tuple:
        return partial(_many, _reader(get_args(kind)[0], known))
    if isinstance(kind, type) and issubclass(kind, StrEnum):
        return partial(_choice, {member.value: member for member in kind})
    return partial(_record, reader_of(kind, known))


def _many(convert: Reader, value: object) -> tuple[Any, ...]:
    if not isinstance(value, list) or len(value) > MOST_ITEMS:
        raise Misfit
    return tuple(map(convert, value))


def _record(read: Callable[[Mapping[str, Any]], Any], value: object) -> Any:
    if not isinstance(value, dict):
        raise Misfit
    return read(value)


def _choice(members: Mapping[str, StrEnum], value: object) -> StrEnum:
    member = members.get(value) if isinstance(value, str) else None
    if member is None:
        raise Misfit
    return member


def _count(value: object) -> int:
    if type(value) is not int or not 0 <= value <= MOST_PLANTS:
        raise Misfit
    return value


def _whole(value: object) -> int:
    if type(value) is not int or abs(value) > MOST_PLANTS:
        raise Misfit
    return value


def _number(value: object) -> float:
    # The bound also turns down infinities; NaN is no JSON.
    if type(value) not in (int, float) or not abs(value) <= 1e12:  # type: ignore[arg-type]
        raise Misfit
    return float(value)  # type: ignore[arg-type]


def _flag(value: object) -> bool:
    if not isinstance(value, bool):
        raise Misfit
    return value


def _name(value: object) -> str:
    if not isinstance(value, str) or not 1 <= len(value) <= LONGEST_NAME or _kept_badly(value):
        raise Misfit
    return value


def _text(value: object) -> str:
    if not isinstance(value, str) or len(value) > LONGEST_TEXT or _kept_badly(value):
        raise Misfit
    return value


def _kept_badly(value: str) -> bool:
    """Whether a text holds what no database keeps: NUL, or half of a character."""
    return UNKEEPABLE.search(value) is not None


def _day(value: object) -> date:
    try:
        if isinstance(value, str) and DAY.fullmatch(value):
            return date.fromisoformat(value)
    except ValueError:
        pass
    raise Misfit


def instant(value: object) -> datetime:
    """Return the instant written as `2031-03-23T22:00:00.000Z`: UTC, exactly milliseconds.

    One canonical form, so that the order of texts on a phone is the order of instants here (B-13).

    Raises:
        Misfit: it is written otherwise, or no calendar has it.
    """
    try:
        if isinstance(value, str) and INSTANT.fullmatch(value):
            return datetime.fromisoformat(value)
    except ValueError:
        pass
    raise Misfit


PLAIN: Mapping[Any, Reader] = {
    Count: _count,
    Name: _name,
    int: _whole,
    float: _number,
    bool: _flag,
    str: _text,
    date: _day,
    datetime: instant,
}
