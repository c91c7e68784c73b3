"""Day 10, Monday 13 September 2032: the count after six months, and a call about the budwood."""

from collections.abc import Iterator, Mapping
from datetime import date, timedelta

from nursery.domain.kinds.field import Standing, seat
from nursery.ops.demo import names as n
from nursery.ops.demo.day_0 import g, w1
from nursery.ops.demo.day_4 import SERVICE
from nursery.ops.demo.frame import PESTS
from nursery.ops.demo.script import Act, Day, Hand, Synced, Typed
from nursery.ops.demo.terraces import HOLES, TRAPS_HANG, TRAPS_SINCE, trap
from nursery.ops.demo.weeks import citrus_on, read

TR3, TR4, TR5 = n.TERRACES
DEAD, MISSING, ROOTSTOCK = Standing.DEAD, Standing.MISSING, Standing.ROOTSTOCK_ONLY

RESERVE = {n.T1: 3, n.T2: 2, n.T5: 2, n.T6: 6}
FORTNIGHT, MONTH = timedelta(days=14), timedelta(days=28)


def reserve_looked(on: date, alive: Mapping[str, int]) -> Day:
    """Return a look at the plants that wait in the shade house, four minutes for each batch."""
    looks = (
        w1(
            f"07:{20 + 5 * i:02d}", "looked", pot,
            answer="nothing", plants=plants, minutes=4, checklist="weekly", version=2,
        )
        for i, (pot, plants) in enumerate(alive.items())
    )  # fmt: skip
    return Day(10, on, (*looks, Synced("08:10", n.ROOM_PHONE)))


def _died(on: date) -> Day:
    lost = w1("07:15", "lost", n.T6, count=1, fate="died", cause="stem rot")
    return Day(10, on, (lost, Synced("07:50", n.ROOM_PHONE)))


def _watered(on: date) -> Day:
    acts = (w1(f"16:{10 + 15 * i}", "watered", one, minutes=12) for i, one in enumerate(n.TERRACES))
    return Day(10, on, (*acts, Synced("17:10", n.ROOM_PHONE)))


def _shelter(on: date, heights: tuple[float, ...]) -> Day:
    """Return the heights of the pigeon pea above each terrace, in cm."""
    acts = (
        g(
            f"09:{10 + 10 * i}", "read", terrace,
            readings=[{"what": "shelter_cm", "value": height}], instrument="rod",
        )
        for i, (terrace, height) in enumerate(zip(n.TERRACES, heights, strict=True))
    )  # fmt: skip
    return Day(10, on, (*acts, Synced("10:10", n.OFFICE_PHONE)))


TRAP_1, TRAP_2 = n.FIELD_TRAPS
# Blackfly for each trap and day from which the grower does something. (Invented for the demo.)
ACT_FROM = 0.5


def _hung() -> Day:
    """Return two traps hung among the trees of terrace 5, and from when their catch counts."""
    blackfly = {**PESTS[n.BLACKFLY], "act_from": ACT_FROM}
    return Day(
        10,
        TRAPS_SINCE,
        (
            *(Typed("09:30", "place", one, trap(one)) for one in TRAPS_HANG),
            Typed("09:40", "pest", n.BLACKFLY, blackfly),
            Synced("09:50", n.OFFICE_PHONE),
            Synced("09:55", n.ROOM_PHONE),
        ),
    )


# One is empty, one too wet to read: not zero, but nobody knows. It is changed there and then.
_FIRST_READ = Day(
    10,
    TRAPS_SINCE + FORTNIGHT,
    (
        read(w1, "07:30", TRAP_1),
        w1("07:36", "trapped", TRAP_2, answer="not_readable", why="wet", replaced=True),
        Synced("08:10", n.ROOM_PHONE),
    ),
)

# Three blackflies in two weeks are far from what is acted upon; the row around that trap is clean.
_LOOKED_OVER = Day(
    10,
    TRAPS_SINCE + MONTH,
    (
        read(w1, "07:30", TRAP_1),
        read(w1, "07:36", TRAP_2, n.BLACKFLY, 3),
        w1("07:45", "looked", seat(TR5, "4"), answer="nothing", plants=15, minutes=11),
        Synced("08:15", n.ROOM_PHONE),
    ),
)

