"""How many units of a lot to look at, what that looking is worth, and which units they are.

Levels of detection, confidences and efficacies are fractions, never percentages.
"""

import math
from collections.abc import Sequence
from hashlib import sha256
from typing import TypeVar

from nursery.science import _check, _nothing_found

Label = TypeVar("Label")


def sample_size(
    lot: int, prevalence: float, confidence: float = 0.95, efficacy: float = 1.0
) -> int | None:
    """Return the fewest units to inspect so that an infested lot is noticed.

    Exact for a lot of known size sampled without replacement, acceptance number 0.

    Args:
        lot: units in the lot, 0 or more.
        prevalence: level of detection, the share of infested units to be noticed, above 0, up
            to 1. Infested units are floor(lot x prevalence), as ISPM 31 counts them.
        confidence: probability of finding at least one, above 0, up to 1.
        efficacy: probability that an inspected infested unit is recognised, above 0, up to 1.

    Returns:
        Units, at most `lot`; None where the level lies below one unit of this lot, or where
        even the whole lot does not reach the confidence.

    Raises:
        ValueError: an argument out of range, or NaN.

    Source:
        FAO/IPPC ISPM 31 (2008) Methodologies for sampling of consignments, Appendix 2,
        hypergeometric; efficacy by the sum over infested units in the sample.

    >>> sample_size(200, 0.05)
    51
    >>> sample_size(50, 0.01) is None
    True
    """
    lot = _check.count("lot", lot)
    infested = _infested(lot, _check.positive_fraction("prevalence", prevalence))
    _check.positive_fraction("confidence", confidence)
    _check.positive_fraction("efficacy", efficacy)
    return _nothing_found.fewest(lot, infested, confidence, efficacy) if infested else None


def sample_size_large(prevalence: float, confidence: float = 0.95, efficacy: float = 1.0) -> int:
    """Return the fewest units to inspect in a lot too large for its size to matter.

    Args:
        prevalence: level of detection, above 0, up to 1.
        confidence: probability of finding at least one, above 0, below 1.
        efficacy: probability that an inspected infested unit is recognised, above 0, up to 1.

    Returns:
        Units, 1 or more.

    Raises:
        ValueError: an argument out of range, or NaN.

    Source:
        FAO/IPPC ISPM 31 (2008) Appendix 3, binomial: ln(1 - C) / ln(1 - p Se), rounded up.

    >>> sample_size_large(0.05, 0.95, 0.9)
    66
    """
    _check.positive_fraction("prevalence", prevalence)
    _check.open_fraction("confidence", confidence)
    _check.positive_fraction("efficacy", efficacy)
    return _nothing_found.fewest_trials(prevalence * efficacy, confidence)


def sample_size_approximate(
    lot: int, infested: int, confidence: float = 0.95, efficacy: float = 1.0
) -> int:
    """Return the sample size by the approximation that surveillance packages use.

    It never asks for less than `sample_size` does for the same infested units. Those packages
    round the infested units up where ISPM 31 rounds them down; here they are given.

    Args:
        lot: units in the lot, 1 or more.
        infested: infested units to be noticed, from 1 to `lot`.
        confidence: probability of finding at least one, above 0, up to 1.
        efficacy: probability that an inspected infested unit is recognised, above 0, up to 1.

    Returns:
        Units, 1 or more; the whole lot where the formula asks for more than there is, and then
        `surveillance.sensitivity_approximate` tells how little that reaches.

    Raises:
        ValueError: an argument out of range, or NaN.

    Source:
        Cannon (2001) Prev. Vet. Med. 49: 141-163: (N / Se)(1 - (1 - C)^(1/D)), rounded up.

    >>> sample_size_approximate(1000, 50, 0.95, 0.9)
    65
    """
    lot = _check.count("lot", lot, least=1)
    infested = _check.count("infested", infested, least=1, most=lot)
    _check.positive_fraction("confidence", confidence)
    _check.positive_fraction("efficacy", efficacy)
    return _nothing_found.enough(lot, infested, confidence, efficacy)


def confidence_reached(lot: int, seen: int, prevalence: float, efficacy: float = 1.0) -> float:
    """Return the probability that the units seen would have shown an infestation.

    Args:
        lot: units in the lot, 0 or more.
        seen: units inspected, from 0 to `lot`.
        prevalence: level of detection, from 0 to 1; infested units as in `sample_size`.
        efficacy: probability that an inspected infested unit is recognised, above 0, up to 1.

    Returns:
        Probability from 0 to 1; 0.0 where the level lies below one unit of this lot.

    Raises:
        ValueError: an argument out of range, or NaN.

    Source:
        FAO/IPPC ISPM 31 (2008) Appendix 2, solved for the confidence.

    >>> round(confidence_reached(200, 51, 0.05), 4)
    0.9514
    """
    lot = _check.count("lot", lot)
    seen = _check.count("seen", seen, most=lot)
    infested = _infested(lot, _check.fraction("prevalence", prevalence))
    _check.positive_fraction("efficacy", efficacy)
    return 1.0 - _nothing_found.probability(lot, infested, seen, efficacy)


