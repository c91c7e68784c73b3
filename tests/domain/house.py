"""The nursery of the acceptance story as pure values: rows, entries by local time, and a book."""

from collections.abc import Iterable
from datetime import UTC, date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from nursery.domain import entry, fold, reference
from nursery.domain.batch import Batch
from nursery.domain.book import Book
from nursery.domain.entry import Entry
from nursery.domain.exposure import KINDS
from nursery.domain.kinds.field import block_of
from nursery.domain.place import Place

ZONE = ZoneInfo("Etc/GMT-10")
TRAYS = ("t1", "t2", "t3", "t4", "t5", "t6")
PAPER = "photo-of-the-paper"


def term(ident: str, rule: str, says: dict[str, Any], **more: Any) -> dict[str, Any]:
    whole = {"id": ident, "rule": rule, "says": says, "since": "2030-01-01", "source": "CQ-118"}
    return {**whole, **more}


TERMS = (
    term("days", "growing_days", {"days": 180}),
    term("look", "look_over", {}),
    term("traps", "traps", {"m2_per_trap": 15, "area": "floor", "per_door": 1, "per_vent": 1}),
    term("read", "trap_reading", {"replace_within_days": 1}),
    term("first", "inspection", {"number": 1, "active_growth": True}),
    term("last", "inspection", {"number": 2, "most_days_before_release": 7}),
    term("most", "most_plants", {"plants": 330}),
    term("ask", "consent", {"acts": ["potting", "pruning"]}),
)


def place(
    ident: str, kind: str, parent: str | None, **more: Any
) -> tuple[str, str, dict[str, Any]]:
    return "place", ident, {"name": ident, "kind": kind, "parent": parent, **more}


ROWS: tuple[tuple[str, str, dict[str, Any]], ...] = (
    *(("person", who, {"name": who.upper(), "role": "worker"}) for who in ("w1", "w2")),
    (
        "person",
        "g",
        {"name": "G", "role": "grower", "licences": [{"what": "Spraying", "number": "AL-311"}]},
    ),
    place("veshmere", "nursery", None),
    place("office", "office", "veshmere"),
    place("anteroom", "anteroom", "veshmere"),
    place("room", "room", "veshmere", floor_m2=24, bench_m2=15, doors=1, vents=2),
    place("bench", "bench", "room"),
    *(place(f"trap-{at}", "trap", "room") for at in ("a", "b", "door", "vent-1", "vent-2")),
    place("shade", "house", "veshmere"),
    place("citrus", "block", "veshmere"),
    place("tr3", "terrace", "veshmere", short="TR3"),
    ("permit", "cq-118", {"reference": "CQ-118", "holder": "G", "terms": list(TERMS)}),
    (
        "consignment",
        "c-1",
        {
            "name": "Liners",
            "permit": "cq-118",
            "lines": [{"id": "l-1", "crop": "finger-lime", "stated": 324}],
        },
    ),
)


class House:
    """Rows and entries; `book` folds them. Times are local: `2031-03-03 08:10`."""

    def __init__(self, rows: Iterable[tuple[str, str, dict[str, Any]]] = ROWS) -> None:
        self.rows: dict[str, dict[str, Any]] = {}
        self.entries: list[Entry] = []
        self.raws: list[dict[str, Any]] = []
        self.raw_rows: dict[tuple[str, str], dict[str, Any]] = {}
        for kind, ident, body in rows:
            self.row(kind, ident, body)

    def row(self, kind: str, ident: str, body: dict[str, Any]) -> None:
        self.rows.setdefault(kind, {})[ident] = reference.read(kind, ident, body)
        self.raw_rows[kind, ident] = body

    def add(
        self,
        kind: str,
        about: str | tuple[str, ...],
        at: str,
        body: dict[str, Any] | None = None,
        **envelope: Any,
    ) -> str:
        """Write one entry; return its id. `by` is its author."""
        serial = len(self.entries) + 1
        moment = instant(at)
        ms = int(moment.timestamp() * 1000)
        raw = {
            "id": f"{ms >> 16:08x}-{ms & 0xFFFF:04x}-7{serial % 4096:03x}-8000-{serial:012x}",
            "v": 1,
            "kind": kind,
            "about": [about] if isinstance(about, str) else list(about),
            "occurred_at": entry.write_instant(moment),
            "offset_min": 600,
            "author": envelope.pop("by", "g"),
            "device": "d-1",
            "install": "i-1",
            "n": serial,
            "body": body or {},
            **envelope,
        }
        self.entries.append(entry.read(raw))
        self.raws.append(raw)
        return str(raw["id"])

    def arrive(
        self, at: str, trays: Iterable[str] = TRAYS, place: str | None = "bench", **more: Any
    ) -> str:
        new = [{"id": name, "label": name.upper(), "cells": 54} for name in trays]
        body = {"consignment": "c-1", "place": place, "batches": new, **more}
        return self.add("received", tuple(new["id"] for new in body["batches"]), at, body)

    def count(self, tray: str, alive: int, at: str, **more: Any) -> str:
        return self.add("counted", tray, at, {"method": "full", "alive": alive, **more})

    def looked(
        self, at: str, trays: Iterable[str] = TRAYS, answer: str = "nothing", **more: Any
    ) -> None:
        for tray in trays:
            self.add("looked", tray, at, {"answer": answer, "minutes": 9, **more}, by="w1")

    def find(self, tray: str, at: str, by: str = "w2", **more: Any) -> str:
        return self.add("found", tray, at, {"suspicion": True, **more}, by=by)

    def order(self, about: str | tuple[str, ...], at: str, act: str, ref: str, **more: Any) -> str:
        return self.add(
            "ordered", about, at, {"act": act, "reference": ref, "photo": PAPER, **more}
        )

    def release(self, trays: tuple[str, ...], at: str, **more: Any) -> str:
        body = {"notice": "RN-204", "count": 0, "photo": PAPER, **more}
        return self.add("released", trays, at, body)

    def batch(self, name: str) -> Batch:
        return fold.batch(name, self.entries, self.growers())

    def growers(self) -> set[str]:
        people = self.rows.get("person", {}).items()
        return {name for name, row in people if row.role is reference.Role.GROWER}

    def book(self) -> Book:
        described = self.rows.get("place", {})
        told: dict[str, list[Entry]] = {}
        for one in self.entries:
            for name in one.about:
                told.setdefault(name, []).append(one)
        finds = [one for one in self.entries if one.kind in KINDS]
        names = sorted(told)
        seats = {name for name in names if {name, block_of(name)} & described.keys()}
        growers = self.growers()
        batches = {
            name: fold.batch(name, told[name], growers) for name in names if name not in seats
        }
        places: dict[str, Place] = {
            name: fold.place(name, told[name]) for name in names if name in seats
        }
        return Book(ZONE, batches, places, self.rows, finds)


