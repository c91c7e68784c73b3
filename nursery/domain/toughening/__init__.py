"""Toughening: how young plants are brought to sun and wind, step by step, and when a step waits."""

from nursery.domain.program import Limits, Program, Step, Wind, light_of
from nursery.domain.toughening.advice import Advice, Doing, Seen, Sky, Standing, advise

__all__ = [
    "Advice",
    "Doing",
    "Limits",
    "Program",
    "Seen",
    "Sky",
    "Standing",
    "Step",
    "Wind",
    "advise",
    "light_of",
]
