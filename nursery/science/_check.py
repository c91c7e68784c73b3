"""The argument checks of the science package: one wording for every refusal.

A refusal is a `ValueError` whose text reads "<argument> must be <range>, not <value>".
"""

import math
import sys
from collections.abc import Iterable, Sized
from numbers import Real
from typing import NamedTuple

_MOST = sys.float_info.max
_LEAST = math.ulp(0.0)
_LARGEST_COUNT = 2**53


class Range(NamedTuple):
    """A closed range of numbers and the words that name it in a refusal."""

    low: float
    high: float
    words: str


FINITE = Range(-_MOST, _MOST, "a finite number")
POSITIVE = Range(_LEAST, _MOST, "a finite number above 0")
NOT_NEGATIVE = Range(0.0, _MOST, "a finite number of 0 or more")
FRACTION = Range(0.0, 1.0, "a fraction from 0 to 1")
POSITIVE_FRACTION = Range(_LEAST, 1.0, "a fraction above 0 and up to 1")
OPEN_FRACTION = Range(_LEAST, math.nextafter(1.0, 0.0), "a fraction above 0 and below 1")
PERCENT = Range(0.0, 100.0, "a percentage from 0 to 100")
# Wide enough for °C and °F, narrow enough to refuse a logger's -999 for "no reading".
TEMPERATURE = Range(-150.0, 200.0, "a temperature from -150 to 200")


def number(name: str, value: float, allowed: Range) -> float:
    """Return `value` if it lies in `allowed`; NaN and what is no number never do."""
    if not (isinstance(value, Real) and allowed.low <= value <= allowed.high):
        raise ValueError(f"{name} must be {allowed.words}, not {_shown(value)}")
    return value


def numbers(name: str, values: Iterable[float], allowed: Range) -> list[float]:
    """Return all `values` as a list if each lies in `allowed`; the refusal names the position."""
    return [number(f"{name}[{i}]", value, allowed) for i, value in enumerate(values)]


def finite(name: str, value: float) -> float:
    return number(name, value, FINITE)


def positive(name: str, value: float) -> float:
    return number(name, value, POSITIVE)


def not_negative(name: str, value: float) -> float:
    return number(name, value, NOT_NEGATIVE)


def fraction(name: str, value: float) -> float:
    return number(name, value, FRACTION)


def positive_fraction(name: str, value: float) -> float:
    return number(name, value, POSITIVE_FRACTION)


def open_fraction(name: str, value: float) -> float:
    return number(name, value, OPEN_FRACTION)


def count(name: str, value: float, least: int = 0, most: int = _LARGEST_COUNT) -> int:
    """Return `value` as an int if it is a whole number from `least` to `most`."""
    if not (isinstance(value, Real) and least <= value <= most and value == int(value)):
        upper = "" if most == _LARGEST_COUNT else f" and at most {most}"
        wanted = f"a whole number of at least {least}{upper}"
        raise ValueError(f"{name} must be {wanted}, not {_shown(value)}")
    return int(value)


def counts(name: str, values: Iterable[float]) -> list[int]:
    """Return all `values` as ints if each is a whole number of at least 0."""
    return [count(f"{name}[{i}]", value) for i, value in enumerate(values)]


def ordered(low_name: str, low: float, high_name: str, high: float) -> None:
    """Refuse a `low` above its `high`."""
    if low > high:
        raise ValueError(f"{low_name} must be at most {high_name} ({high}), not {low}")


def same_length(**sequences: Sized) -> int:
    """Return the one length that all the named sequences have."""
    lengths = [len(sequence) for sequence in sequences.values()]
    if len(set(lengths)) > 1:
        sizes = " and ".join(str(length) for length in lengths)
        raise ValueError(f"{' and '.join(sequences)} must be equally long, not {sizes}")
    return lengths[0]


def one_of(name: str, value: str, allowed: tuple[str, ...]) -> str:
    """Return `value` if it is one of the `allowed` words."""
    if value not in allowed:
        raise ValueError(f"{name} must be one of {', '.join(allowed)}, not {value!r}")
    return value


def _shown(value: object) -> str:
    """Return numbers bare and anything else in quotes, so that "0.5" is not taken for 0.5."""
    return str(value) if isinstance(value, Real) else repr(value)
