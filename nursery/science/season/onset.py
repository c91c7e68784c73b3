"""When the rains set in, and whether they hold.

A missing day is tried both as a dry day and as a day of heavy rain. Where both lead to the same
answer it is known; where not, it is unsure and said so.
"""

from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

from nursery.science import _arrays, _check

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Rain = npt.NDArray[np.float64]
    Truth = npt.NDArray[np.bool_]

RAIN = _check.Range(0.0, 2000.0, "rain of 0 to 2000 mm a day")
CLOUDBURST_MM = RAIN.high
# Tenths of a millimetre do not add up exactly in binary.
ROUNDING_MM = 1e-6


@dataclass(frozen=True)
class OnsetRule:
    """What is called the onset of the rains, and for how long they must hold.

    Attributes:
        amount_mm: rain that must fall, at least this much, above 0 [mm].
        within_days: in how many days, the day itself and those before it; 1 or more.
        wet_days: how many of those days must be wet; from 1 to `within_days`.
        wet_day_mm: from how much rain on a day is wet, above 0 [mm].
        longest_dry_days: the longest dry spell that the rains may make and still hold; 0 or more.
        look_ahead_days: in how many days after the day; 0 asks for the amount alone.

    Raises:
        ValueError: a value out of its range.

    Source:
        Sivakumar (1988) Agric. For. Meteorol. 42: 295-305, the form of the rule (from memory);
        the numbers are the grower's or the weather service's.
    """

    amount_mm: float
    within_days: int
    wet_days: int
    wet_day_mm: float
    longest_dry_days: int
    look_ahead_days: int

    def __post_init__(self) -> None:
        _check.number(
            "amount_mm",
            self.amount_mm,
            _check.Range(1e-3, CLOUDBURST_MM, f"above 0 and up to {CLOUDBURST_MM:g} mm"),
        )
        _check.count("within_days", self.within_days, least=1, most=366)
        _check.count("wet_days", self.wet_days, least=1, most=self.within_days)
        _check.number(
            "wet_day_mm",
            self.wet_day_mm,
            _check.Range(1e-3, CLOUDBURST_MM, f"above 0 and up to {CLOUDBURST_MM:g} mm"),
        )
        _check.count("longest_dry_days", self.longest_dry_days, most=366)
        _check.count("look_ahead_days", self.look_ahead_days, most=366)


class Onset(NamedTuple):
    """The answer to when the rains set in.

    Attributes:
        day: index of the day, from 0; None where there is none or missing days hide it.
        unsure: index of the first day that may be the onset, if `day` is None because days are
            missing or the look-ahead runs past the end of the record; else None.
    """

    day: int | None
    unsure: int | None


def onset(rain_mm: "Rain", rule: OnsetRule, start: int = 0) -> Onset:
    """Return the first day of the rains on or after a set day.

    It is the first wet day on which the rain of that day and the days before reaches the amount,
    and after which no dry spell grows too long within the look-ahead. A look-ahead that runs past
    the end of the record gives no date.

    Args:
        rain_mm: one series of daily rain; NaN is missing; days before it count as dry [mm].
        rule: what counts as onset; the amount is reached at `>=`.
        start: index of the first day that may be the onset, 0 or more.

    Raises:
        ValueError: rain that is negative or above 2000 mm, more than one series, a bad start.

    Source:
        As `OnsetRule`.

    >>> import numpy as np
    >>> rule = OnsetRule(amount_mm=20, within_days=3, wet_days=1, wet_day_mm=0.85,
    ...                  longest_dry_days=2, look_ahead_days=4)
    >>> onset(np.array([0, 12, 9, 0, 0, 0, 25, 0, 0, 4, 0.0]), rule)
    Onset(day=6, unsure=None)
    >>> onset(np.array([0, 12, 9, 0, 0.0]), rule)
    Onset(day=None, unsure=2)
    >>> onset(np.zeros(30), rule)
    Onset(day=None, unsure=None)
    """
    import numpy as np

    rain = _series("rain_mm", rain_mm)
    _check.count("start", start)
    sure, maybe = (
        _events(filled, rule) & _holding(filled, rule)
        for filled in (dry_filled(rain), wet_filled(rain))
    )
    known = np.arange(len(rain)) + rule.look_ahead_days < len(rain)
    open_days = np.flatnonzero(maybe[start:]) + start
    if not len(open_days):
        return Onset(None, None)
    first = int(open_days[0])
    return Onset(first, None) if sure[first] and known[first] else Onset(None, first)


