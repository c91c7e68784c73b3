"""What traps and repeated negative looks say about a population."""

from nursery.science import _check, _nothing_found


def captures_per_trap_day(captures: int, traps: int, days: float) -> float | None:
    """Return the trap index: captures per trap and day of exposure.

    Args:
        captures: insects of the pest caught, 0 or more.
        traps: traps actually read; lost and unreadable ones do not count.
        days: mean exposure of those traps, 0 or more [d].

    Returns:
        Captures per trap and day; None without any exposure, as at the first servicing.

    Raises:
        ValueError: an argument out of range, or NaN.

    Source:
        FAO/IPPC ISPM 26 (2015) Appendix 1, flies per trap per day.

    >>> captures_per_trap_day(294, 129, 3)
    0.7596899224806202
    >>> captures_per_trap_day(0, 122, 0) is None
    True
    """
    captures = _check.count("captures", captures)
    exposure = _check.count("traps", traps) * _check.not_negative("days", days)
    return captures / exposure if exposure else None


def sensitivity(seen: int, prevalence: float, efficacy: float = 1.0) -> float:
    """Return the probability that looking at units of a large population finds the pest.

    Args:
        seen: units looked at, 0 or more.
        prevalence: share of infested units to be noticed, from 0 to 1.
        efficacy: probability that an infested unit is recognised, above 0, up to 1.

    Returns:
        Probability from 0 to 1.

    Raises:
        ValueError: an argument out of range, or NaN.

    Source:
        Martin, Shoukri & Thorburn (1992) Prev. Vet. Med. 14: 33-43: 1 - (1 - Se p)^n.

    >>> round(sensitivity(300, 0.01, 0.95), 3)
    0.943
    """
    seen = _check.count("seen", seen)
    _check.fraction("prevalence", prevalence)
    _check.positive_fraction("efficacy", efficacy)
    return _nothing_found.at_least_one(seen, efficacy * prevalence)


def sensitivity_approximate(lot: int, infested: int, seen: int, efficacy: float = 1.0) -> float:
    """Return the probability that looking at part of a lot finds the pest, approximated.

    Never above the exact `sampling.confidence_reached` for the same infested units. With
    units of unequal efficacy, give the mean over the units seen.

    Args:
        lot: units in the lot, 1 or more.
        infested: infested units to be noticed, from 0 to `lot`.
        seen: units looked at, from 0 to `lot`.
        efficacy: probability that an infested unit is recognised, above 0, up to 1.

    Returns:
        Probability from 0 to 1.

    Raises:
        ValueError: an argument out of range, or NaN.

    Source:
        Cannon (2001) Prev. Vet. Med. 49: 141-163: 1 - (1 - Se n/N)^D.

    >>> round(sensitivity_approximate(50, 5, 30, 0.95), 4)
    0.9853
    """
    lot = _check.count("lot", lot, least=1)
    infested = _check.count("infested", infested, most=lot)
    seen = _check.count("seen", seen, most=lot)
    _check.positive_fraction("efficacy", efficacy)
    return _nothing_found.at_least_one(infested, efficacy * seen / lot)


def discounted(prior: float, introduction: float) -> float:
    """Return the probability of freedom after a span in which the pest may have come in.

    Args:
        prior: probability of freedom at the start of the span, from 0 to 1.
        introduction: probability that the pest came in during the span, from 0 to 1.

    Returns:
        Probability from 0 to 1, never above `prior`.

    Raises:
        ValueError: an argument out of range, or NaN.

    Source:
        Martin, Cameron & Greiner (2007) Prev. Vet. Med. 79: 71-97: infestation becomes
        P + Q - P Q.

    >>> discounted(0.5, 0.01)
    0.495
    """
    _check.fraction("prior", prior)
    _check.fraction("introduction", introduction)
    return prior * (1.0 - introduction)


def probability_of_freedom(prior: float, sensitivity: float) -> float:
    """Return the probability of freedom after a survey in which nothing was found.

    Freedom means: below the prevalence for which `sensitivity` was worked out, never zero.

    Args:
        prior: probability of freedom before the survey, already discounted, from 0 to 1.
        sensitivity: probability that the survey would have found the pest, from 0 to 1.

    Returns:
        Probability from 0 to 1, never below `prior`.

    Raises:
        ValueError: an argument out of range, or NaN.

    Source:
        Martin, Cameron & Greiner (2007) Prev. Vet. Med. 79: 71-97, Bayes' rule.

    >>> round(probability_of_freedom(0.495, 0.44), 7)
    0.6364104
    """
    _check.fraction("prior", prior)
    _check.fraction("sensitivity", sensitivity)
    if prior == 0.0:
        return 0.0
    return prior / (prior + (1.0 - sensitivity) * (1.0 - prior))
