"""How well a plant is built, and what a count of plants says about the batch."""

import math
from statistics import NormalDist
from typing import NamedTuple

from nursery.science import _check


class Share(NamedTuple):
    """A share of a batch with its confidence interval, each from 0 to 1."""

    estimate: float
    low: float
    high: float


def sturdiness(height_cm: float, collar_mm: float) -> float:
    """Return the sturdiness quotient: height over collar diameter, in mixed units by definition.

    Args:
        height_cm: shoot height, 0 or more [cm].
        collar_mm: stem diameter at the root collar, above 0 [mm].

    Returns:
        Quotient [cm mm-1].

    Raises:
        ValueError: an argument out of range, or NaN.

    Source:
        Jaenicke (1999) Good tree nursery practices, ICRAF.

    >>> sturdiness(30, 5)
    6.0
    """
    return _check.not_negative("height_cm", height_cm) / _check.positive("collar_mm", collar_mm)


def dickson_index(
    dry_mass_g: float, height_cm: float, collar_mm: float, shoot_g: float, root_g: float
) -> float | None:
    """Return Dickson's quality index of a seedling.

    Args:
        dry_mass_g: total dry mass, 0 or more [g].
        height_cm: shoot height, 0 or more [cm].
        collar_mm: stem diameter at the root collar, 0 or more [mm].
        shoot_g: dry mass of the shoot, 0 or more [g].
        root_g: dry mass of the root, 0 or more [g].

    Returns:
        Index; None without a root, without a collar, or for a plant with neither height nor
        shoot.

    Raises:
        ValueError: an argument out of range, or NaN.

    Source:
        Dickson, Leaf & Hosner (1960) Forestry Chronicle 36: 10-13: dry mass / (height /
        collar + shoot / root).

    >>> dickson_index(6, 30, 5, 4, 2)
    0.75
    """
    _check.not_negative("dry_mass_g", dry_mass_g)
    _check.not_negative("height_cm", height_cm)
    _check.not_negative("collar_mm", collar_mm)
    _check.not_negative("shoot_g", shoot_g)
    _check.not_negative("root_g", root_g)
    if collar_mm == 0 or root_g == 0:
        return None
    slenderness = height_cm / collar_mm + shoot_g / root_g
    return dry_mass_g / slenderness if slenderness else None


def share(successes: int, total: int, confidence: float = 0.95) -> Share:
    """Return the share of successes with Wilson's score interval.

    Args:
        successes: plants that passed, from 0 to `total`.
        total: plants looked at, 1 or more; of none there is no share.
        confidence: of the two-sided interval, above 0, below 1.

    Returns:
        Estimate and interval, always inside 0 to 1, with a width even at 0 and at `total`.

    Raises:
        ValueError: an argument out of range, or NaN.

    Source:
        Wilson (1927) J. Am. Stat. Assoc. 22: 209-212; Newcombe (1998) Stat. Med. 17: 857-872,
        method 3.

    >>> estimate, low, high = share(95, 100)
    >>> estimate, round(low, 4), round(high, 4)
    (0.95, 0.8882, 0.9785)
    """
    total = _check.count("total", total, least=1)
    successes = _check.count("successes", successes, most=total)
    _check.open_fraction("confidence", confidence)
    z2 = NormalDist().inv_cdf((1.0 + confidence) / 2.0) ** 2
    middle = successes + z2 / 2.0
    reach = math.sqrt(z2 * successes * (total - successes) / total + z2 * z2 / 4.0)
    # At the ends one bound is exactly 0 or 1; rounding must not move it past.
    return Share(
        estimate=successes / total,
        low=max(0.0, (middle - reach) / (total + z2)) if successes else 0.0,
        high=min(1.0, (middle + reach) / (total + z2)) if successes < total else 1.0,
    )
