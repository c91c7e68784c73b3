"""Scenes of "may I?": what the office shipped, what a phone wrote since, and what is true of both.

`python -m tests.domain.gate_scenes` writes them to `tests/vectors/gates.json`, which the phone's
twin reads. The office answers from the whole book; the phone has the shipped rows and its own
records, and may only be more careful.
"""

import json
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any

from nursery.domain import gates, outlook
from nursery.domain.entry import write_instant
from nursery.domain.gate import OF_PLACES, Act, Gate
from nursery.domain.place import Place
from tests.domain.house import House, instant

FILE = Path(__file__).parents[1] / "vectors" / "gates.json"
SHIPPED = "2031-05-04 07:00"
SOON = "2031-05-04 08:00"


@dataclass
class Scene:
    """One house, what was asked in it, and the forecasts as they were shipped."""

    house: House
    shipped: dict[str, Any] = field(default_factory=dict)
    asked: list[dict[str, Any]] = field(default_factory=list)

    def ship(self, at: str = SHIPPED) -> None:
        """Let the phone hear from the office."""
        made = outlook.compose(self.house.book(), instant(at))
        self.shipped = {
            "batches": {
                name: {part: told[part] for part in ("held", "gates")}
                for name, told in made["batches"].items()
            },
            "places": {
                name: {part: told[part] for part in ("entering", "people", "reentry_until")}
                for name, told in made["places"].items()
            },
            "incidents": [{"id": one["id"]} for one in made["incidents"]],
        }

    def ask(
        self, act: str, subject: str, at: str = SOON, person: str = "w1", phone: str | None = None
    ) -> None:
        """Ask office and phone; `phone` is what the phone says where it cannot know better."""
        told = self._answer(Act(act), subject, instant(at), person)
        opens_at = None if told.opens_at is None else write_instant(told.opens_at)
        self.asked.append(
            {
                "act": act,
                "subject": subject,
                "person": person,
                "now": write_instant(instant(at)),
                "written": len(self.house.raws),
                "office": {
                    "answer": told.answer.value,
                    "reason": told.code,
                    "opens_at": opens_at,
                },
                "phone": phone or told.answer.value,
            }
        )

    def _answer(self, act: Act, subject: str, now: datetime, person: str) -> Gate:
        book = self.house.book()
        if act in OF_PLACES:
            place = book.places.get(subject) or Place(subject)
            return gates.answer(act, place, book, now, person)
        return gates.answer(act, book.batches[subject], book, now)

    def as_json(self, name: str) -> dict[str, Any]:
        acts = {one["act"] for one in self.asked}
        for told in self.shipped["batches"].values():
            told["gates"] = [gate for gate in told["gates"] if gate["act"] in acts]
        return {
            "name": name,
            "rows": [
                {"type": kind, "id": ident, "body": body}
                for (kind, ident), body in self.house.raw_rows.items()
                if kind in ("place", "person")
            ],
            "entries": self.house.raws,
            "shipped": self.shipped,
            "asked": self.asked,
        }


def standing() -> Scene:
    """Two trays that came under no conditions, on a bench of the room; one in the shade house."""
    house = House()
    house.row("consignment", "c-1", {"name": "Own seed", "without_conditions": True})
    house.arrive("2031-03-03 07:30", ("t1", "t2"))
    house.arrive("2031-03-03 07:40", ("t3",), place="shade")
    for tray in ("t1", "t2", "t3"):
        house.count(tray, 54, "2031-03-03 08:10")
    return Scene(house)


def nothing_against_it(scene: Scene) -> None:
    scene.ship()
    scene.ask("moving", "t1")
    scene.ask("entering", "room")
    scene.ask("leaving", "room")


def heard_too_long_ago(scene: Scene) -> None:
    scene.ship()
    scene.ask("moving", "t1", "2031-05-06 08:00", phone="cannot_tell")
    scene.ask("entering", "room", "2031-05-06 08:00", phone="cannot_tell")
    scene.ask("leaving", "room", "2031-05-06 08:00")


def find_that_only_the_phone_knows(scene: Scene) -> None:
    scene.ship()
    scene.house.find("t1", "2031-05-04 07:20", by="w1")
    for tray in ("t1", "t2", "t3"):
        scene.ask("moving", tray)
    scene.ask("entering", "room")


