"""Goods under a permit: the quarantine room for half a year, and how they are let out of it."""

from datetime import date, timedelta

from nursery.ops.large import frame
from nursery.ops.large.grown import Grown
from nursery.ops.large.life import MORNING, WEEK

CELLS = 54
LEAST_WEEKS, MOST_WEEKS = 26, 32
# Rounds of several lives in one room come one after the other: so many a day, so many minutes each.
TURNS, TURN = 5, 95
OFFICER = {"name": frame.OFFICER, "firm": frame.SERVICE}


class Goods(Grown):
    """A consignment of trays, from the day it came."""

    @property
    def consignment(self) -> str:
        return f"con-{self.number}"

    def live(self) -> None:
        weeks = self.draw.randint(LEAST_WEEKS, MOST_WEEKS)
        held_in = self.draw.randrange(6, 20) if self.chance(0.15) else None
        self.arrive()
        for week in range(1, weeks + 1):
            self.round(week, self.plan.starts + week * WEEK)
            if week == held_in:
                self.suspect()
            if held_in is not None and week == held_in + 2:
                self.lift()
            if week in (4, weeks):
                self.inspect()
        self.release(self.plan.starts + weeks * WEEK + timedelta(days=3))
        self.grow(self.day + timedelta(days=4), self.draw.randint(8, 14))

    def arrive(self) -> None:
        trays = [f"b{self.number}-{n}" for n in range(1, self.draw.randint(6, 10) + 1)]
        stated = {tray: self.draw.randint(44, CELLS) for tray in trays}
        self.begin(self.plan.starts, MORNING)
        self._type_papers(sum(stated.values()))
        self.write("entered", self.room, {"purpose": "arrival", "hygiene": ["hands", "boots"]})
        new = [
            {
                "id": tray, "label": tray.upper(), "crop": self.crop, "cells": CELLS,
                "place": f"{self.room}-b{n % frame.BENCHES + 1}", "container": "54-cell tray",
            }
            for n, tray in enumerate(trays)
        ]  # fmt: skip
        body = {"consignment": self.consignment, "batches": new, "place": self.room}
        paper = {"certificate": f"PC-{self.number}", "stated": sum(stated.values())}
        self.write("received", trays, body | paper | {"seal": "unbroken", "boxes": len(trays)})
        self.photo(trays, "certificate")
        self.bagged: dict[str, int] = {}
        for tray in trays:
            self.alive[tray] = stated[tray] - (self.draw.randint(1, 2) if self.chance(0.2) else 0)
            self.count(tray, CELLS)
            if self.chance(0.2):
                self.bagged[tray] = self.draw.randint(1, 3)
                self.lose(tray, self.bagged[tray], cause="dead on arrival", kept=True)
        self.write("left", self.room)

    def _type_papers(self, stated: int) -> None:
        body = {
            "name": f"{frame.CROPS[self.crop][0]}, {self.day:%B %Y}",
            "permit": frame.permit_of(self.day.year),
            "certificate": f"PC-{self.number}",
            "supplier": self.draw.choice(frame.SUPPLIERS),
            "lines": [{"id": f"line-{self.number}", "crop": self.crop, "stated": stated}],
            "arrived_on": self.day.isoformat(),
        }
        self.type("consignment", self.consignment, body)

    def round(self, week: int, day: date) -> None:
        """A week's round: into the room, each tray by the list, the traps, and out again."""
        turn = self.number // self.house.rooms % TURNS
        self.begin(day, MORNING + turn * TURN + self.draw.uniform(-5, 5))
        self.write("entered", self.room, {"purpose": "round", "hygiene": ["hands", "boots"]})
        self.climate(self.room)
        for tray in self.standing:
            self.look(tray, items=True, minutes=self.draw.uniform(2.5, 7))
            self.beside(tray, week)
        if week % 2:
            fed = {"product": "npk_8_2_6", "litres": 6.0, "ec_ms_cm": 1.2}
            self.write("fed", self.standing, fed)
        for n in range(1, frame.TRAPS + 1):
            gnats = [{"pest": "fungus-gnats", "count": self.draw.randint(1, 6)}]
            caught = gnats if self.chance(0.2) else []
            self.write("trapped", f"{self.room}-t{n}", {"answer": "read", "catches": caught})
        self.write("watered", self.room, {"minutes": round(self.draw.uniform(4, 9))})
        if week % 4 == 0:
            self.write("dosed", self.room, {"product": "copper", "percent": 1})
        self.write("left", self.room)

    def suspect(self) -> None:
        """Something that nobody here knows: a call, a sample, and the room is held."""
        self.begin(self.day + timedelta(days=1), MORNING + 60)
        tray, trays = self.standing[0], self.standing
        self.write("entered", self.room, {"purpose": "watering", "hygiene": ["hands", "boots"]})
        seen = {"suspicion": True, "symptom": "pale rings on new leaves", "plants": 1}
        found = self.write("found", tray, seen)
        self.photo(tray, "leaf underside")
        self.reference = f"EM-{self.number}"
        call = {"who": frame.SERVICE, "how": "telephone", "what": "suspicion"}
        self.write("told", trays, call | {"reference": self.reference}, by=frame.GROWER)
        self.sample = f"S-{self.number}"
        body = {"sample": self.sample, "plants": 1, "whole": True, "found": found}
        self.write("sampled", tray, body | {"laboratory": "Mardle plant laboratory"})
        self.lose(tray, 1, "sampled", cause=self.sample, by_auditor=True)
        self.suspected = tray
        self.write("left", self.room)
        paper = self.photo(trays, "order")
        order = {"act": "hold", "reference": self.reference, "photo": paper}
        self.write("ordered", (*trays, self.room), order, by=frame.GROWER)

    def lift(self) -> None:
        self.begin(self.day + timedelta(days=1), MORNING + 120, frame.GROWER)
        paper = self.photo(self.suspected, "result and lift")
        result = {"sample": self.sample, "verdict": "negative", "photo": paper}
        self.write("resulted", self.suspected, result)
        lifted = {"act": "lift", "reference": f"LF-{self.number}", "lifts": self.reference}
        self.write("ordered", (*self.standing, self.room), lifted | {"photo": paper})

    def inspect(self) -> None:
        """The officer sees the plants, and what was kept of the dead."""
        self.begin(self.day + timedelta(days=2), MORNING + 420, frame.GROWER)
        self.write("entered", self.room, {"purpose": "inspection"})
        self.write("entered", self.room, {"visitor": OFFICER, "purpose": "inspection"})
        self.clock += 50
        paper = self.photo(self.standing, "inspection sheet")
        seen = {"inspector": frame.OFFICER, "answer": "nothing", "plants": sum(self.alive.values())}
        self.write("inspected", self.standing, seen | {"active_growth": True, "photo": paper})
        kept = [{"id": tray, "count": plants} for tray, plants in self.bagged.items()]
        if kept:
            self.write("shown", self.bagged, {"to": frame.OFFICER, "plants": kept})
            burned = {"what": "dead plants", "method": "burned", "witness": frame.OFFICER}
            self.write("disposed", self.bagged, burned | {"plants": kept})
            self.bagged = {}
        self.write("left", self.room, {"visitor": OFFICER})
        self.write("left", self.room)

    def release(self, day: date) -> None:
        self.begin(day, MORNING + 200, frame.GROWER)
        for tray in self.standing:
            self.count(tray)
        shares = [{"id": tray, "count": self.alive[tray]} for tray in self.standing]
        notice = {"notice": f"RN-{self.number}", "count": sum(self.alive.values())}
        paper = self.photo(self.standing, "notice")
        self.write("released", self.standing, notice | {"plants": shares, "photo": paper})
