"""Every public function of the science package turns bad scalars down, and says which.

Public is what a module of the package, or a package in it, shows: its functions, and its classes
that check what they are made of. For each, `calls/<module>.json` holds, by name:

- `call`: one good call, by argument;
- `refuse`: for each argument the kind of value it takes, a key of `BAD` below, or a list of values
  that it must turn down;
- `free`: arguments that take anything, or whose refusals are tested elsewhere, with the reason;
- `ordered`: pairs whose first may not exceed the second;
- `same_length`: pairs of sequences; `arrays`: arguments that may be arrays of one shape.

Where an argument is a value of the package's own, `calls/<module>.py` holds the same as `ROWS`.
A function without a row, a row without a function, and an argument without a kind fail.
"""

import importlib
import inspect
import json
import math
import pkgutil
import re
import runpy
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import nursery.science

CALLS = Path(__file__).parent / "calls"
PACKAGE = nursery.science.__name__

NAN, INFINITE = math.nan, math.inf
PERCENTAGES = [5, 95.0]

BAD: dict[str, list[Any]] = {
    "number": [NAN, INFINITE, -INFINITE],
    "positive": [NAN, INFINITE, 0, -1.5],
    "not negative": [NAN, INFINITE, -0.5],
    "fraction": [NAN, -0.01, *PERCENTAGES],
    "positive fraction": [NAN, 0, -0.01, *PERCENTAGES],
    "open fraction": [NAN, 0, 1, -0.01, *PERCENTAGES],
    "fraction below 1": [NAN, 1, -0.01, *PERCENTAGES],
    "percent": [NAN, -1, 100.5],
    "count": [NAN, INFINITE, -1, 2.5],
    "positive count": [NAN, INFINITE, 0, -1, 2.5],
    "temperature": [NAN, INFINITE, -999.0, 999.0],
    "celsius": [NAN, INFINITE, -273.2, 451.0],
    "elevation": [NAN, INFINITE, -9999.0, 20_000.0],
    "latitude": [NAN, INFINITE, -90.5, 91.0],
    "longitude": [NAN, INFINITE, -180.5, 181.0],
    "day of year": [NAN, INFINITE, 0, 367],
    "hours of a day": [NAN, -1.0, 24.5],
    "word": ["something else"],
    "list of count": [NAN, -1, 2.5],
    "list of not negative": [NAN, INFINITE, -0.5],
    "list of positive": [NAN, INFINITE, 0, -0.5],
    "list of fraction": [NAN, -0.01, *PERCENTAGES],
    "list of whole percent": [NAN, -1, 101, 88.5, 0.88],
    "list of degree-days": [INFINITE, -0.5],
    "list of yes or no": [NAN, 2, -1],
}

Row = dict[str, Any]


def checks_its_fields(value: object) -> bool:
    return inspect.isclass(value) and "__post_init__" in vars(value)


def public_callables() -> dict[str, Callable[..., Any]]:
    found: dict[str, Callable[..., Any]] = {}
    for info in pkgutil.iter_modules(nursery.science.__path__):
        if info.name.startswith("_"):
            continue
        module = importlib.import_module(f"{PACKAGE}.{info.name}")
        for name, value in vars(module).items():
            home = f"{getattr(value, '__module__', '')}."
            if name.startswith("_") or not home.startswith(f"{module.__name__}."):
                continue
            if inspect.isfunction(value) or checks_its_fields(value):
                found[f"{info.name}.{name}"] = value
    return found


def rows_of(path: Path) -> dict[str, Row]:
    rows: dict[str, Row]
    if path.suffix == ".json":
        rows = json.loads(path.read_text("utf-8"))
    else:
        rows = runpy.run_path(str(path))["ROWS"]
    return {f"{path.stem}.{name}": row for name, row in rows.items()}


FUNCTIONS = public_callables()
ROWS: dict[str, Row] = {
    name: row
    for path in sorted([*CALLS.glob("*.json"), *CALLS.glob("*.py")])
    for name, row in rows_of(path).items()
}
KNOWN = sorted(FUNCTIONS.keys() & ROWS.keys())


def as_called(row: Row, **changed: Any) -> dict[str, Any]:
    return {**row["call"], **changed}


