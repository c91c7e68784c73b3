"""The planting day: what is green, what is not and why, and what may be signed away."""

from nursery.domain.gate import LAW
from nursery.domain.planting.day import (
    Block,
    Check,
    Colour,
    Day,
    Levels,
    Plants,
    checks,
    verdict,
)

__all__ = ["LAW", "Block", "Check", "Colour", "Day", "Levels", "Plants", "checks", "verdict"]
