"""Toughening told to a phone, what was typed on it since, and what the office says of all that.

`python -m tests.domain.toughened_scenes` writes the vectors anew; the phone's twin comes to the
same.
"""

import json
from collections.abc import Callable, Iterator
from typing import Any

from nursery.domain.toughening import told
from tests.domain.house import House, day
from tests.domain.test_toughening_course import PROGRAM
from tests.steps import ROOT

FILE = ROOT / "tests/vectors/toughened.json"
TODAY = "2032-01-12"
# What is told of a batch that the phone's own records bear on.
BORNE_ON = ("at", "since", "seen", "sky")
ROOTS = {"none": 5, "few": 0, "many": 0, "cull": 0}


def stepped(house: House, at: str, way: str, **more: Any) -> str:
    return house.add("stepped", "t1", f"2032-01-{at}", {"step": way, **more})


def not_begun(_: House) -> None:
    """No step has been taken."""


def on_the_second_step(house: House) -> None:
    stepped(house, "05 07:00", "forward", shade_percent=50)
    house.add("wilted", "t1", "2032-01-07 14:00", {"wilted": 1, "of": 20})


def on_the_last_step(house: House) -> None:
    stepped(house, "05 07:00", "forward", shade_percent=0)


def nothing(_: House) -> None:
    """Nobody types anything."""


def counted(house: House) -> None:
    stepped(house, "12 08:00", "stay", shade_percent=50, scorched=14, of=60)


def stayed_uncounted(house: House) -> None:
    stepped(house, "12 08:00", "stay", shade_percent=50)
    stepped(house, "12 08:01", "stay", shade_percent=50, scorched=2)


def back_with_a_count(house: House) -> None:
    stepped(house, "12 08:00", "back", shade_percent=70, scorched=14, of=60)


def back_to_the_same_shade(house: House) -> None:
    stepped(house, "12 08:00", "back", shade_percent=50)


def forward_to_the_mornings(house: House) -> None:
    stepped(house, "12 08:00", "forward", shade_percent=50, sun_hours=5)


def between_two_steps(house: House) -> None:
    stepped(house, "12 08:00", "back", shade_percent=60)
    house.add("wilted", "t1", "2032-01-12 14:00", {"wilted": 0, "of": 20})


def darker_than_all(house: House) -> None:
    stepped(house, "12 08:00", "back", shade_percent=90)


def another_step_with_a_count_of_those_who_stay(house: House) -> None:
    stepped(house, "12 08:00", "stay", shade_percent=70, scorched=1, of=60)


def without_a_shade(*ways: str) -> Callable[[House], None]:
    def play(house: House) -> None:
        for n, way in enumerate(ways):
            stepped(house, f"12 08:{n:02d}", way)

    play.__name__ = f"without a shade {' '.join(ways)}"
    return play


def only_a_wilt_test(house: House) -> None:
    house.add("wilted", "t1", "2032-01-12 14:00", {"wilted": 3, "of": 20})


def every_check(house: House) -> None:
    counted(house)
    only_a_wilt_test(house)
    house.add("plugged", "t1", "2032-01-12 14:10", ROOTS)
    house.looked("2032-01-12 14:20", ("t1",))


def not_looked(house: House) -> None:
    house.looked("2032-01-12 14:20", ("t1",), "not_looked")


def about_another_tray(house: House) -> None:
    house.add("stepped", "t2", "2032-01-12 08:00", {"step": "back", "shade_percent": 70})
    house.add("wilted", "t2", "2032-01-12 14:00", {"wilted": 9, "of": 20})
    house.looked("2032-01-12 14:20", ("t2", "room"))


def water_failed(house: House) -> None:
    house.add("watered", "room", "2032-01-12 07:00", {"failed": True})


def water_came_again(house: House) -> None:
    water_failed(house)
    house.add("watered", "t1", "2032-01-12 09:00", {"minutes": 10})


def taken_back(house: House) -> None:
    wrong = stepped(house, "12 08:00", "back", shade_percent=70)
    house.add("withdrawn", "t1", "2032-01-12 08:01", {"reason": "mistyped"}, corrects=wrong)


Play = Callable[[House], None]
TYPED: tuple[Play, ...] = (
    *(nothing, counted, stayed_uncounted, back_with_a_count, back_to_the_same_shade),
    *(forward_to_the_mornings, between_two_steps, darker_than_all),
    another_step_with_a_count_of_those_who_stay,
    *(without_a_shade(*ways) for ways in (("stay",), ("forward",), ("back",))),
    without_a_shade("forward", "forward", "forward"),
    *(only_a_wilt_test, every_check, not_looked),
    *(about_another_tray, water_failed, water_came_again, taken_back),
)
KNOWN: tuple[Play, ...] = (not_begun, on_the_second_step, on_the_last_step)


def _told(house: House) -> tuple[dict[str, Any], dict[str, Any]]:
    said = told.of_book(house.book(), day(TODAY))
    return said["programs"]["slow"], said["batches"]["t1"]


def scenes() -> Iterator[dict[str, Any]]:
    for known in KNOWN:
        for typed in TYPED:
            house = House()
            house.row("program", "slow", PROGRAM)
            house.arrive("2031-03-03 08:00", ("t1", "t2"))
            house.count("t1", 50, "2031-03-03 08:10")
            known(house)
            _, before = _told(house)
            upto = len(house.raws)
            typed(house)
            _, after = _told(house)
            yield {
                "name": f"{known.__name__}, {typed.__name__}".replace("_", " "),
                "told": {part: before[part] for part in BORNE_ON if part in before},
                "entries": house.raws[upto:],
                "office": {part: after[part] for part in BORNE_ON if part in after},
            }


def text() -> str:
    house = House()
    house.row("program", "slow", PROGRAM)
    house.arrive("2031-03-03 08:00", ("t1",))
    program, _ = _told(house)
    lines = ",\n".join(json.dumps(scene) for scene in scenes())
    return f'{{"program": {json.dumps(program)}, "scenes": [\n{lines}\n]}}\n'


if __name__ == "__main__":
    FILE.write_text(text(), encoding="utf-8")
