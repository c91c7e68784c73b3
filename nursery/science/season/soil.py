"""Water in the planting hole before planting and in the root zone of the plant after it.

A missing day is tried as one that leaves the soil as wet as can be (a cloudburst, no demand) and
as one that leaves it as dry (no rain, the greatest demand on record); where both agree the answer
is known.
"""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from nursery.science import _check, root_zone
from nursery.science.season.onset import CLOUDBURST_MM
from nursery.science.water import total_available_water

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Days = npt.NDArray[np.float64]
    # Depletion or fullness on the wet and on the dry side of what is known, 2 x days.
    Bounds = npt.NDArray[np.float64]

# The record is cut into short stretches that are walked side by side, each after eight months
# that let it forget how it began.
_FORGETTING_DAYS, _STRETCH_DAYS = 240, 20

EVAPOTRANSPIRATION = _check.Range(0.0, 30.0, "evapotranspiration of 0 to 30 mm a day")


@dataclass(frozen=True)
class Soil:
    """What water a soil holds.

    Attributes:
        field_capacity: water after it has drained, as a share of its volume.
        wilting_point: water that plants cannot take, likewise, below field capacity.

    Raises:
        ValueError: a share out of range or a wilting point not below field capacity.
    """

    field_capacity: float
    wilting_point: float

    def __post_init__(self) -> None:
        _check.fraction("field_capacity", self.field_capacity)
        _check.fraction("wilting_point", self.wilting_point)
        if self.wilting_point >= self.field_capacity:
            raise ValueError(
                f"wilting_point must be below field_capacity "
                f"({self.field_capacity}), not {self.wilting_point}"
            )


@dataclass(frozen=True)
class Layer:
    """A layer of soil and what draws on it.

    Attributes:
        depth_m: its depth, above 0 and up to 5 [m].
        crop_coefficient: water drawn over reference evapotranspiration, 0 to 2 (Kc).
        depletion_fraction: share of its available water that is drawn without stress, 0 to 0.95
            (p); as the day demands is not adjusted for.

    Raises:
        ValueError: a value out of its range.
    """

    depth_m: float
    crop_coefficient: float
    depletion_fraction: float

    def __post_init__(self) -> None:
        _check.number("depth_m", self.depth_m, _check.Range(1e-3, 5.0, "above 0 and up to 5 m"))
        _check.number("crop_coefficient", self.crop_coefficient, _check.Range(0, 2, "0 to 2"))
        _check.number(
            "depletion_fraction", self.depletion_fraction, _check.Range(0, 0.95, "0 to 0.95")
        )


def wet_deep_enough(
    rain_mm: "Days", demand_mm: "Days", soil: Soil, hole: Layer, wet_share: float
) -> tuple["Days", "Bounds"]:
    """Return for each day whether the soil of the hole is wet, and how full of water it is.

    Eight months before each day the soil is taken as full and as empty, and nothing is known of
    the time before the record: a day is known once both have met.

    Args:
        rain_mm: one series of daily rain; NaN is missing [mm].
        demand_mm: reference evapotranspiration of the same days; NaN is missing [mm].
        soil: what water the soil holds.
        hole: the layer down to the bottom of the planting hole, before planting.
        wet_share: which share of its available water makes it wet enough, 0 to 1.

    Returns:
        1.0 for wet enough, 0.0 for not, NaN for not known, at the end of each day; and the share
        of available water left on the wetter and on the drier side of what is known, 2 x days.

    Source:
        FAO Irrigation and Drainage Paper 56 (1998) eq. 82, 84, 85, one layer. It says how much
        water is held to that depth, not where the wetting front stands.
    """
    import numpy as np

    total = float(total_available_water(soil.field_capacity, soil.wilting_point, hole.depth_m))
    rain, demand = _bounds(rain_mm, demand_mm, hole.crop_coefficient)
    fullness = 1 - _open_hole(rain, demand, total, hole.depletion_fraction) / total
    wet = fullness >= wet_share - 1e-9
    return np.where(wet[0] == wet[1], wet[0].astype(np.float64), np.nan), fullness