def find_taken_back_by_its_finder(scene: Scene) -> None:
    scene.ship()
    find = scene.house.find("t1", "2031-05-04 07:20", by="w1")
    scene.house.add("withdrawn", "t1", "2031-05-04 07:25", by="w1", corrects=find)
    scene.ask("potting", "t2")


def find_that_a_worker_calls_a_mis_tap(scene: Scene) -> None:
    scene.ship()
    find = scene.house.find("t1", "2031-05-04 07:20", by="w1")
    body = {"doubt": f"suspicion:{find}", "reason": "a drop of water"}
    scene.house.add("settled", "t1", "2031-05-04 07:25", body, by="w1")
    scene.ask("potting", "t2")


def mis_tap_that_the_grower_lifts_on_the_phone(scene: Scene) -> None:
    """The office will lift the hold; the phone itself never does."""
    scene.ship()
    find = scene.house.find("t1", "2031-05-04 07:20", by="w1")
    body = {"doubt": f"suspicion:{find}", "reason": "a drop of water"}
    scene.house.add("settled", "t1", "2031-05-04 07:25", body, by="g")
    scene.ask("potting", "t2", phone="no")


def mis_tap_that_the_office_knows_as_lifted(scene: Scene) -> None:
    find = scene.house.find("t1", "2031-05-03 07:20", by="w1")
    body = {"doubt": f"suspicion:{find}", "reason": "a drop of water"}
    scene.house.add("settled", "t1", "2031-05-03 07:25", body, by="g")
    scene.ship()
    scene.ask("potting", "t2")


def find_that_the_office_knows(scene: Scene) -> None:
    scene.house.find("t1", "2031-05-03 07:20", by="w1")
    scene.ship()
    scene.ask("sending", "t2")
    scene.ask("sending", "t3")
    scene.ask("sending", "t2", "2031-05-08 08:00")


def order_typed_on_the_phone(scene: Scene) -> None:
    scene.ship()
    scene.house.order("t1", "2031-05-04 07:20", "hold", "Q-1")
    scene.house.order("shade", "2031-05-04 07:21", "hold", "Q-2")
    for tray in ("t1", "t2", "t3"):
        scene.ask("planting", tray)


def order_lifted_on_the_phone(scene: Scene) -> None:
    """What the office said stands until it says otherwise."""
    scene.house.order("t1", "2031-05-03 07:20", "hold", "Q-1")
    scene.ship()
    scene.house.order("t1", "2031-05-04 07:20", "lift", "L-1", lifts="Q-1")
    scene.ask("planting", "t1", phone="no")


def planted(scene: Scene, block: str = "tr3") -> None:
    body = {"block": block, "row": "2", "positions": ["13", "14"]}
    scene.house.add("planted", ("t3", f"{block}.2"), "2031-04-02 08:00", body)


def order_about_a_block_that_the_office_knows(scene: Scene) -> None:
    """Plants of T3 stand in a row of it, and what is left of T3 is held with them."""
    planted(scene)
    scene.house.order("tr3", "2031-05-03 07:20", "hold", "EM-77")
    scene.ship()
    for act in ("moving", "taking", "sending", "planting", "pruning", "treating"):
        scene.ask(act, "t3")
    scene.ask("sending", "t1")


def order_about_a_block_typed_on_the_phone(scene: Scene) -> None:
    planted(scene)
    scene.ship()
    scene.house.order("tr3", "2031-05-04 07:20", "hold", "EM-77")
    for act in ("moving", "taking", "sending", "planting"):
        scene.ask(act, "t3")
    scene.ask("sending", "t1")


def order_about_a_block_that_frees_some_plants(scene: Scene) -> None:
    """The phone is the more careful one: it cannot tell whom a lift about plants frees of it."""
    planted(scene)
    scene.house.order("tr3", "2031-05-02 07:20", "hold", "EM-77")
    scene.house.order("t3", "2031-05-03 07:20", "lift", "L-9", lifts="EM-77")
    scene.ship()
    scene.ask("sending", "t3", phone="no")


def treated(about: str, until: str | None, scene: Scene, at: str = "2031-05-04 06:50") -> str:
    body = {
        "product": "soap",
        "started_at": write_instant(instant("2031-05-04 06:30")),
        "ended_at": write_instant(instant(at)),
    }
    if until is not None:
        body["reentry_until"] = write_instant(instant(until))
    return scene.house.add("treated", about, at, body)


