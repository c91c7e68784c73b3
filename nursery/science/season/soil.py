"""Water in the planting hole before planting and in the root zone of the plant after it.

A missing day is tried as one that leaves the soil as wet as can be and as one that leaves it as
dry; where both agree the answer is known.
"""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from nursery.science import _check
from nursery.science.season.onset import CLOUDBURST_MM

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Days = npt.NDArray[np.float64]
    # Depletion or fullness on the wet and on the dry side of what is known, 2 x days.
    Bounds = npt.NDArray[np.float64]


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
class RootZone:
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


def total_available_water(fc: float, wp: float, depth: float) -> float:
    return 1000 * (fc - wp) * depth


def wet_deep_enough(
    rain_mm: "Days", demand_mm: "Days", soil: Soil, hole: RootZone, wet_share: float
) -> tuple["Days", "Bounds"]:
    """Return for each day whether the soil of the hole is wet, and how full of water it is.

    The soil is taken as full and as empty before the record, so its first days are known only
    once both have met.

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

    total = total_available_water(soil.field_capacity, soil.wilting_point, hole.depth_m)
    rain, demand = _bounds(rain_mm, demand_mm, hole.crop_coefficient)
    sides = [
        _open_hole(begin * total, rain[side].tolist(), demand[side].tolist(), total, hole)
        for side, begin in enumerate((0.0, 1.0))
    ]
    fullness = 1 - np.array(sides) / total
    wet = fullness >= wet_share - 1e-9
    return np.where(wet[0] == wet[1], wet[0].astype(np.float64), np.nan), fullness


def stress_days(
    rain_mm: "Days",
    demand_mm: "Days",
    fullness: "Bounds",
    ground: tuple[Soil, RootZone],
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
    total = total_available_water(soil.field_capacity, soil.wilting_point, plant.depth_m)
    ready = total * plant.depletion_fraction
    tail = np.full(days, np.nan)
    rain, demand = _bounds(
        np.append(rain_mm, tail), np.append(demand_mm, tail), plant.crop_coefficient
    )
    length = len(rain_mm)
    depletion = (1 - fullness) * total
    stressed = np.zeros(depletion.shape)
    for day in range(1, days + 1):
        stressed += depletion > ready + 1e-9
        coefficient = np.minimum(1.0, (total - depletion) / (total - ready))
        depletion += coefficient * demand[:, day : day + length] - rain[:, day : day + length]
        np.clip(depletion, 0.0, total, out=depletion)
    gone = np.arange(length) + days >= length
    return np.where(gone | (stressed[0] != stressed[1]), np.nan, stressed[0])


def _bounds(rain_mm: "Days", demand_mm: "Days", coefficient: float) -> tuple["Bounds", "Bounds"]:
    """Return rain and what plant or soil would draw, on the wetter and on the drier side."""
    import numpy as np

    most = np.nanmax(demand_mm) if not np.isnan(demand_mm).all() else 0.0
    rain = np.stack([np.nan_to_num(rain_mm, nan=fill) for fill in (CLOUDBURST_MM, 0.0)])
    drawn = np.stack([np.nan_to_num(demand_mm, nan=fill) for fill in (0.0, most)])
    return rain, drawn * coefficient


def _open_hole(
    depletion: float, rain: list[float], demand: list[float], total: float, hole: RootZone
) -> list[float]:
    """Return the depletion at the end of each day [mm]. Each day needs the one before it."""
    ready = total * hole.depletion_fraction
    found = []
    for fallen, wanted in zip(rain, demand, strict=True):
        coefficient = min(1.0, (total - depletion) / (total - ready))
        depletion = min(max(depletion - fallen + coefficient * wanted, 0.0), total)
        found.append(depletion)
    return found