def stress_days(
    rain_mm: "Days",
    demand_mm: "Days",
    fullness: "Bounds",
    ground: tuple[Soil, Layer],
    days: int,
) -> "Days":
    """Return for each planting day how many of the days after it the plant lacks water.

    Args:
        rain_mm: one series of daily rain; NaN is missing [mm].
        demand_mm: reference evapotranspiration of the same days; NaN is missing [mm].
        fullness: share of available water in the soil at the end of each day, 2 x days.
        ground: what water the soil holds, and the root zone of the plant; its depth is held,
            since a young plant's roots grow little in the days that are asked about.
        days: how many days after planting, 1 or more.

    Returns:
        Days on which the stress coefficient is below 1; NaN where missing days could change the
        number, or the follow-up runs past the end of the record.

    Source:
        FAO Irrigation and Drainage Paper 56 (1998) eq. 82-85; the coefficient of a day is that of
        the depletion in its morning, as in Example 37.
    """
    import numpy as np

    soil, plant = ground
    total = float(total_available_water(soil.field_capacity, soil.wilting_point, plant.depth_m))
    tail = np.full(days, np.nan)
    rain, demand = _bounds(
        np.append(rain_mm, tail), np.append(demand_mm, tail), plant.crop_coefficient
    )
    length = len(rain_mm)
    depletion = (1 - fullness) * total
    stressed = np.zeros(depletion.shape)
    for day in range(1, days + 1):
        zone = root_zone.after_day(
            depletion,
            rain=rain[:, day : day + length],
            crop_evapotranspiration=demand[:, day : day + length],
            total=total,
            fraction=plant.depletion_fraction,
        )
        depletion = np.asarray(zone.depletion)
        stressed += np.asarray(zone.stress) < 1 - 1e-9
    gone = np.arange(length) + days >= length
    return np.where(gone | (stressed[0] != stressed[1]), np.nan, stressed[0])


def _bounds(rain_mm: "Days", demand_mm: "Days", coefficient: float) -> tuple["Bounds", "Bounds"]:
    """Return rain and what plant or soil would draw, on the wetter and on the drier side."""
    import numpy as np

    known = demand_mm[~np.isnan(demand_mm)]
    most = known.max() if len(known) else EVAPOTRANSPIRATION.high
    rain = np.stack([np.nan_to_num(rain_mm, nan=fill) for fill in (CLOUDBURST_MM, 0.0)])
    drawn = np.stack([np.nan_to_num(demand_mm, nan=fill) for fill in (0.0, most)])
    return rain, drawn * coefficient


def _open_hole(rain: "Bounds", demand: "Bounds", total: float, fraction: float) -> "Bounds":
    """Return the depletion at the end of each day on both sides of what is known [mm]."""
    import numpy as np

    length = rain.shape[1]
    begins = np.arange(0, length, _STRETCH_DAYS)
    after = begins[-1] + _STRETCH_DAYS - length
    # Outside the record the wetter side has all the rain there is, the drier side none.
    around = [(0, 0), (_FORGETTING_DAYS, after)]
    fallen = np.pad(rain, around)
    fallen[0, :_FORGETTING_DAYS] = CLOUDBURST_MM
    wanted = np.pad(demand, around)
    depletion = np.repeat([[0.0], [total]], len(begins), axis=1)
    found = np.empty((2, len(begins), _STRETCH_DAYS))
    for day in range(_FORGETTING_DAYS + _STRETCH_DAYS):
        zone = root_zone.after_day(
            depletion,
            rain=fallen[:, begins + day],
            crop_evapotranspiration=wanted[:, begins + day],
            total=total,
            fraction=fraction,
        )
        depletion = np.asarray(zone.depletion)
        if day >= _FORGETTING_DAYS:
            found[:, :, day - _FORGETTING_DAYS] = depletion
    return found.reshape(2, -1)[:, :length]