def treatment_that_the_office_knows(scene: Scene) -> None:
    treated("room", "2031-05-04 18:50", scene)
    scene.ship()
    for at in (SOON, "2031-05-04 18:49", "2031-05-04 18:50"):
        scene.ask("entering", "room", at)
        scene.ask("moving", "t1", at)
    scene.ask("moving", "t3")
    scene.ask("entering", "room", "2031-05-05 09:00", phone="cannot_tell")


def phone_last_synced_on_the_evening_before_the_treatment(scene: Scene) -> None:
    """The story, days 4 and 4b: synced on Friday, treated on Saturday, asked on Sunday at dawn."""
    scene.ship("2031-05-16 18:00")
    body = {
        "product": "soap",
        "started_at": write_instant(instant("2031-05-17 16:30")),
        "ended_at": write_instant(instant("2031-05-17 16:50")),
        "reentry_until": write_instant(instant("2031-05-18 04:50")),
    }
    unheard = scene.house.raws.copy()
    scene.house.add("treated", ("t1", "room"), "2031-05-17 16:50", body)
    scene.house.raws = unheard
    for at in ("2031-05-18 04:30", "2031-05-18 04:50"):
        scene.ask("entering", "room", at, phone="cannot_tell")
        scene.ask("moving", "t1", at, phone="cannot_tell")
    scene.ask("leaving", "room", "2031-05-18 04:30")


def treatment_written_on_the_phone(scene: Scene) -> None:
    scene.ship()
    treated("bench", "2031-05-04 18:50", scene)
    for at in (SOON, "2031-05-04 18:50"):
        scene.ask("entering", "room", at)
        scene.ask("entering", "bench", at)
        scene.ask("moving", "t2", at)


def treatment_of_plants_alone(scene: Scene) -> None:
    scene.ship()
    treated("t1", "2031-05-04 18:50", scene)
    scene.ask("entering", "room")
    scene.ask("moving", "t2")
    scene.ask("entering", "shade")


def plants_brought_in_after_their_treatment(scene: Scene) -> None:
    treated("t3", "2031-05-04 18:50", scene)
    scene.ship()
    scene.house.add("moved", "t3", "2031-05-04 06:55", {"to": "bench"})
    scene.ask("entering", "room")


def treatment_without_an_hour(scene: Scene) -> None:
    scene.ship()
    one = treated("room", None, scene)
    scene.ask("entering", "room")
    scene.ask("moving", "t1")
    body = {"doubt": f"reentry_missing:{one}", "reason": "soap alone"}
    scene.house.add("settled", "room", "2031-05-04 07:30", body)
    scene.ask("entering", "room")


def only_some_are_admitted(scene: Scene) -> None:
    scene.house.order(("t1", "room"), "2031-05-03 07:20", "hold", "EM-77", admits=["w1", "g"])
    scene.ship()
    scene.ask("entering", "room", person="w1")
    scene.ask("entering", "room", person="w2")
    scene.ask("entering", "bench", person="w2")
    scene.ask("leaving", "room", person="w2")


SCENES: dict[str, Callable[[Scene], None]] = {
    scene.__name__.replace("_", " "): scene
    for scene in (
        nothing_against_it,
        heard_too_long_ago,
        find_that_only_the_phone_knows,
        find_taken_back_by_its_finder,
        find_that_a_worker_calls_a_mis_tap,
        mis_tap_that_the_grower_lifts_on_the_phone,
        mis_tap_that_the_office_knows_as_lifted,
        find_that_the_office_knows,
        order_typed_on_the_phone,
        order_lifted_on_the_phone,
        order_about_a_block_that_the_office_knows,
        order_about_a_block_typed_on_the_phone,
        order_about_a_block_that_frees_some_plants,
        treatment_that_the_office_knows,
        phone_last_synced_on_the_evening_before_the_treatment,
        treatment_written_on_the_phone,
        treatment_of_plants_alone,
        plants_brought_in_after_their_treatment,
        treatment_without_an_hour,
        only_some_are_admitted,
    )
}


def scenes() -> Iterator[dict[str, Any]]:
    for name, play in SCENES.items():
        scene = standing()
        play(scene)
        yield scene.as_json(name)


def text() -> str:
    return json.dumps(list(scenes()), indent=1) + "\n"


if __name__ == "__main__":
    FILE.write_text(text(), encoding="utf-8")
