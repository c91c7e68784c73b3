"""How seed came up and how grafts took, from what was written of a batch (rules K-1 to K-3).

Everything here is counted, nothing is forecast.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import tzinfo
from typing import Any

from nursery.domain.batch import Batch
from nursery.domain.kinds import life
from nursery.domain.record import Happening
from nursery.science.germination import summarise
from nursery.science.stock import share

# Classes of a rootstock's diameter, each from its first millimetre on. (From memory.)
CLASSES = (0, 4, 6, 8)


@dataclass(frozen=True, slots=True)
class Came:
    """Running totals of seedlings by the day since sowing on which they were counted."""

    sown: int
    days: tuple[int, ...]
    totals: tuple[int, ...]
    abnormal: int | None

    def as_json(self) -> dict[str, Any]:
        new = [n - m for n, m in zip(self.totals, (0, *self.totals), strict=False)]
        told = summarise(new, self.days, self.sown) if self.sown else None
        return {
            "sown": self.sown,
            "abnormal": self.abnormal,
            "curve": [{"day": d, "total": n} for d, n in zip(self.days, self.totals, strict=True)],
            "percent": None if told is None else round(told.percent, 1),
            "first_day": None if told is None else told.first_day,
            "last_day": None if told is None else told.last_day,
            "half_day": None if told is None else _tenth(told.t50_farooq),
            "mean_days": None if told is None else _tenth(told.mean_time),
        }


def _tenth(figure: float | None) -> float | None:
    return None if figure is None else round(figure, 1)


def came_up(batch: Batch, zone: tzinfo) -> Came | None:
    """Return how the seed of a batch came up; None of what was not sown, or not looked at yet.

    Days are those of the nursery's calendar, in `zone`, and that of sowing is 0. A total that is
    lower than one before it adds nothing, and none is above the seed sown; of two counts of a day
    the later one stands (rule K-1).
    """
    began = next(iter(batch.record.told(life.Sown)), None)
    counts = batch.record.told(life.Emerged)
    if began is None or not counts:
        return None
    sown: int = began.body.seeds
    sown_on = began.at.astimezone(zone).date()
    totals: dict[int, int] = {}
    most = 0
    for one in counts:
        most = min(sown, max(most, one.body.total))
        totals[max(0, (one.at.astimezone(zone).date() - sown_on).days)] = most
    odd = [one.body.abnormal for one in counts if one.body.abnormal is not None]
    days = sorted(totals)
    abnormal = odd[-1] if odd else None
    return Came(sown, tuple(days), tuple(totals[day] for day in days), abnormal)


@dataclass(frozen=True, slots=True)
class Graft:
    """One grafting; `took` and `failed` are None until somebody counted them."""

    entry: str
    plants: int
    operator: str | None
    rootstock_mm: float | None
    took: int | None
    failed: int | None


def grafts(batch: Batch) -> list[Graft]:
    """Return the graftings of a batch, each with its last count of what took (rule K-2).

    A count that names no grafting is one of the last before it.
    """
    counted: dict[str, life.Took] = {}
    found: list[Happening] = []
    for one in batch.record.told(life.Worked, life.Took):
        if isinstance(one.body, life.Took):
            name = one.body.graft or (found[-1].entry if found else None)
            if name is not None:
                counted[batch.line(name) or name] = one.body
        elif one.body.scion != batch.id:
            found.append(one)
    return [_graft(one, counted.get(batch.line(one.entry) or one.entry)) for one in found]


def _graft(one: Happening, counted: life.Took | None) -> Graft:
    body: life.Worked = one.body
    took: int | None = body.took
    failed: int | None = None
    if counted is not None:
        took, failed = counted.took, counted.failed
    elif took is not None:
        failed = max(0, body.plants - took)
    return Graft(one.entry, body.plants, body.operator, body.rootstock_mm, took, failed)


def class_of(millimetres: float | None) -> str | None:
    """Return the class of a diameter, such as `4-6`; of one that was not measured there is none.

    >>> class_of(3.9), class_of(4), class_of(8.0), class_of(None)
    ('0-4', '4-6', '8-', None)
    """
    if millimetres is None:
        return None
    at = max(i for i, low in enumerate(CLASSES) if millimetres >= low)
    above = CLASSES[at + 1] if at + 1 < len(CLASSES) else ""
    return f"{CLASSES[at]}-{above}"


def taken(some: Iterable[Graft]) -> dict[str, Any] | None:
    """Return the share that took with its interval; None where nothing was counted (rule K-3)."""
    counted = [(one.took, one.failed or 0) for one in some if one.took is not None]
    took, of = sum(t for t, _ in counted), sum(t + f for t, f in counted)
    if not of:
        return None
    found = share(took, of)
    return {
        "took": took,
        "of": of,
        "percent": round(100 * found.estimate, 1),
        "low": round(100 * found.low, 1),
        "high": round(100 * found.high, 1),
    }


def by(key: str, some: Sequence[Graft]) -> list[dict[str, Any]]:
    """Return shares by diameter class or by operator, in the order of their names: no ranking."""
    named: dict[str, list[Graft]] = {}
    for one in some:
        name = class_of(one.rootstock_mm) if key == "rootstock" else one.operator
        named.setdefault(name or "", []).append(one)
    shares = ((name, taken(named[name])) for name in sorted(named))
    return [{"name": name, **told} for name, told in shares if told is not None]


def of_batch(batch: Batch, zone: tzinfo) -> dict[str, Any] | None:
    """Return what a batch's sheet tells of propagation; None where nothing was sown or grafted."""
    came, worked = came_up(batch, zone), grafts(batch)
    if came is None and not worked:
        return None
    take = None
    if worked:
        take = {
            "worked": sum(one.plants for one in worked),
            "all": taken(worked),
            "by_rootstock": by("rootstock", worked),
            "by_operator": by("operator", worked),
        }
    return {"germination": None if came is None else came.as_json(), "take": take}


def rooted(batch: Batch) -> tuple[int, int] | None:
    """Return cuttings set in a batch and how many of them had roots; None where nobody counted."""
    # Those that were taken from it are another batch's.
    set_in = [one.body for one in batch.record.told(life.Stuck) if one.body.batch.id == batch.id]
    stuck = sum(one.cuttings for one in set_in)
    totals = [one.body.total for one in batch.record.told(life.Rooted)]
    return (stuck, min(max(totals), stuck)) if stuck and totals else None
