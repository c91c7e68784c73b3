"""The planting day: what is green, what is not and why, and what may be signed away."""

from nursery.domain.gate import LAW
from nursery.domain.planting.day import (
    Block,
    Check,
    Colour,
    Day,
    Odds,
    Plants,
    checks,
    verdict,
)
from nursery.domain.planting.dry_spell import Risks
from nursery.domain.reference import Levels

__all__ = [
    "LAW",
    "Block",
    "Check",
    "Colour",
    "Day",
    "Levels",
    "Odds",
    "Plants",
    "Risks",
    "checks",
    "verdict",
]
