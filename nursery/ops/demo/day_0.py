"""Before the first day: rows are typed, phones join, and what stands here already is taken on."""

from datetime import date

from nursery.ops.demo import frame
from nursery.ops.demo import names as n
from nursery.ops.demo.script import Brought, Day, Hand, Joined, Synced, Typed
from nursery.services.demo import W1, W2, G

g = Hand(n.OFFICE_PHONE, G.id)
w1 = Hand(n.ROOM_PHONE, W1.id)
w2 = Hand(n.SECOND_PHONE, W2.id)

_ROWS = tuple(
    Typed("09:00", kind, ident, body)
    for kind, rows in frame.rows().items()
    for ident, body in rows.items()
)

SETTING_UP = Day(
    0,
    date(2031, 2, 28),
    (
        *_ROWS,
        Brought("09:30", "orrin", "Orrin district", seed=118, first_year=2001, years=30),
        Joined("10:00", n.OFFICE_PHONE),
        Joined("10:10", n.ROOM_PHONE),
        Joined("10:20", n.SECOND_PHONE),
        g(
            "14:10", "taken_on", n.OPEN_CITRUS,
            batch={
                "id": n.OPEN_CITRUS, "label": "OC1", "crop": n.CITRUS, "place": n.CITRUS_BLOCK,
                "stage": "growing_on",
            },
            alive=64, method="full",
        ),
        g(
            "15:00", "sown", n.SEEDBED,
            batch={
                "id": n.SEEDBED, "label": "PA1", "crop": n.PAPAYA, "place": n.SHADE_HOUSE,
                "container": "seed tray",
            },
            seeds=120, seed_lot="own fruit, February 2031",
        ),
        Synced("15:30", n.OFFICE_PHONE),
    ),
)  # fmt: skip
