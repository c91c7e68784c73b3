"""The quiet weeks from the find to the release, and the one in which nobody could look."""

from datetime import date, timedelta

from nursery.domain.due_check import ident
from nursery.ops.demo import names as n
from nursery.ops.demo.day_0 import g, w1
from nursery.ops.demo.script import Day, Hand, Synced
from nursery.ops.demo.weeks import AFTER_DAY_2, citrus_on, looked, read, round_on
from nursery.services.demo import G

g_inside = Hand(n.ROOM_PHONE, G.id)

AFTER_DAY_3 = AFTER_DAY_2 | {n.T4: 53}
AFTER_DAY_4 = {tray: AFTER_DAY_3[tray] for tray in n.SPARED}
AFTER_DAY_5 = {n.T1: 51, n.T2: 52, n.T3: 48, n.T5: 43, n.T6: 41, n.MIXED: 8}
BEFORE_RELEASE = AFTER_DAY_5 | {n.T1: 50, n.T3: 47}

CITRUS_AGAIN = timedelta(days=14)
WEEK = timedelta(days=7)


def _every(step: timedelta, first: date, last: date) -> list[date]:
    return [first + i * step for i in range((last - first) // step + 1)]


def _citrus(number: float, first: date, last: date) -> tuple[Day, ...]:
    return tuple(citrus_on(number, on) for on in _every(CITRUS_AGAIN, first, last))


def _died(number: float, on: date, tray: str, count: int) -> Day:
    steps = (
        w1("08:10", "lost", tray, count=count, fate="died", cause="wilted", kept=True),
        Synced("08:45", n.ROOM_PHONE),
    )
    return Day(number, on, steps)


BEFORE_DAY_4 = (
    round_on(4, date(2031, 5, 5), AFTER_DAY_3),
    citrus_on(4, date(2031, 5, 5)),
    _died(4, date(2031, 5, 5), n.T4, 1),
    round_on(4, date(2031, 5, 12), AFTER_DAY_3 | {n.T4: 52}),
    _died(4, date(2031, 5, 12), n.T4, 2),
    citrus_on(4, date(2031, 5, 14)),
)

BEFORE_DAY_4B = (
    round_on(4.5, date(2031, 5, 19), AFTER_DAY_4),
    round_on(4.5, date(2031, 5, 26), AFTER_DAY_4),
    citrus_on(4.5, date(2031, 5, 28)),
    round_on(4.5, date(2031, 6, 2), AFTER_DAY_4),
)

BEFORE_DAY_5 = (
    *(
        round_on(5, on, AFTER_DAY_4)
        for on in _every(WEEK, date(2031, 6, 9), date(2031, 7, 28))
    ),
    *_citrus(5, date(2031, 6, 11), date(2031, 7, 23)),
)  # fmt: skip

BEFORE_DAY_6 = (
    round_on(6, date(2031, 8, 4), AFTER_DAY_5),
    citrus_on(6, date(2031, 8, 6)),
    round_on(6, date(2031, 8, 11), AFTER_DAY_5),
)

# The week in which the north screen was replaced: no look-over of any tray.
WITHOUT_LOOK = date(2031, 9, 22)
EVERY_TRAP = (*n.TRAPS, *n.EXTRA_TRAPS)


def ordered_look(number: float, on: date) -> Day:
    """Return a look-over of all pots that the order about the storm asks for."""
    looks = tuple(
        looked(f"09:{10 + 7 * i:02d}", pot, plants, 6)
        for i, (pot, plants) in enumerate(AFTER_DAY_5.items())
    )
    return Day(number, on, (*looks, Synced("10:30", n.ROOM_PHONE)))


NOT_LOOKED = Day(
    7,
    WITHOUT_LOOK,
    (
        g(
            "08:05", "told", n.POTS,
            who="Plant Health Service", how="telephone", reference="RP-3",
            what="no look-over this week: the north screen is being replaced",
        ),
        *(
            g(
                "08:20", "skipped", pot,
                check=ident("look_over", "cq-118-look", pot, WITHOUT_LOOK.isoformat()),
                reason="north screen replaced, told under RP-3",
            )
            for pot in n.POTS
        ),
        Synced("08:30", n.OFFICE_PHONE),
        *(read(w1, f"16:{2 + 2 * i:02d}", trap) for i, trap in enumerate(n.TRAPS)),
        Synced("16:40", n.ROOM_PHONE),
    ),
)  # fmt: skip

BEFORE_DAY_7 = (
    Day(
        7,
        date(2031, 8, 15),
        (
            *(read(w1, f"08:{2 + 2 * i:02d}", trap) for i, trap in enumerate(n.EXTRA_TRAPS)),
            Synced("08:40", n.ROOM_PHONE),
        ),
    ),
    round_on(7, date(2031, 8, 18), AFTER_DAY_5, EVERY_TRAP),
    round_on(7, date(2031, 8, 25), AFTER_DAY_5, EVERY_TRAP),
    ordered_look(7, date(2031, 8, 27)),
    round_on(7, date(2031, 9, 1), AFTER_DAY_5, EVERY_TRAP),
    round_on(7, date(2031, 9, 8), AFTER_DAY_5, EVERY_TRAP),
    ordered_look(7, date(2031, 9, 10)),
    _died(7, date(2031, 9, 15), n.T1, 1),
    round_on(7, date(2031, 9, 15), AFTER_DAY_5),
    NOT_LOOKED,
    *(
        round_on(7, on, BEFORE_RELEASE | {n.T3: 48})
        for on in _every(WEEK, date(2031, 9, 29), date(2031, 10, 13))
    ),
    _died(7, date(2031, 10, 13), n.T3, 1),
    *(
        round_on(7, on, BEFORE_RELEASE)
        for on in _every(WEEK, date(2031, 10, 20), date(2031, 11, 17))
    ),
    *_citrus(7, date(2031, 8, 20), date(2031, 11, 26)),
)  # fmt: skip
