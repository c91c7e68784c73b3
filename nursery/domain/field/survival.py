"""How many of the plants in a block live, since when, and which groups differ (rules F-5, F-6)."""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from nursery.domain.kinds.field import Standing
from nursery.domain.occupants import Occupant
from nursery.science.survival import Curve, LogRank, kaplan_meier, log_rank

# One number over so many groups tells nobody which to look at, the test supposes that each group
# has several deaths, and its work grows with the square of their number. (Choice of the product.)
MOST_GROUPS = 100


@dataclass(frozen=True, slots=True)
class Counted:
    """A group of plants by how they stand: planted = alive + dead + missing + rootstock only."""

    planted: int
    alive: int
    dead: int
    missing: int
    rootstock_only: int
    causes: Mapping[str, int]

    @property
    def gone(self) -> int:
        return self.planted - self.alive


def count(plants: Iterable[Occupant]) -> Counted:
    """Return how many of some plants stand how by their last look, and what took those gone."""
    some = list(plants)
    states = Counter(one.state for one in some)
    causes = Counter(one.cause or "unknown" for one in some if not one.lives)
    return Counted(
        planted=len(some),
        alive=states[Standing.ALIVE],
        dead=states[Standing.DEAD],
        missing=states[Standing.MISSING],
        rootstock_only=states[Standing.ROOTSTOCK_ONLY],
        causes=dict(sorted(causes.items())),
    )


def curve(plants: Iterable[Occupant]) -> Curve:
    """Return the share of a first planting that lives, by days since planting (rule F-5).

    A plant is gone from the day on which it was first seen so; one that lives is known to have
    lived until it was last looked at. Plants that filled gaps are left out, whoever asks.

    Source: `nursery.science.survival.kaplan_meier`.
    """
    ages, died, _ = _lives((one, "") for one in plants)
    return kaplan_meier(ages, died)


def compare(groups: Mapping[str, Iterable[Occupant]]) -> LogRank | None:
    """Return whether first plantings survive alike; None where fewer than two were looked at.

    Nor are more than `MOST_GROUPS` compared, of which each is a handful of plants (rule F-6).

    Source: `nursery.science.survival.log_rank`.
    """
    told = [(one, name) for name, plants in groups.items() for one in plants]
    ages, died, names = _lives(told)
    return log_rank(ages, died, names) if 1 < len(set(names)) <= MOST_GROUPS else None


def _lives(
    plants: Iterable[tuple[Occupant, str]],
) -> tuple[list[float], list[bool], list[str]]:
    """Return the age of each plant that was looked at, whether it is gone, and its group."""
    ages: list[float] = []
    died: list[bool] = []
    names: list[str] = []
    for one, name in plants:
        if one.first and one.seen:
            ages.append(float(_age(one.on, one.gone_on or one.seen[-1].on)))
            died.append(one.gone_on is not None)
            names.append(name)
    return ages, died, names


def _age(planted: date, seen: date) -> int:
    return max(0, (seen - planted).days)
