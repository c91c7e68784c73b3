"""Day 5, Wednesday 30 July 2031: potting on inside quarantine, and two labels on the floor."""

from datetime import date

from nursery.ops.demo import names as n
from nursery.ops.demo import pictures
from nursery.ops.demo.day_0 import g, w1, w2
from nursery.ops.demo.day_1 import BENCH_OF
from nursery.ops.demo.script import Act, Day, Synced

# Root balls pulled, by circling roots: none, few, many. 30 in all.
ROOTS = {n.T1: (4, 1, 1), n.T2: (5, 1, 0), n.T3: (5, 1, 0), n.T5: (4, 2, 0), n.T6: (3, 1, 2)}
DEAD = {n.T2: 1, n.T5: 2}
J_ROOTS = {n.T1: 2, n.T6: 3}


def _plugged() -> tuple[Act, ...]:
    return tuple(
        w1(f"07:{30 + 2 * i}", "plugged", tray, none=none, few=few, many=many, cull=0)
        for i, (tray, (none, few, many)) in enumerate(ROOTS.items())
    )


POTTING = (
    Day(
        5,
        date(2031, 7, 29),
        (
            g("15:00", "photographed", n.SPARED, **pictures.body("photo-p-31", "permission P-31")),
            g(
                "15:02", "accepted", n.SPARED, "P-31",
                what="potting", reference="P-31", photo="photo-p-31",
            ),
            Synced("15:10", n.OFFICE_PHONE),
            Synced("15:20", n.ROOM_PHONE),
        ),
    ),
    Day(
        5,
        date(2031, 7, 30),
        (
            w1("06:50", "entered", n.QUARANTINE, purpose="potting", hygiene=["hands", "boots"]),
            w2("06:55", "entered", n.QUARANTINE, purpose="potting", hygiene=["hands", "boots"]),
            *(
                w1("07:10", "lost", tray, count=dead, fate="died", cause="wilted", kept=True)
                for tray, dead in DEAD.items()
            ),
            *_plugged(),
            w1("07:44", "photographed", n.SPARED, **pictures.body("photo-roots", "root balls")),
            *(
                w1("07:50", "lost", tray, count=bent, fate="culled", cause="J-root", kept=True)
                for tray, bent in J_ROOTS.items()
            ),
            *(
                w1(
                    f"0{8 + i // 3}:{10 + 15 * (i % 3)}", "potted", tray,
                    container=n.POT, litres=2.5, medium="bark and pumice",
                )
                for i, tray in enumerate(n.SPARED)
            ),
            w2(
                "10:40", "mixed", (n.T3, n.T5, n.MIXED), "labels lost",
                parents=[{"id": n.T3, "left": 48}, {"id": n.T5, "left": 43}],
                children=[
                    {
                        "id": n.MIXED, "label": "U", "count": 8, "place": BENCH_OF[n.T5],
                        "stage": "quarantine", "crop": n.FINGER_LIME, "container": n.POT,
                    }
                ],
            ),
            w2("11:10", "left", n.QUARANTINE),
            w1("11:15", "left", n.QUARANTINE),
            Synced("11:25", n.SECOND_PHONE),
            Synced("11:30", n.ROOM_PHONE),
            Synced("11:40", n.OFFICE_PHONE),
        ),
    ),
)  # fmt: skip
