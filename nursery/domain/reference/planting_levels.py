"""Where a check of the planting day turns from go to wait, and from wait to no-go (rule V-2)."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from nursery.domain.kinds.shape import Count

DAYS_GO, DAYS_WAIT, WET_DAYS = Count(7), Count(3), Count(2)


@dataclass(frozen=True, slots=True)
class Levels:
    """Levels of a nursery: a part of the row of its site, each the grower's to change.

    `wet_to_cm` is how deep a probe finds it wet, a wet day is one of `wet_day_mm` or more, and
    shares are from 0 to 1.
    """

    wet_to_cm: float = 20.0
    wet_wait_cm: float = 10.0
    wet_days: Count = WET_DAYS
    wet_day_mm: float = 1.0
    dry_spell_go: float = 0.30
    dry_spell_no: float = 0.50
    heat_go_c: float = 32.0
    heat_no_c: float = 35.0
    wind_go_kmh: float = 30.0
    wind_no_kmh: float = 40.0
    fit_go: float = 0.90
    fit_wait: float = 0.75
    pits_wait: float = 0.80
    days_go: Count = DAYS_GO
    days_wait: Count = DAYS_WAIT


USUAL_LEVELS = Levels()
# The trade's go / wait / no-go table, from memory; the others are choices of the product.
TRADE, OWN = "trade", "own"
_OF_THE_TRADE = frozenset(
    (
        *("wet_to_cm", "wet_days", "heat_go_c", "heat_no_c", "fit_go", "fit_wait", "pits_wait"),
        *("days_go", "days_wait"),
    )
)
SOURCES: Mapping[str, str] = MappingProxyType(
    {name: TRADE if name in _OF_THE_TRADE else OWN for name in Levels.__dataclass_fields__}
)
# Of each pair, the first is never below the second: go is the better end of a check.
FALLING = (("wet_to_cm", "wet_wait_cm"), ("fit_go", "fit_wait"), ("days_go", "days_wait"))
RISING = (
    ("dry_spell_no", "dry_spell_go"),
    ("heat_no_c", "heat_go_c"),
    ("wind_no_kmh", "wind_go_kmh"),
)
