"""Whether the interval holds the true day, for batches that go through the whole book (J-1)."""

from collections.abc import Callable, Iterable
from dataclasses import asdict, dataclass
from datetime import date, timedelta

import numpy as np
import numpy.typing as npt
import pytest

from nursery.domain.season_sheet import readiness
from nursery.domain.season_sheet.readiness import HABIT
from nursery.science.growth import CropCurve, Measure
from tests.domain.house import House
from tests.domain.test_toughening_course import PROFILE
from tests.science.test_growth import COLLAR_MM, HEIGHT_CM, Nursery

Sizes = npt.NDArray[np.float64]

# The day on which plants of age 0 began. An invented crop; what is counted is read whole.
BEGAN = date(2031, 3, 3)
FLUSHES = CropCurve((0, 100, 200, 400), (0, 2, 4, 7), (0.3, 0.6, 1.0, 1.5), error=0.3)
LEAVES = CropCurve((0, 60, 200, 400), (2, 8, 22, 40), (0.8, 1.5, 3.5, 6), error=0.5)
SIZES = {
    "height_cm": Measure("height_cm", 30.0, HEIGHT_CM),
    "collar_mm": Measure("collar_mm", 5.0, COLLAR_MM),
    "flushes": Measure("flushes", 3.0, FLUSHES),
    "leaves": Measure("leaves", 15.0, LEAVES),
}
COUNTED = ("flushes", "leaves")
PLANTS, TAGGED, RUNS = 60, 15, 32


@dataclass(frozen=True)
class Way:
    """How plants came to be here, and what is measured at which ages; `split_at` an age."""

    made: Callable[[House], None]
    asked: tuple[str, ...]
    ages: tuple[int, ...] = (80, 105, 130)
    split_at: int | None = None


def sown(house: House) -> None:
    new = {"id": "s", "label": "S", "crop": "lime"}
    house.add("sown", "s", f"{BEGAN} 08:00", {"batch": new, "seeds": PLANTS})
    house.add("emerged", "s", "2031-03-20 08:00", {"total": PLANTS})


def bought(house: House) -> None:
    """Nobody told how old they are."""
    new = {"id": "s", "label": "S", "crop": "lime"}
    house.add("received", "s", "2031-04-20 08:00", {"consignment": "c-1", "batches": [new]})
    house.count("s", PLANTS, "2031-04-20 08:10")


def stuck(house: House) -> None:
    """Cuttings that are as large as seedlings of six weeks."""
    new = {"id": "s", "label": "S", "crop": "lime"}
    house.add("stuck", "s", "2031-04-14 08:00", {"batch": new, "cuttings": PLANTS})
    house.add("rooted", "s", "2031-05-10 08:00", {"total": PLANTS})


def split(house: House, age: int) -> str:
    """All plants go to another tray with their tags, as they do while they are hardened off."""
    child = {"id": "t", "label": "T", "count": PLANTS}
    body = {"parents": [{"id": "s", "left": 0}], "children": [child]}
    house.add("split", ("s", "t"), f"{on(age)} 08:00", body)
    return "t"


def on(age: int) -> date:
    return BEGAN + timedelta(days=age)


def read(name: str, true: Sizes, nursery: Nursery) -> list[float]:
    """Return what somebody reads: whole numbers of what is counted, else with the usual error."""
    if name in COUNTED:
        return [int(one) for one in np.maximum(np.rint(true), 0)]
    error = nursery.draw.normal(0, SIZES[name].curve.error, len(true))
    return [float(one) for one in np.maximum(true + error, 0)]


def ready_on(grown: Iterable[Sizes], asked: tuple[str, ...]) -> date:
    """Return the day on which nine in ten are truly as they are asked to be."""
    passed = np.all(
        [
            true >= SIZES[name].minimum - (0.5 if name in COUNTED else 0)
            for name, true in zip(asked, grown, strict=True)
        ],
        axis=0,
    )
    enough = passed.mean(axis=0) >= 0.9
    return on(int(np.argmax(enough))) if enough.any() else date.max


def held(way: Way, nursery: Nursery) -> bool:
    """Grow a batch, write it down as people do, and see whether its day is in the interval."""
    grown = nursery.batch([SIZES[name] for name in way.asked], PLANTS)
    house, batch = House(), "s"
    profile = {
        **PROFILE,
        "least": {name: {"low": SIZES[name].minimum} for name in way.asked},
        "growth": {name: asdict(SIZES[name].curve) for name in way.asked},
    }
    house.row("crop", "lime", {"name": "Lime", "profile": profile})
    house.row("site", "site", {"latitude": -17, "fit_share": 0.9})
    way.made(house)
    for age in way.ages:
        if way.split_at is not None and batch == "s" and age > way.split_at:
            batch = split(house, way.split_at)
        told = [read(name, true[:TAGGED, age], nursery) for name, true in
                zip(way.asked, grown, strict=True)]  # fmt: skip
        plants = [
            {"tag": str(tag), **dict(zip(way.asked, sizes, strict=True))}
            for tag, sizes in enumerate(zip(*told, strict=True))
        ]
        house.add("measured", batch, f"{on(age)} 13:00", {"plants": plants})
    [found] = readiness.of_book(house.book()).values()
    early, late = (
        date.fromisoformat(found[end]) if found[end] else date.max for end in ("early", "late")
    )
    return early <= ready_on(grown, way.asked) <= late


MEASURED = {
    "height, sown": Way(sown, ("height_cm",)),
    "height, bought": Way(bought, ("height_cm",)),
    "height, stuck, measured twice": Way(stuck, ("height_cm",), (75, 110)),
    "height, split while hardening": Way(sown, ("height_cm",), split_at=110),
    "height and collar, bought": Way(bought, ("height_cm", "collar_mm")),
}
WHOLE = {
    "flushes, sown": Way(sown, ("flushes",)),
    "flushes, bought, measured often": Way(bought, ("flushes",), (80, 100, 120, 140)),
    "leaves, sown": Way(sown, ("leaves",)),
    "leaves and flushes, stuck": Way(stuck, ("leaves", "flushes")),
}


@pytest.mark.parametrize("ways", [MEASURED, WHOLE], ids=["measured", "counted"])
def test_the_interval_of_80_percent_holds_the_day_of_7_to_9_batches_in_10(
    ways: dict[str, Way],
) -> None:
    nursery = Nursery(HABIT, seed=31)
    found = [held(way, nursery) for way in ways.values() for _ in range(RUNS)]
    assert 0.7 <= sum(found) / len(found) <= 0.9
