"""Day 2, Monday 24 March 2031: the weekly round without signal, and two counts of one tray."""

from datetime import date

from nursery.ops.demo import names as n
from nursery.ops.demo.day_0 import w1, w2
from nursery.ops.demo.script import Day, Hand, Named, Synced
from nursery.ops.demo.weeks import looked, read
from nursery.services.demo import G

g_inside = Hand(n.ROOM_PHONE, G.id)

LOOK_OVER = Day(
    2,
    date(2031, 3, 24),
    (
        w1("07:05", "entered", n.QUARANTINE, purpose="weekly round", hygiene=["hands", "boots"]),
        looked("07:22", n.T1, 53, 12),
        looked("07:34", n.T2, 53, 11),
        looked("07:46", n.T3, 52, 11),
        w1("07:48", "counted", n.T3, "52 in T3", method="full", alive=52, saw=None),
        looked("08:00", n.T4, 54, 12),
        w2("07:55", "entered", n.QUARANTINE, purpose="count", hygiene=["hands", "boots"]),
        w2("08:00", "counted", n.T3, "53 in T3", method="full", alive=53, saw=None),
        looked("08:14", n.T5, 50, 13, found="stem_base"),
        w1(
            "08:15", "found", n.T5,
            suspicion=False, symptom="stem rot", part="stem", plants=2,
        ),
        w1(
            "08:16", "lost", n.T5, "2 dead in T5",
            count=2, fate="died", cause="stem rot", kept=True,
        ),
        looked("08:25", n.T6, 44, 9),
        read(w1, "08:27", n.TRAP_A, n.THRIPS, 3),
        read(w1, "08:28", n.TRAP_B, n.THRIPS, 1),
        read(w1, "08:29", n.TRAP_DOOR),
        read(w1, "08:30", n.TRAP_VENT_1, n.GNATS, 11),
        w1("08:31", "trapped", n.TRAP_VENT_2, "vent-2 wet", answer="not_readable", why="wet"),
        w1(
            "08:40", "read", n.QUARANTINE,
            readings=[{"what": "ec_ms_cm", "value": 0.9}, {"what": "ph", "value": 6.1}],
            instrument="hand meter", pots=5,
        ),
        w2("08:20", "left", n.QUARANTINE),
        w1("08:50", "left", n.QUARANTINE),
        Synced("11:30", n.ROOM_PHONE),
        Synced("11:30", n.SECOND_PHONE),
        Synced("11:32", n.ROOM_PHONE),
        g_inside("11:50", "entered", n.QUARANTINE, purpose="recount", hygiene=["hands", "boots"]),
        g_inside(
            "11:56", "counted", n.T3, "recount of T3",
            method="full", alive=53, saw=Named("53 in T3"),
        ),
        g_inside("12:02", "left", n.QUARANTINE),
        Synced("12:20", n.ROOM_PHONE),
    ),
)  # fmt: skip