def rains_hold(rain_mm: "Rain", rule: OnsetRule) -> tuple["Truth", "Truth"]:
    """Return for each day whether the rains have set in by then and hold: for sure, and maybe.

    They hold on a day if an onset amount was reached on it or before, and since then, up to the
    end of the look-ahead after the day, no dry spell has grown longer than the rule allows.

    Args:
        rain_mm: one series of daily rain; NaN is missing [mm].
        rule: what counts as onset and as too long a dry spell.

    Returns:
        Two arrays of truth, one a day: surely so, and possibly so. They differ where missing
        days, the time before the record or the time after it could decide.

    Raises:
        ValueError: rain that is negative or above 2000 mm, or more than one series.

    Source:
        The rule of `onset`, carried on from day to day.
    """
    import numpy as np

    rain = _series("rain_mm", rain_mm)
    days = np.arange(len(rain))
    last = days + rule.look_ahead_days
    within = np.minimum(last, len(rain) - 1)
    answers = []
    # The rains may have set in before the record began: possible, never sure.
    for filled, before in ((dry_filled(rain), -2), (wet_filled(rain), -1)):
        since = np.maximum.accumulate(np.where(_events(filled, rule), days, before))
        too_dry = _dry_run(filled, rule) > rule.longest_dry_days
        broken = np.maximum.accumulate(np.where(too_dry, days, -2))[within]
        answers.append((since > broken) & (since > -2))
    surely, maybe = answers
    return surely & (last < len(rain)), maybe


def dry_filled(rain_mm: "Rain") -> "Rain":
    """Return the rain with every missing day taken as dry."""
    import numpy as np

    return np.where(np.isnan(rain_mm), 0.0, rain_mm)


def wet_filled(rain_mm: "Rain") -> "Rain":
    """Return the rain with every missing day taken as a cloudburst."""
    import numpy as np

    return np.where(np.isnan(rain_mm), CLOUDBURST_MM, rain_mm)


def _series(name: str, value: "Rain") -> "Rain":
    checked = _arrays.array(name, value, RAIN)
    if checked.ndim != 1 or not len(checked):
        raise ValueError(f"{name} must be one series of days, not of shape {checked.shape}")
    return checked


def _events(rain: "Rain", rule: OnsetRule) -> "Truth":
    import numpy as np

    before = np.zeros(rule.within_days - 1)
    windows = np.lib.stride_tricks.sliding_window_view(
        np.concatenate((before, rain)), rule.within_days
    )
    wet = rain >= rule.wet_day_mm
    wet_days = np.lib.stride_tricks.sliding_window_view(
        np.concatenate((before > 0, wet)), rule.within_days
    )
    enough = windows.sum(axis=1) >= rule.amount_mm - ROUNDING_MM
    events: Truth = enough & (wet_days.sum(axis=1) >= rule.wet_days) & wet
    return events


def _dry_run(rain: "Rain", rule: OnsetRule) -> "npt.NDArray[np.int64]":
    """Return for each day how many dry days end on it, itself included."""
    import numpy as np

    days = np.arange(len(rain))
    wet = rain >= rule.wet_day_mm
    return days - np.maximum.accumulate(np.where(wet, days, -1))


def _holding(rain: "Rain", rule: OnsetRule) -> "Truth":
    """Return for each day whether no dry spell grows too long in the look-ahead after it.

    It is asked of wet days only, so a spell that counts begins after the day.
    """
    import numpy as np

    days = np.arange(len(rain))
    too_dry = _dry_run(rain, rule) > rule.longest_dry_days
    broken = np.where(too_dry, days, len(rain) + rule.look_ahead_days + 1)
    following = np.append(np.minimum.accumulate(broken[::-1])[::-1], len(rain) * 2 + 400)
    holding: Truth = following[1:] > days + rule.look_ahead_days
    return holding