def instant(local: str) -> datetime:
    return datetime.fromisoformat(local).replace(tzinfo=ZONE).astimezone(UTC)


def day(text: str) -> date:
    return date.fromisoformat(text)


def with_terms(*terms: dict[str, Any]) -> House:
    """Return a house whose permit has these terms alone."""
    house = House()
    house.row("permit", "cq-118", {"reference": "CQ-118", "holder": "G", "terms": list(terms)})
    return house


def day_1() -> House:
    """Monday 3 March 2031: arrival, as far as the book needs it."""
    house = House()
    house.arrive("2031-03-03 07:30")
    for tray in TRAYS:
        house.count(tray, 48 if tray == "t6" else 54, "2031-03-03 08:10")
    for tray, dead in (("t5", 4), ("t6", 3)):
        house.add("lost", tray, "2031-03-03 09:20", {"count": dead, "fate": "died", "kept": True})
    for tray in ("t1", "t2", "t3", "t6"):
        house.add("lost", tray, "2031-03-03 09:50", {"count": 1, "fate": "sampled"})
    share = [{"id": "t5", "count": 4}, {"id": "t6", "count": 3}]
    burned = {"what": "plants", "method": "burned", "plants": share}
    house.add("disposed", ("t5", "t6"), "2031-03-03 11:30", burned, by="w2")
    return house


def day_2() -> House:
    """Monday 24 March 2031: look-over, traps, and two counts of T3 that disagree."""
    house = day_1()
    for week in ("2031-03-10 07:30", "2031-03-17 07:30"):
        house.looked(week)
    house.looked("2031-03-24 07:30", plants=28)
    dead = {"count": 2, "fate": "died", "kept": True, "cause": "stem rot"}
    house.add("lost", "t5", "2031-03-24 07:40", dead, by="w1")
    for trap, catches in (
        ("trap-a", [{"pest": "thrips", "count": 3}]),
        ("trap-b", [{"pest": "thrips", "count": 1}]),
        ("trap-door", []),
        ("trap-vent-1", [{"pest": "fungus-gnats", "count": 11}]),
    ):
        house.add("trapped", trap, "2031-03-24 07:50", {"answer": "read", "catches": catches})
    house.add(
        "trapped", "trap-vent-2", "2031-03-24 07:55", {"answer": "not_readable", "why": "wet"}
    )
    readings = [{"what": "ec_ms_cm", "value": 0.9}, {"what": "ph", "value": 6.1}]
    house.add("read", "bench", "2031-03-24 08:20", {"readings": readings, "pots": 5})
    first = house.count("t3", 52, "2031-03-24 07:58", saw=None)
    house.add("counted", "t3", "2031-03-24 08:00", {"method": "full", "alive": 53, "saw": None})
    house.add("counted", "t3", "2031-03-24 11:40", {"method": "full", "alive": 53, "saw": first})
    return house


def day_3() -> House:
    """Sunday 4 May 2031: the find on T4, seen by W2, who worked in the citrus on Saturday."""
    house = day_2()
    for week in ("2031-03-31", "2031-04-07", "2031-04-14", "2031-04-21", "2031-04-28"):
        house.looked(f"{week} 07:30")
    house.add("watered", "citrus", "2031-05-03 09:00", {"minutes": 40}, by="w2")
    house.add("entered", "room", "2031-05-04 07:10", {}, by="w2")
    house.find("t4", "2031-05-04 07:20", tag="T4-17", per_leaf=9)
    return house
