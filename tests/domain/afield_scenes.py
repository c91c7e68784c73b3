"""Planting days told to a phone, what was typed on it since, and what the office says of all that.

`python -m tests.domain.afield_scenes` writes the vectors anew: the phone's twin comes to the same.
"""

import json
from collections.abc import Callable, Iterator
from typing import Any

from nursery.domain.planting import Risks, told
from tests.domain.house import House, day, place
from tests.domain.test_toughening_course import PROGRAM
from tests.steps import ROOT

FILE = ROOT / "tests/vectors/afield.json"
TODAY, ON, LATER = "2032-03-09", "2032-03-12", "2032-03-11"
ARRIVED = "2031-03-03"
BOTH = ("t1", "t2")
# What a person types, and what the phone works out by itself of what it was told.
TYPED = frozenset({"read", "forecast", "booked", "signed", "withdrawn"})
WORKED_OUT = frozenset({"checks", "verdict", "verdicts"})


def standing() -> House:
    """Two trays that no law holds, in the last step, and two blocks of 30 and 20 pits."""
    house = House()
    lines = [{"id": "l", "crop": "finger-lime"}]
    house.row("consignment", "c-1", {"name": "Liners", "lines": lines, "without_conditions": True})
    house.row("program", "slow", PROGRAM)
    house.row("site", "site", {"latitude": -17, "plants_per_day": 10})
    house.row("nursery", "n", {
        "name": "N", "zone": "Etc/GMT-10", "planting": [{"first": "03-01", "last": "03-31"}],
    })  # fmt: skip
    for name, holes in (("tr3", 30), ("tr4", 20)):
        house.row(*place(name, "terrace", "citrus", holes=holes, shelter_cm=80))
    house.arrive(f"{ARRIVED} 08:00", BOTH)
    house.count("t1", 40, f"{ARRIVED} 08:10")
    house.count("t2", 20, f"{ARRIVED} 08:10")
    house.add("stepped", BOTH, "2032-03-01 07:00", {"step": "forward", "shade_percent": 0})
    house.add("graded", "t1", f"{TODAY} 06:00", {"a": 32, "b": 8, "c": 0})
    house.add("graded", "t2", f"{TODAY} 06:10", {"a": 18, "b": 2, "c": 0})
    return house


def read(house: House, seat: str, at: str, **figures: float) -> str:
    readings = [{"what": what, "value": value} for what, value in figures.items()]
    return house.add("read", seat, at, {"readings": readings})


def book(house: House, at: str = f"{TODAY} 06:30", **more: Any) -> str:
    body = {"act": "planting", "on": ON, "people": 6, **more}
    return house.add("booked", (*BOTH, "citrus"), at, body)


def sign(house: House, at: str, *keys: str, by: str = "g", **more: Any) -> str:
    return house.add(
        "signed", BOTH, at,
        {"act": "planting", "on": ON, "checks": list(keys), "reason": "mats", **more}, by=by,
    )  # fmt: skip


def told_all(house: House) -> None:
    """Give the office every figure before it tells."""
    book(house)
    read(house, "citrus", f"{TODAY} 06:40", wet_to_cm=22, dry_spell_percent=35)
    read(house, "tr3", f"{TODAY} 06:41", pits_ready=30, shelter_cm=95)
    read(house, "tr4", f"{TODAY} 06:42", pits_ready=20, shelter_cm=40)
    sky = [{"on": f"2032-03-{d:02d}", "high_c": 31, "rain_mm": 3 * (d < 12)} for d in range(9, 19)]
    house.add("forecast", "citrus", f"{TODAY} 06:43", {"days": sky, "source": "by hand"})


def other_levels(house: House) -> None:
    """Say that a wet day takes more rain, and that less depth and less wind are enough."""
    levels = {"wet_day_mm": 4, "wet_to_cm": 8, "wet_wait_cm": 5, "wind_go_kmh": 10}
    house.row("site", "site", {"latitude": -17, "plants_per_day": 10, "planting": levels})
    told_all(house)


def windy(house: House) -> None:
    sky = [{"on": ON, "wind_kmh": 35}, {"on": LATER, "wind_kmh": 39, "rain_mm": 2}]
    house.add("forecast", "citrus", f"{TODAY} 07:30", {"days": sky})


def nothing_known(_: House) -> None:
    """Nobody typed anything."""


def weeks_to_come(house: House) -> None:
    house.row("nursery", "n", {
        "name": "N", "zone": "Etc/GMT-10", "planting": [{"first": "04-01", "last": "04-20"}],
    })  # fmt: skip


def typed_in_the_field(house: House) -> None:
    read(house, "tr3", f"{TODAY} 08:00", wet_to_cm=22, pits_ready=30, shelter_cm=90)
    read(house, "tr4", f"{TODAY} 08:10", wet_to_cm=15, pits_ready=18, shelter_cm=40)
    read(house, "citrus", f"{TODAY} 08:20", dry_spell_percent=55)


def one_block_alone(house: House) -> None:
    read(house, "tr3", f"{TODAY} 08:00", wet_to_cm=8)


def sky_by_hand(house: House) -> None:
    days = [{"on": ON, "high_c": 33}, {"on": "2032-03-15", "rain_mm": 0.5}, {"on": TODAY}]
    house.add("forecast", "citrus", f"{TODAY} 08:00", {"days": days})


def signed_here(house: House) -> None:
    sign(house, f"{TODAY} 08:00", "dry_spell")
    house.add(
        "signed", "tr4", f"{TODAY} 08:02",
        {"act": "planting", "on": ON, "checks": ["nurse_row:tr4"], "reason": "shade mats"}, by="g",
    )  # fmt: skip
    sign(house, f"{TODAY} 08:03", plants=8)


