"""The wording of refusals, one row per check."""

import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from nursery.science import _arrays, _check

REFUSED: dict[str, tuple[Callable[[], object], str]] = {
    "not finite": (
        lambda: _check.finite("rain", math.inf),
        "rain must be a finite number, not inf",
    ),
    "nothing": (
        lambda: _check.positive("depth", 0),
        "depth must be a finite number above 0, not 0",
    ),
    "below nothing": (
        lambda: _check.not_negative("depth", -0.5),
        "depth must be a finite number of 0 or more, not -0.5",
    ),
    "a percentage for a fraction": (
        lambda: _check.fraction("share", 95),
        "share must be a fraction from 0 to 1, not 95",
    ),
    "no number": (
        lambda: _check.fraction("share", "0.5"),  # type: ignore[arg-type]  # as from a form
        "share must be a fraction from 0 to 1, not '0.5'",
    ),
    "no count": (
        lambda: _check.count("plants", None),  # type: ignore[arg-type]  # as from a gap
        "plants must be a whole number of at least 0, not None",
    ),
    "half a plant": (
        lambda: _check.count("plants", 2.5),
        "plants must be a whole number of at least 0, not 2.5",
    ),
    "more than there are": (
        lambda: _check.count("seen", 51, least=1, most=50),
        "seen must be a whole number of at least 1 and at most 50, not 51",
    ),
    "one of several": (
        lambda: _check.counts("counts", [3, -1]),
        "counts[1] must be a whole number of at least 0, not -1",
    ),
    "swapped": (
        lambda: _check.ordered("low", 3, "high", 2),
        "low must be at most high (2), not 3",
    ),
    "unequal": (
        lambda: _check.same_length(times=[1, 2], died=[True]),
        "times and died must be equally long, not 2 and 1",
    ),
    "an unknown word": (
        lambda: _check.one_of("cutoff", "slanted", ("flat", "steep")),
        "cutoff must be one of flat, steep, not 'slanted'",
    ),
    "an element": (
        lambda: _arrays.array("rain", np.array([[0.0, 1.0], [-2.0, 3.0]]), _check.NOT_NEGATIVE),
        "rain[1, 0] must be a finite number of 0 or more, not -2.0",
    ),
    "an infinite element": (
        lambda: _arrays.array("rain", np.array([0.0, math.inf]), _check.FINITE),
        "rain[1] must be a finite number, not inf",
    ),
    "shapes that do not stretch": (
        lambda: _arrays.same_shape(rain=np.zeros((2, 3)), wind=np.zeros(()), sun=np.zeros(4)),
        "rain and wind and sun must be equally long, not 2x3 and 1 and 4",
    ),
}


@pytest.mark.parametrize(("refuse", "text"), REFUSED.values(), ids=REFUSED.keys())
def test_a_refusal_names_argument_range_and_value(refuse: Callable[[], object], text: str) -> None:
    with pytest.raises(ValueError, match="must be") as refused:
        refuse()
    assert str(refused.value) == text


def test_what_is_in_range_comes_back_as_it_was() -> None:
    assert _check.finite("rain", -3.5) == -3.5
    assert _check.numbers("rain", (0, 2.5), _check.NOT_NEGATIVE) == [0, 2.5]
    assert _check.same_length(times=[1, 2], died=(True, False)) == 2
    _check.ordered("low", 2, "high", 2)


def test_a_whole_number_comes_back_as_an_int_whatever_its_type() -> None:
    whole: tuple[Any, ...] = (12, 12.0, np.int64(12), np.float64(12))
    for value in whole:
        counted = _check.count("plants", value)
        assert type(counted) is int
        assert counted == 12


def test_missing_elements_pass_and_missing_scalars_do_not() -> None:
    assert np.isnan(_arrays.array("rain", np.array([math.nan]), _check.NOT_NEGATIVE)).all()
    with pytest.raises(ValueError, match="rain must be a finite number of 0 or more, not nan"):
        _arrays.array("rain", math.nan, _check.NOT_NEGATIVE)