BEFORE_DAY_10 = (
    *(citrus_on(10, date(2032, 3, 24) + i * FORTNIGHT) for i in range(14)),
    *(reserve_looked(date(2032, 4, 5) + i * MONTH, RESERVE) for i in range(2)),
    _shelter(date(2032, 5, 10), (130, 125, 75)),
    _died(date(2032, 5, 24)),
    reserve_looked(date(2032, 5, 31), RESERVE | {n.T6: 5}),
    _watered(date(2032, 6, 14)),
    reserve_looked(date(2032, 6, 28), RESERVE | {n.T6: 5}),
    _watered(date(2032, 7, 12)),
    _died(date(2032, 7, 19)),
    *(reserve_looked(date(2032, 7, 26) + i * MONTH, RESERVE | {n.T6: 4}) for i in range(2)),
    _watered(date(2032, 8, 9)),
    _hung(),
    _FIRST_READ,
    _LOOKED_OVER,
    _shelter(date(2032, 8, 30), (185, 180, 140)),
)

# Who did not live: how it stands, and from what.
NOT_ALIVE: Mapping[str, Mapping[int, tuple[Standing, str | None]]] = {
    TR3: {
        7: (DEAD, "drought"),
        51: (ROOTSTOCK, "graft failed"),
        58: (MISSING, None),
        66: (DEAD, "drought"),
    },
    TR4: {
        5: (DEAD, "drought"),
        20: (DEAD, "drought"),
        35: (MISSING, None),
        44: (DEAD, "stem borer"),
        62: (MISSING, None),
    },
    # All of the ten that were planted after the rain, but one.
    TR5: {
        **dict.fromkeys((61, 62, 63, 66, 67, 68, 70), (DEAD, "waterlogging")),
        64: (MISSING, None),
        69: (ROOTSTOCK, "waterlogging"),
    },
}


def _surveyed(hand: Hand, begins: str, terrace: str) -> Iterator[Act]:
    """Yield the count of each row of a terrace, every position, twelve minutes a row."""
    hours, minutes = map(int, begins.split(":"))
    first = 1
    for row, holes in enumerate(HOLES[terrace], start=1):
        at = timedelta(hours=hours, minutes=minutes + 12 * row)
        yield hand(
            f"{at // timedelta(hours=1):02d}:{at // timedelta(minutes=1) % 60:02d}",
            "surveyed", seat(terrace, str(row)),
            block=terrace, row=str(row),
            seen=[_seen(terrace, position) for position in range(first, first + holes)],
        )  # fmt: skip
        first += holes


def _seen(terrace: str, position: int) -> dict[str, str]:
    state, cause = NOT_ALIVE[terrace].get(position, (Standing.ALIVE, None))
    told = {"position": str(position), "state": state.value}
    return told if cause is None else told | {"cause": cause}


SUSPECT = (n.T2, n.T5, n.MIXED)
CALL = "BW-31"

COUNT = Day(
    10,
    date(2032, 9, 13),
    (
        *_surveyed(w1, "07:00", TR3),
        *_surveyed(w1, "08:30", TR4),
        *_surveyed(g, "07:00", TR5),
        Synced("10:45", n.ROOM_PHONE),
        Synced("10:50", n.OFFICE_PHONE),
        # By telephone: it is kept as reported until the paper has come.
        g("14:05", "ordered", SUSPECT, "reported", act="hold", reference=CALL),
        g(
            "14:20", "told", SUSPECT,
            who=SERVICE, how="telephone", reference=CALL,
            what="the supplier's authority calls the budwood of T2 and T5 suspect",
        ),
        Synced("14:25", n.OFFICE_PHONE),
        Synced("14:30", n.ROOM_PHONE),
    ),
)  # fmt: skip

# Seven are left that no hold touches, for nine gaps in the row planted after the rain.
FILLED = {61: n.T1, 62: n.T1, 63: n.T1, 64: n.T6, 66: n.T6, 67: n.T6, 68: n.T6}
FILLERS = {n.T1: 3, n.T6: 4}


def _refilled(minutes: int, position: int, pot: str) -> Act:
    return w1(
        f"08:{minutes:02d}", "refilled", (pot, seat(TR5, "5")),
        block=TR5, row="5", positions=[str(position)],
    )  # fmt: skip


FILLING = Day(
    10,
    date(2032, 10, 1),
    (
        *(
            w1(
                f"07:{30 + i}", "carried", (pot, n.FIELD),
                way="out", plants=plants, block=n.FIELD,
            )
            for i, (pot, plants) in enumerate(FILLERS.items())
        ),
        *(_refilled(4 * i, at, pot) for i, (at, pot) in enumerate(FILLED.items())),
        Synced("08:40", n.ROOM_PHONE),
        Synced("08:45", n.OFFICE_PHONE),
    ),
)  # fmt: skip

COUNTED = (COUNT, FILLING)
