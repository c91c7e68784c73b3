"""What a logger keeps of a room, and in which units files bear it."""

from collections.abc import Mapping
from enum import StrEnum
from types import MappingProxyType

from nursery.domain.weather.measures import Unit


class Quantity(StrEnum):
    AIR = "air_c"
    HUMIDITY = "humidity_percent"
    LIGHT = "light_mol"


# A mean flux of 1 µmol m-2 s-1 over a day, in mol m-2.
MOL_A_DAY = 0.0864
FLUX, SUM = "micromol", "mol_day"
# Lux weighs light as an eye does and watts count all rays: how much of it plants use depends on
# lamp, glass and shade, and no one factor is true of a room. None: such a column is not taken.
UNITS: Mapping[Quantity, Mapping[str, Unit | None]] = MappingProxyType(
    {
        Quantity.AIR: {"celsius": Unit(1.0), "fahrenheit": Unit(5 / 9, -160 / 9)},
        Quantity.HUMIDITY: {"percent": Unit(1.0), "share": Unit(100.0)},
        Quantity.LIGHT: {FLUX: Unit(MOL_A_DAY), SUM: Unit(1.0), "lux": None, "watt": None},
    }
)
# No room of plants has been outside of these, in the units of the book. (Choice of the product.)
SPANS = MappingProxyType(
    {
        Quantity.AIR: (-50.0, 100.0),
        Quantity.HUMIDITY: (0.0, 100.0),
        Quantity.LIGHT: (0.0, 5000.0 * MOL_A_DAY),
    }
)
