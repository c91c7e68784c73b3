"""Daily weather from a file of somebody else: found, shown, and taken whole or not at all."""

from nursery.domain.weather.measures import UNITS, Measure
from nursery.domain.weather.shown import Choices, Day, Preview, preview
from nursery.domain.weather.trouble import Trouble

__all__ = ["UNITS", "Choices", "Day", "Measure", "Preview", "Trouble", "preview"]
