"""How poisonous the substances of a product are, and how long nobody goes in by those classes.

The classes are those of 40 CFR 156.208 (c): a floor to hold a label against, never in its place.
Paragraph (c) is from memory, and so is the oral figure that stands in for a dermal one; the four
hours of products on a list of low risk are the policy of 60 FR 21965 (3 May 1995). A fumigant's
time follows from its label alone.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum

from nursery.domain.kinds.shape import Count, Name

MOST_TOXIC, LEAST_TOXIC = 1, 4
HOURS: Mapping[int, int] = {1: 48, 2: 24, 3: 12, 4: 12}
HOURS_OF_LOW_RISK = 4
LOW_RISK_NEVER = frozenset((1, 2))
HOURS_IN_DRY_FIELDS = 72
# 25 inches of rain in a year.
DRY_BELOW_MM = 635.0


@dataclass(frozen=True, slots=True)
class Substance:
    """An active substance by the categories of its acute toxicity, I to IV written 1 to 4.

    What nobody could find out is left out. `organophosphate` is one that inhibits cholinesterase.
    """

    name: Name
    dermal: Count | None = None
    eye: Count | None = None
    skin: Count | None = None
    oral: Count | None = None
    organophosphate: bool = False

    @property
    def category(self) -> int | None:
        """The most toxic of dermal (or else oral), eye and skin, as far as they are known."""
        dermal = self.oral if self.dermal is None else self.dermal
        return min((one for one in (dermal, self.eye, self.skin) if one is not None), default=None)


class Setting(StrEnum):
    INSIDE = "inside"
    OUTDOORS = "outdoors"
    OUTDOORS_DRY = "outdoors_dry"


def hours(
    substances: Iterable[Substance], setting: Setting, *, low_risk: bool = False
) -> int | None:
    """Return for how many hours nobody goes in by the classes, or None where no class is known.

    Of several substances the longest counts (rule P-9). One of which nothing is known adds nothing:
    the answer is the least that it can be. `low_risk` says that the product is on the list of low
    risk, which no substance of category I or II can be.

    >>> hours([Substance(Name("a"), 1, 3, 4), Substance(Name("b"), 3, 4, 4)], Setting.INSIDE)
    48
    """
    known = [one for one in substances if one.category is not None]
    longest = max((_of_one(one, setting) for one in known), default=None)
    if low_risk and known and not LOW_RISK_NEVER & {one.category for one in known}:
        return HOURS_OF_LOW_RISK
    return longest


def _of_one(one: Substance, setting: Setting) -> int:
    category = LEAST_TOXIC if one.category is None else one.category
    dry = setting is Setting.OUTDOORS_DRY
    if dry and one.organophosphate and category == MOST_TOXIC:
        return HOURS_IN_DRY_FIELDS
    return HOURS[category]