def detectable_prevalence(
    lot: int, seen: int, confidence: float = 0.95, efficacy: float = 1.0
) -> float | None:
    """Return the smallest share of infested units that the units seen would have shown.

    Args:
        lot: units in the lot, 0 or more.
        seen: units inspected, from 0 to `lot`.
        confidence: probability of finding at least one, above 0, up to 1.
        efficacy: probability that an inspected infested unit is recognised, above 0, up to 1.

    Returns:
        Infested units / lot; None where even a wholly infested lot could have been missed.

    Raises:
        ValueError: an argument out of range, or NaN.

    Source:
        FAO/IPPC ISPM 31 (2008) Appendix 2, solved for the infested units.

    >>> detectable_prevalence(200, 51)
    0.05
    """
    lot = _check.count("lot", lot)
    seen = _check.count("seen", seen, most=lot)
    _check.positive_fraction("confidence", confidence)
    _check.positive_fraction("efficacy", efficacy)
    # Missing `infested` among `seen` is as likely as missing `seen` among `infested`.
    infested = _nothing_found.fewest(lot, seen, confidence, efficacy) if seen else None
    return None if infested is None else infested / lot


def pooled_samples(
    prevalence: float,
    pool_size: int,
    confidence: float = 0.95,
    pool_sensitivity: float = 1.0,
    pool_specificity: float = 1.0,
) -> int:
    """Return how many pools of equal size to test in a large lot.

    Args:
        prevalence: level of detection among units, above 0, up to 1.
        pool_size: units in one pool, 1 or more.
        confidence: probability of at least one positive pool, above 0, below 1.
        pool_sensitivity: probability that a pool with an infested unit tests positive,
            above 0, up to 1.
        pool_specificity: probability that a clean pool tests negative, from 0 to 1. Below 1,
            false positives count as findings.

    Returns:
        Pools, 1 or more.

    Raises:
        ValueError: an argument out of range, or NaN.

    Source:
        Christensen & Gardner (2000) Prev. Vet. Med. 45: 83-106: with q = (1 - p)^k, a pool is
        negative with probability (1 - q)(1 - Se) + q Sp.

    >>> pooled_samples(0.01, 5, 0.95, 0.9, 0.95)
    32
    """
    _check.positive_fraction("prevalence", prevalence)
    pool_size = _check.count("pool_size", pool_size, least=1)
    _check.open_fraction("confidence", confidence)
    _check.positive_fraction("pool_sensitivity", pool_sensitivity)
    _check.fraction("pool_specificity", pool_specificity)
    infested = _nothing_found.at_least_one(pool_size, prevalence)
    positive = infested * pool_sensitivity + (1.0 - infested) * (1.0 - pool_specificity)
    return _nothing_found.fewest_trials(positive, confidence)


def pick(labels: Sequence[Label], count: int, seed: int | str) -> list[Label]:
    """Return `count` of the labels by a draw that anybody can repeat.

    Labels come in the order of SHA-256 of the seed, a line feed and the label, as UTF-8 text;
    the order of `labels` does not matter, and a larger count only adds to a smaller one.

    Args:
        labels: distinct labels.
        count: how many, from 0 to the number of labels.
        seed: the draw's seed, as it stands in the record.

    Raises:
        ValueError: `count` out of range, or a label that occurs twice.

    Source:
        Common practice, no source: rank by a hash of seed and label.

    >>> pick(["T-1", "T-2", "T-3", "T-4"], 2, "round 12") == pick(
    ...     ["T-4", "T-3", "T-2", "T-1"], 2, "round 12"
    ... )
    True
    """
    count = _check.count("count", count, most=len(labels))
    by_text = {str(label): label for label in labels}
    if len(by_text) < len(labels):
        raise ValueError(f"labels must be distinct, not {len(by_text)} among {len(labels)}")
    ranked = sorted(by_text, key=lambda text: sha256(f"{seed}\n{text}".encode()).digest())
    return [by_text[text] for text in ranked[:count]]


def _infested(lot: int, prevalence: float) -> int:
    return math.floor(lot * prevalence + _nothing_found.ROUNDING)