def signed_for_today(house: House) -> None:
    """Where no day is booked or named, it is the day of the signature."""
    about = {"act": "planting", "reason": "mats"}
    house.add("signed", BOTH, f"{TODAY} 08:00", {**about, "checks": ["heat"]}, by="g")
    house.add("signed", BOTH, f"{TODAY} 08:01", {**about, "plants": 3}, by="g")


def signed_in_vain(house: House) -> None:
    sign(house, f"{TODAY} 08:00", "dry_spell", by="w1")
    sign(house, f"{TODAY} 08:01", "dry_spell", reason=" ")
    sign(house, f"{TODAY} 08:02", "dry_spell", on="2032-03-20")
    house.add(
        "signed", "room", f"{TODAY} 08:03",
        {"act": "planting", "on": ON, "checks": ["dry_spell"], "reason": "r"}, by="g",
    )  # fmt: skip
    sign(house, f"{TODAY} 08:04", "dry_spell", act="moving")


def booked_here(house: House) -> None:
    book(house, f"{TODAY} 08:00", on=LATER, people=2)
    book(house, f"{TODAY} 08:01", on="2032-03-10", proposed=True)
    book(house, f"{TODAY} 08:02", on="2032-03-08")


def more_hands(house: House) -> None:
    book(house, f"{TODAY} 08:00", people=3)
    book(house, f"{TODAY} 08:01", on="2032-03-20", people=4)
    house.add("booked", "t1", f"{TODAY} 08:02", {"act": "planting", "on": ON})


def nobody_counted(house: House) -> None:
    house.add("booked", "t1", f"{TODAY} 08:00", {"act": "planting", "on": "2032-04-20"})


def taken_back(house: House) -> None:
    first = read(house, "tr3", f"{TODAY} 08:00", pits_ready=3)
    house.add("withdrawn", "tr3", f"{TODAY} 08:01", {"reason": "mistyped"}, corrects=first)


Play = Callable[[House], None]
# Shares of years by planting day, as a job worked them out; none of them for the later day.
RISKS = Risks({"03-09": 0.2, "03-12": 0.55}, {"03-09": 30, "03-12": 28}, invented=False)
# What the office knows when it tells, what comes after it, and when it is judged.
SCENES: tuple[tuple[Play, Play, str], ...] = (
    (other_levels, nothing_known, TODAY),
    (other_levels, windy, TODAY),
    (nothing_known, windy, TODAY),
    (windy, nothing_known, TODAY),
    (windy, booked_here, TODAY),
    (nothing_known, nothing_known, TODAY),
    (nothing_known, nothing_known, "2032-03-10"),
    (nothing_known, typed_in_the_field, TODAY),
    (nothing_known, one_block_alone, TODAY),
    (nothing_known, sky_by_hand, TODAY),
    (nothing_known, booked_here, TODAY),
    (nothing_known, nobody_counted, TODAY),
    (nothing_known, signed_for_today, TODAY),
    (weeks_to_come, nothing_known, TODAY),
    (weeks_to_come, nothing_known, "2032-04-02"),
    (weeks_to_come, booked_here, TODAY),
    (told_all, nothing_known, TODAY),
    (told_all, nothing_known, LATER),
    (told_all, nothing_known, ON),
    (told_all, typed_in_the_field, TODAY),
    (told_all, typed_in_the_field, ON),
    (told_all, one_block_alone, TODAY),
    (told_all, sky_by_hand, TODAY),
    (told_all, signed_here, TODAY),
    (told_all, signed_in_vain, TODAY),
    (told_all, booked_here, TODAY),
    (told_all, more_hands, TODAY),
    (told_all, taken_back, TODAY),
)


def _name(play: Play) -> str:
    return play.__name__.replace("_", " ")


def scenes() -> Iterator[dict[str, Any]]:
    played: list[tuple[Play, Play, str, Risks | None]] = [(*scene, None) for scene in SCENES]
    played += [(*scene, RISKS) for scene in SCENES if scene[0] in (nothing_known, told_all)]
    for known, typed, on, risks in played:
        house = standing()
        known(house)
        [before] = told.of_book(house.book(), day(TODAY), risks)
        told_upto = len(house.raws)
        typed(house)
        [after] = told.of_book(house.book(), day(on), risks)
        yield {
            "name": f"{_name(known)}, {_name(typed)}, {on}{', with odds' if risks else ''}",
            "today": on,
            "told": {name: part for name, part in before.items() if name not in WORKED_OUT},
            "entries": [one for one in house.raws if one["kind"] in TYPED],
            "fresh": [one["id"] for one in house.raws[told_upto:]],
            "office": {
                "checks": [
                    {name: part for name, part in one.items() if name != "signed"}
                    for one in after["checks"]
                ],
                **{name: after[name] for name in ("on", "verdict", "verdicts", "spares")},
                "signed": sorted(after["signed"]),
            },
        }


def text() -> str:
    house = standing()
    rows = house.raw_rows.items()
    shared = {
        "growers": sorted(house.growers()),
        "places": [{"id": ident, "body": body} for (kind, ident), body in rows if kind == "place"],
    }
    lines = ",\n".join(json.dumps(scene) for scene in scenes())
    return f'{json.dumps(shared)[:-1]}, "scenes": [\n{lines}\n]}}\n'


if __name__ == "__main__":
    FILE.write_text(text(), encoding="utf-8")
