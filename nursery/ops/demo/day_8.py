"""Day 8, February and March 2032: toughening, and on Tuesday 9 March whether to plant or wait."""

from collections.abc import Mapping
from datetime import date, timedelta
from typing import Any

from nursery.ops.demo import names as n
from nursery.ops.demo.day_0 import g, w1
from nursery.ops.demo.growth import measuring
from nursery.ops.demo.script import Act, Day, Step, Synced, Typed
from nursery.ops.demo.terraces import MEANT, layout
from nursery.ops.demo.weeks import citrus_on, looked

# Living trees on 9 March, and how they were graded: A to plant, B to wait, C culled.
ALIVE = {n.T1: 50, n.T2: 52, n.T3: 45, n.T5: 43, n.T6: 38, n.MIXED: 8}
GRADES = {
    n.T1: (43, 5, 2),
    n.T2: (50, 2, 0),
    n.T3: (45, 0, 0),
    n.T5: (41, 2, 0),
    n.T6: (27, 6, 5),
    n.MIXED: (8, 0, 0),
}
PLANTED_ON = date(2032, 3, 12)
SPARES = 8
FORTNIGHT = timedelta(days=14)


def sky(on: date, high: float, days: int, **more: float) -> dict[str, Any]:
    """Return a forecast of so many like days."""
    some = [
        {"on": (on + timedelta(days=i)).isoformat(), "high_c": high, **more} for i in range(days)
    ]
    return {"days": some, "source": "Orrin weather office"}


def step(at: str, way: str, shade: float, scorched: int | None = None, **more: Any) -> Act:
    """Return a step of all pots, with the scorched among 60 where somebody counted."""
    seen = {} if scorched is None else {"scorched": scorched, "of": 60}
    return w1(
        at, "stepped", n.POTS,
        step=way, shade_percent=shade, program=n.TOUGHENING, **seen, **more,
    )  # fmt: skip


def _day(on: date, *steps: Step) -> Day:
    phones = (Synced("16:40", n.ROOM_PHONE), Synced("16:45", n.OFFICE_PHONE))
    return Day(8, on, (*steps, *phones, Synced("16:50", n.ROOM_PHONE)))


def _died(on: date, tray: str, count: int) -> Day:
    return _day(on, w1("08:10", "lost", tray, count=count, fate="died", cause="wilted"))


def _looks(on: date, alive: Mapping[str, int]) -> Day:
    return _day(
        on,
        *(
            looked(f"07:{10 + 8 * i:02d}", pot, plants, 7)
            for i, (pot, plants) in enumerate(alive.items())
        ),
    )


def _wilt_and_roots(on: date) -> Day:
    """Return the checks of the third step: no plant hangs at 14:00, and roots hold the ball."""
    return _day(
        on,
        w1("14:00", "wilted", n.POTS, wilted=0, of=20),
        w1("14:20", "plugged", n.POTS, none=3, few=2, many=0, cull=0),
    )


_WINTER = ALIVE | {n.T3: 46, n.T6: 41}

