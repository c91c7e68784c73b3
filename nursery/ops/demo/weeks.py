"""The quiet weeks between the days of the story: each tray looked over, each trap read."""

from collections.abc import Mapping
from datetime import date

from nursery.ops.demo import names as n
from nursery.ops.demo.day_0 import g, w1, w2
from nursery.ops.demo.script import Act, Day, Hand, Step, Synced

AFTER_DAY_1 = {n.T1: 53, n.T2: 53, n.T3: 53, n.T4: 54, n.T5: 50, n.T6: 44}
AFTER_DAY_2 = AFTER_DAY_1 | {n.T5: 48}

# 20 plants under the lens and 8 at the edge, over the six trays.
UNDER_LEAVES = dict(zip(n.TRAYS, (4, 4, 3, 3, 3, 3), strict=True)) | {n.MIXED: 3}
AT_THE_EDGE = dict(zip(n.TRAYS, (2, 2, 1, 1, 1, 1), strict=True)) | {n.MIXED: 1}


def looked(at: str, tray: str, plants: int, minutes: int, found: str = "") -> Act:
    """Return a look-over of all plants of a tray; `found` names the item with a find."""
    seen = {
        "top_leaves": plants,
        "under_leaves": UNDER_LEAVES[tray],
        "edge_plants": AT_THE_EDGE[tray],
        "stem_base": plants,
    }
    items = [
        {"item": item, "answer": "found" if item == found else "nothing", "plants": count}
        for item, count in seen.items()
    ]
    return w1(
        at, "looked", tray,
        answer="found" if found else "nothing", plants=plants, minutes=minutes,
        checklist="weekly", version=2, items=items,
    )  # fmt: skip


def read(hand: Hand, at: str, trap: str, pest: str = "", count: int = 0) -> Act:
    """Return the reading of one trap; without a pest it is a true zero."""
    catches = [{"pest": pest, "count": count}] if pest else []
    return hand(at, "trapped", trap, answer="read", catches=catches)


def round_on(
    number: float, on: date, alive: Mapping[str, int], traps: tuple[str, ...] = n.TRAPS
) -> Day:
    """Return a weekly round that found nothing, the traps empty."""
    trays = tuple(
        looked(f"07:{10 + 8 * i:02d}", tray, plants, 7)
        for i, (tray, plants) in enumerate(alive.items())
    )
    steps: tuple[Step, ...] = (
        w1("07:05", "entered", n.QUARANTINE, purpose="weekly round", hygiene=["hands", "boots"]),
        *trays,
        *(read(w1, f"08:{2 + 2 * i:02d}", trap) for i, trap in enumerate(traps)),
        w1("08:20", "left", n.QUARANTINE),
        Synced("08:40", n.ROOM_PHONE),
    )
    return Day(number, on, steps)


def citrus_on(number: float, on: date) -> Day:
    """Return a look-over of the trees outside, which the house rules ask for every fortnight."""
    look = g(
        "15:20", "looked", n.OPEN_CITRUS,
        answer="nothing", plants=64, minutes=35, checklist="weekly", version=2,
    )  # fmt: skip
    return Day(number, on, (look, Synced("16:10", n.OFFICE_PHONE)))


BEFORE_DAY_2 = (
    citrus_on(2, date(2031, 3, 5)),
    round_on(2, date(2031, 3, 7), AFTER_DAY_1),
    round_on(2, date(2031, 3, 10), AFTER_DAY_1),
    Day(
        2,
        date(2031, 3, 14),
        (
            g(
                "16:05", "resulted", (n.T1, n.T2, n.T3, n.T6),
                sample="S-01", verdict="negative", paper="LR-441", photo="photo-lr-441",
            ),
            g("16:40", "emerged", n.SEEDBED, total=61),
            Synced("16:45", n.OFFICE_PHONE),
        ),
    ),
    round_on(2, date(2031, 3, 17), AFTER_DAY_1),
    citrus_on(2, date(2031, 3, 19)),
)  # fmt: skip

BEFORE_DAY_3 = (
    Day(
        3,
        date(2031, 3, 25),
        (
            w1("07:00", "entered", n.QUARANTINE, purpose="change trap", hygiene=["hands", "boots"]),
            w1(
                "07:06", "trapped", n.TRAP_VENT_2,
                answer="not_readable", why="wet", replaced=True,
            ),
            w1("07:15", "left", n.QUARANTINE),
            Synced("07:40", n.ROOM_PHONE),
        ),
    ),
    round_on(3, date(2031, 3, 31), AFTER_DAY_2),
    citrus_on(3, date(2031, 4, 2)),
    round_on(3, date(2031, 4, 7), AFTER_DAY_2),
    Day(
        3,
        date(2031, 4, 9),
        (g("16:40", "emerged", n.SEEDBED, total=97), Synced("16:45", n.OFFICE_PHONE)),
    ),
    round_on(3, date(2031, 4, 14), AFTER_DAY_2),
    citrus_on(3, date(2031, 4, 16)),
    round_on(3, date(2031, 4, 21), AFTER_DAY_2),
    round_on(3, date(2031, 4, 28), AFTER_DAY_2),
    citrus_on(3, date(2031, 4, 30)),
    Day(
        3,
        date(2031, 5, 3),
        (
            w2("09:00", "watered", n.CITRUS_BLOCK, minutes=95),
            Synced("12:10", n.SECOND_PHONE),
        ),
    ),
)  # fmt: skip
