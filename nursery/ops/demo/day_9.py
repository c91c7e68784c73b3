"""Day 9, Friday 12 March 2032: 214 trees go into the terraces, one tap for each position."""

from collections.abc import Iterator, Mapping
from datetime import date, datetime, time, timedelta
from typing import Any

from nursery.domain.kinds.field import seat
from nursery.ops.demo import names as n
from nursery.ops.demo.day_0 import g, w1, w2
from nursery.ops.demo.day_8 import ALIVE, GRADES, PLANTED_ON, sky
from nursery.ops.demo.script import Act, Day, Hand, Synced, Typed
from nursery.ops.demo.terraces import AS_PLANTED, layout, row_of
from nursery.ops.demo.weeks import citrus_on, looked
from nursery.services.demo import W2

TR3, TR4, TR5 = n.TERRACES
MINUTE = timedelta(minutes=1)

CARRIED = {pot: a for pot, (a, _, _) in GRADES.items()}
SPARES = {n.T1: 4, n.T2: 2, n.T5: 2}
UNUSED = {n.T1: 2, n.T2: 2, n.T5: 2}
AFTER_GRADING = {pot: ALIVE[pot] - c for pot, (_, _, c) in GRADES.items()}

# The second phone falls into the mud at 11:20. What it held since 10:35 never comes: the last it
# had sent was terrace 3, so the office phone asks the fourteen positions since then again.
ASKED_AGAIN = 14
w2_on_another = Hand(n.OFFICE_PHONE, W2.id)


def _clock(at: str) -> datetime:
    return datetime.combine(PLANTED_ON, time.fromisoformat(at))


def _walked(
    hand: Hand, terrace: str, holes: tuple[int, int], between: tuple[str, str]
) -> Iterator[Act]:
    """Yield a tap for each position of a stretch, in walking order and at an even pace."""
    first, last = holes
    begun, ended = map(_clock, between)
    pace = (ended - begun) / (last - first + 1)
    for i, position in enumerate(range(first, last + 1), start=1):
        yield _tap(hand, begun + i * pace, terrace, position)


def _tap(hand: Hand, at: datetime, terrace: str, position: int) -> Act:
    row, pot = str(row_of(terrace, position)), AS_PLANTED[terrace][position]
    return hand(
        f"{at:%H:%M:%S}", "planted", (pot, seat(terrace, row)),
        block=terrace, row=row, positions=[str(position)],
    )  # fmt: skip


def _carried(hand: Hand, at: str, way: str, plants: Mapping[str, int]) -> Iterator[Act]:
    """Yield what is carried of each batch, a minute apart."""
    for i, (pot, count) in enumerate(plants.items()):
        yield hand(
            f"{_clock(at) + i * MINUTE:%H:%M}", "carried", (pot, n.FIELD),
            way=way, plants=count, block=n.FIELD,
        )  # fmt: skip


def _ahead() -> dict[str, Any]:
    """Return what the weather office says on planting day: at most 31 degrees, and more rain."""
    said = sky(PLANTED_ON, 31, 10, low_c=22, wind_kmh=18)
    for day, mm in zip(said["days"], (7, 4, 0, 0, 3, 0, 0, 0, 0, 0), strict=True):
        day["rain_mm"] = mm
    return said


LAST_LOOK = Day(
    9,
    date(2032, 3, 10),
    (
        *(
            looked(f"07:{10 + 8 * i:02d}", pot, plants, 7)
            for i, (pot, plants) in enumerate(AFTER_GRADING.items())
        ),
        Synced("08:40", n.ROOM_PHONE),
    ),
)

PLANTING = Day(
    9,
    PLANTED_ON,
    (
        g("04:50", "forecast", n.SITE, **_ahead()),
        g(
            "04:55", "read", n.FIELD,
            readings=[
                {"what": "wet_to_cm", "value": 24},
                {"what": "dry_spell_percent", "value": 35},
            ],
            instrument="probe and season sheet",
        ),
        g("05:05", "noted", n.POTS, text="A batch tag hangs on each pot that goes out"),
        Synced("05:10", n.OFFICE_PHONE),
        Synced("05:15", n.ROOM_PHONE),
        Synced("05:20", n.SECOND_PHONE),
        *_carried(w1, "05:30", "out", CARRIED),
        *_carried(w1, "05:40", "out", SPARES),
        Synced("05:45", n.ROOM_PHONE),
        Synced("05:50", n.SECOND_PHONE),
        *_walked(w2, TR3, (1, 72), ("06:00", "10:30")),
        w1(
            "06:25", "lost", n.T3,
            count=2, fate="culled", cause="broken_in_transit", carried=True,
        ),
        *_walked(w1, TR4, (1, 72), ("06:30", "11:15")),
        Synced("08:30", n.ROOM_PHONE),
        Synced("10:35", n.SECOND_PHONE),
        Synced("11:16", n.ROOM_PHONE),
        Synced("11:24", n.OFFICE_PHONE),
        *_walked(w2_on_another, TR5, (1, ASKED_AGAIN), ("11:25", "11:36")),
        *_walked(w2_on_another, TR5, (ASKED_AGAIN + 1, 60), ("11:40", "14:08")),
        w1("14:10", "noted", seat(TR5, "5"), text="Rain: nobody plants, row 5 has not begun"),
        g("14:12", "read", n.FIELD, readings=[{"what": "rain_mm", "value": 11}]),
        Synced("14:15", n.OFFICE_PHONE),
        *_walked(w2_on_another, TR5, (61, 70), ("15:20", "16:00")),
        Synced("16:05", n.OFFICE_PHONE),
        *_carried(w1, "16:20", "back", UNUSED),
        Synced("16:40", n.ROOM_PHONE),
        Synced("16:45", n.OFFICE_PHONE),
        *(Typed("17:00", "layout", one, layout(one, AS_PLANTED[one])) for one in (TR4, TR5)),
        Synced("17:10", n.ROOM_PHONE),
        Synced("17:15", n.OFFICE_PHONE),
    ),
)  # fmt: skip

PLANTED = (LAST_LOOK, citrus_on(9, LAST_LOOK.on), PLANTING)