SHADE_HOUSE = (
    _day(date(2031, 12, 3), w1("10:00", "readied", n.QUARANTINE)),
    measuring(8, date(2031, 12, 4)),
    _died(date(2031, 12, 16), n.T3, 1),
    _looks(date(2031, 12, 18), _WINTER),
    _looks(date(2032, 1, 8), _WINTER),
    measuring(8, date(2032, 1, 8)),
    _died(date(2032, 1, 13), n.T6, 2),
    _looks(date(2032, 1, 22), _WINTER | {n.T6: 39}),
    *(
        citrus_on(8, date(2031, 12, 3) + i * FORTNIGHT)
        for i in range((date(2032, 3, 9) - date(2031, 12, 3)) // FORTNIGHT + 1)
    ),
)

TOUGHENING = (
    _day(date(2032, 1, 26), step("07:30", "forward", 70)),
    _day(date(2032, 1, 31), step("07:30", "stay", 70, 0)),
    _day(date(2032, 2, 3), step("07:30", "forward", 50)),
    _died(date(2032, 2, 4), n.T3, 1),
    _day(date(2032, 2, 5), g("07:00", "forecast", n.SITE, **sky(date(2032, 2, 5), 31, 4))),
    measuring(8, date(2032, 2, 5)),
    _day(
        date(2032, 2, 11),
        g("17:00", "forecast", n.SITE, **sky(date(2032, 2, 12), 37, 3)),
        Synced("17:05", n.OFFICE_PHONE),
        Synced("17:10", n.ROOM_PHONE),
    ),
    _day(date(2032, 2, 12), step("07:20", "back", 70, 14)),
    _day(date(2032, 2, 17), g("17:00", "forecast", n.SITE, **sky(date(2032, 2, 18), 31, 5))),
    _day(date(2032, 2, 18), step("07:20", "forward", 50, 1)),
    _died(date(2032, 2, 20), n.T6, 1),
    _looks(date(2032, 2, 21), ALIVE),
    _day(date(2032, 2, 23), g("17:00", "forecast", n.SITE, **sky(date(2032, 2, 24), 30, 6))),
    _day(date(2032, 2, 24), step("07:20", "forward", 30, 0)),
    _wilt_and_roots(date(2032, 2, 28)),
    _day(date(2032, 2, 29), g("17:00", "forecast", n.SITE, **sky(date(2032, 3, 1), 31, 6))),
    _day(date(2032, 3, 1), step("07:20", "forward", 30, 1, sun_hours=5)),
    measuring(8, date(2032, 3, 4)),
    _day(date(2032, 3, 6), g("17:00", "forecast", n.SITE, **sky(date(2032, 3, 7), 31, 5))),
    _day(date(2032, 3, 7), step("07:20", "forward", 0, 1)),
    _looks(date(2032, 3, 5), ALIVE),
)


def _field(at: str, terrace: str, pits: int, shelter: float) -> Act:
    readings = [
        {"what": "wet_to_cm", "value": 22},
        {"what": "pits_ready", "value": pits},
        {"what": "shelter_cm", "value": shelter},
    ]
    return g(at, "read", terrace, readings=readings, instrument="probe and rod")


def _rain(at: str, mm: float) -> Act:
    return g(at, "read", n.FIELD, readings=[{"what": "rain_mm", "value": mm}])


def _graded() -> tuple[Act, ...]:
    """Return the grading of each tray; what is culled leaves by its own loss."""
    acts: list[Act] = []
    for i, (pot, (a, b, c)) in enumerate(GRADES.items()):
        acts.append(w1(f"13:{5 + 12 * i // 2:02d}", "graded", pot, a=a, b=b, c=c))
        if c:
            lost = {"count": c, "fate": "culled", "cause": "J-root"}
            acts.append(w1(f"13:{6 + 12 * i // 2:02d}", "lost", pot, **lost))
    return tuple(acts)


def _ahead() -> dict[str, Any]:
    """Return what the weather office says on 9 March: at most 31 degrees, rain on three days."""
    said = sky(date(2032, 3, 9), 31, 10, low_c=22, wind_kmh=18)
    for day, mm in zip(said["days"], (5, 4, 6, 0, 0, 3, 0, 0, 0, 0), strict=True):
        day["rain_mm"] = mm
    return said


NOT_GREEN = ("dry_spell", f"nurse_row:{n.TERRACES[2]}", "pots_full")

GO_OR_WAIT = (
    _day(date(2032, 3, 7), _rain("17:30", 9)),
    _day(date(2032, 3, 8), _rain("17:30", 8)),
    _day(
        date(2032, 3, 9),
        _rain("06:40", 5),
        step("07:00", "stay", 0, 2),
        g("07:40", "forecast", n.SITE, **_ahead()),
        g(
            "07:45", "read", n.FIELD,
            readings=[{"what": "dry_spell_percent", "value": 35}], instrument="season sheet",
        ),
        _field("08:10", n.TERRACES[0], 72, 95),
        _field("08:25", n.TERRACES[1], 72, 90),
        _field("08:40", n.TERRACES[2], 70, 40),
        g(
            "09:00", "booked", (*n.POTS, n.FIELD), "planting booked",
            act="planting", on=PLANTED_ON.isoformat(), people=6, plants=214,
        ),
        g(
            "09:02", "booked", n.POTS,
            act="look_over", on="2032-03-10",
        ),
        Synced("09:10", n.ROOM_PHONE),
        Synced("09:12", n.OFFICE_PHONE),
        *_graded(),
        Synced("14:20", n.ROOM_PHONE),
    ),
)  # fmt: skip


def _signed(at: str, reason: str, *checks: str, **more: Any) -> Act:
    return g(
        at, "signed", n.POTS,
        act="planting", on=PLANTED_ON.isoformat(), checks=list(checks), reason=reason, **more,
    )  # fmt: skip


SIGNED = _day(
    date(2032, 3, 9),
    _signed("15:30", "rain on three of the coming days; water cart booked", NOT_GREEN[0]),
    _signed("15:32", "shade mats on terrace 5", NOT_GREEN[1]),
    _signed("15:34", "root balls were looked at: none or few circle", NOT_GREEN[2]),
    _signed("15:36", "spares that wait", plants=SPARES),
    *(Typed("16:00", "layout", one, layout(one, MEANT[one])) for one in n.TERRACES),
)

BEFORE_DAY_8 = (*SHADE_HOUSE, *TOUGHENING)
PLANT_OR_WAIT = (*GO_OR_WAIT, SIGNED)
