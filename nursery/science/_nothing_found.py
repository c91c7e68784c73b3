"""The chance of finding nothing in an infested lot, and the looking that makes it small."""

import math
from bisect import bisect_left

# Room for the rounding of decimal fractions such as 0.1, far below one unit of any lot.
ROUNDING = 1e-9
_NEGLIGIBLE = 1e-18
_SMALLEST = 1e-300
_ALMOST_SURE = math.nextafter(1.0, 0.0)


def enough(lot: int, infested: int, confidence: float, efficacy: float) -> int:
    """Return a number of units that is never too few, by the closed approximation."""
    wanted = lot / efficacy * (1.0 - math.pow(1.0 - confidence, 1.0 / infested))
    return min(lot, max(1, math.ceil(wanted - ROUNDING)))


def at_least_one(trials: int, chance: float) -> float:
    """Return the probability of at least one success, exact for small chances too."""
    if chance == 1.0:
        return 1.0 if trials else 0.0
    return -math.expm1(trials * math.log1p(-chance))


def fewest_trials(chance: float, confidence: float) -> int:
    """Return how many trials give at least one success with the given confidence."""
    if chance == 1.0:
        return 1
    return max(1, math.ceil(math.log1p(-confidence) / math.log1p(-chance) - ROUNDING))


def fewest(lot: int, infested: int, confidence: float, efficacy: float) -> int | None:
    """Return the fewest units to look at, or the fewest infested units that cannot hide.

    The two questions are one, since infested units and seen units may change places.
    """
    if confidence == 1.0:
        return lot - infested + 1 if efficacy == 1.0 else None
    # 1 - 0.9 is a little less than 0.1 in binary; an exact tie must still count as reached.
    allowed = min((1.0 - confidence) * (1.0 + ROUNDING), _ALMOST_SURE)
    if (1.0 - efficacy) ** infested > allowed:
        return None
    most = enough(lot, infested, confidence, efficacy)
    # Each further unit adds a little more than the one before, so that a straight line through
    # the logarithms of 0 units and of enough units meets the level a little too early.
    missed = max(probability(lot, infested, most, efficacy), _SMALLEST)
    steepest = math.log(min(missed, _ALMOST_SURE))
    start = max(0, math.floor(most * math.log(allowed) / steepest) - 1)
    return bisect_left(
        range(most),
        -allowed,
        lo=start,
        key=lambda seen: -probability(lot, infested, seen, efficacy),
    )


def probability(lot: int, infested: int, seen: int, efficacy: float) -> float:
    """Return the probability of recognising none, summed outwards from the likeliest count.

    Each term is a ratio to its neighbour, so that no factorial is formed and the sum over all
    terms scales the result.
    """
    least, most = max(0, seen + infested - lot), min(seen, infested)
    mode = min(max((seen + 1) * (infested + 1) // (lot + 2), least), most)
    overlooked, beyond = 1.0 - efficacy, lot - infested - seen
    weight, total, missed = 1.0, 1.0, overlooked**mode
    for k in range(mode + 1, most + 1):
        weight *= (infested - k + 1) * (seen - k + 1) / (k * (beyond + k))
        total += weight
        missed += weight * overlooked**k
        if weight < _NEGLIGIBLE:
            break
    weight, term = 1.0, overlooked**mode
    for k in range(mode - 1, least - 1, -1):
        weight *= (k + 1) * (beyond + k + 1) / ((infested - k) * (seen - k))
        total += weight
        previous, term = term, weight * overlooked**k
        missed += term
        # Missing fewer is likelier: below the mode the products may first rise, then fall.
        if weight == 0.0 or term < min(previous, missed * _NEGLIGIBLE):
            break
    return missed / total
