"""The argument checks for functions that take scalars or arrays.

A bad scalar is refused, NaN included. In an array NaN means missing and passes;
any other element out of range is refused with its position.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from nursery.science import _check
from nursery.science._check import Range

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Array = npt.NDArray[np.float64]
    Numbers = float | Array


def array(name: str, value: Numbers, allowed: Range) -> Array:
    """Return `value` as an array of floats; a scalar becomes one without dimensions."""
    import numpy as np

    checked = np.asarray(value, dtype=np.float64)
    if checked.ndim == 0:
        _check.number(name, checked.item(), allowed)
        return checked
    wrong = (checked < allowed.low) | (checked > allowed.high)
    if wrong.any():
        at = tuple(int(i) for i in np.argwhere(wrong)[0])
        place = ", ".join(map(str, at))
        raise ValueError(f"{name}[{place}] must be {allowed.words}, not {checked[at]}")
    return checked


def same_shape(**arguments: Array) -> tuple[int, ...]:
    """Return the common shape of the named arrays; scalars stretch, other lengths must match."""
    import numpy as np

    shapes = {name: value.shape for name, value in arguments.items()}
    try:
        return np.broadcast_shapes(*shapes.values())
    except ValueError:
        sizes = " and ".join("x".join(map(str, shape)) or "1" for shape in shapes.values())
        message = f"{' and '.join(shapes)} must be equally long, not {sizes}"
        raise ValueError(message) from None


def ordered(
    low_name: str,
    low: Array,
    high_name: str,
    high: Array,
) -> None:
    """Refuse any `low` above its `high`; pairs with a missing half pass."""
    import numpy as np

    wrong = low > high
    if wrong.any():
        at = tuple(int(i) for i in np.argwhere(wrong)[0])
        place = f"[{', '.join(map(str, at))}]" if at else ""
        first_low, first_high = (np.broadcast_to(side, wrong.shape)[at] for side in (low, high))
        _check.ordered(f"{low_name}{place}", first_low, f"{high_name}{place}", first_high)


def plain(value: Array) -> Numbers:
    """Return a Python float for an array without dimensions, any other array as it is."""
    return float(value) if value.ndim == 0 else value