BAD_VALUES = [
    pytest.param(name, argument, kind, value, id=f"{name}-{argument}-{value}")
    for name in KNOWN
    for argument, kind in ROWS[name]["refuse"].items()
    for value in (BAD[kind] if isinstance(kind, str) else kind)
]


def pairs(relation: str) -> list[Any]:
    return [
        pytest.param(name, first, second, id=f"{name}-{first}-{second}")
        for name in KNOWN
        for first, second in ROWS[name].get(relation, [])
    ]


def test_every_public_function_has_a_row_and_every_row_a_function() -> None:
    assert sorted(FUNCTIONS.keys() - ROWS.keys()) == []
    assert sorted(ROWS.keys() - FUNCTIONS.keys()) == []


@pytest.mark.parametrize("name", KNOWN)
def test_every_argument_has_a_kind(name: str) -> None:
    row, arguments = ROWS[name], set(inspect.signature(FUNCTIONS[name]).parameters)
    assert set(row["call"]) == arguments
    assert set(row["refuse"]) | set(row.get("free", {})) == arguments


@pytest.mark.parametrize("name", KNOWN)
def test_the_good_call_is_good(name: str) -> None:
    FUNCTIONS[name](**as_called(ROWS[name]))


@pytest.mark.parametrize(("name", "argument", "kind", "value"), BAD_VALUES)
def test_a_bad_value_is_refused_by_argument_value_and_range(
    name: str, argument: str, kind: str | list[Any], value: Any
) -> None:
    given, where = value, argument
    if isinstance(kind, str) and kind.startswith("list of "):
        given = [value, *ROWS[name]["call"][argument][1:]]
        where = f"{argument}[0]"
    with pytest.raises(ValueError, match="must be") as refused:
        FUNCTIONS[name](**as_called(ROWS[name], **{argument: given}))
    text = str(refused.value)
    assert text.startswith(f"{where} must be ")
    assert re.search(rf"not '?{re.escape(str(value))}(\.0)?'?$", text)


@pytest.mark.parametrize(("name", "low", "high"), pairs("ordered"))
def test_swapped_low_and_high_are_refused_with_both_values(name: str, low: str, high: str) -> None:
    call = ROWS[name]["call"]
    assert call[low] < call[high]
    with pytest.raises(ValueError, match="must be") as refused:
        FUNCTIONS[name](**as_called(ROWS[name], **{low: call[high], high: call[low]}))
    text = str(refused.value)
    assert low in text
    assert str(call[low]) in text
    assert str(call[high]) in text


@pytest.mark.parametrize(("name", "first", "second"), pairs("same_length"))
def test_sequences_of_unequal_length_are_refused_with_both_lengths(
    name: str, first: str, second: str
) -> None:
    whole = ROWS[name]["call"][first]
    with pytest.raises(ValueError, match="must be equally long") as refused:
        FUNCTIONS[name](**as_called(ROWS[name], **{first: whole[:-1]}))
    names, _, lengths = str(refused.value).partition(" must be equally long, not ")
    assert {first, second} <= set(names.split(" and "))
    assert {str(len(whole)), str(len(whole) - 1)} <= set(lengths.split(" and "))


@pytest.mark.parametrize("name", [name for name in KNOWN if "arrays" in ROWS[name]])
def test_arrays_of_unequal_length_are_refused_whichever_is_longer(name: str) -> None:
    row = ROWS[name]
    for longer in row["arrays"]:
        arrays = {
            argument: np.full(3 if argument == longer else 2, row["call"][argument])
            for argument in row["arrays"]
        }
        with pytest.raises(ValueError, match="must be equally long") as refused:
            FUNCTIONS[name](**as_called(row, **arrays))
        assert longer in str(refused.value)


@pytest.mark.parametrize("name", [name for name in KNOWN if "arrays" in ROWS[name]])
def test_arrays_of_one_shape_are_taken_with_missing_elements(name: str) -> None:
    row = ROWS[name]
    arrays = {argument: np.full(2, row["call"][argument]) for argument in row["arrays"]}
    arrays[row["arrays"][0]][1] = np.nan
    result = FUNCTIONS[name](**as_called(row, **arrays))
    known, missing = np.asarray(result).T
    assert np.isfinite(known).all()
    assert np.isnan(missing).any()
