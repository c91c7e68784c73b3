"""Day 4, Friday 16 May 2031: the result, order Q-09, T4 burned; on Saturday the first treatment."""

from datetime import date

from nursery.ops.demo import names as n
from nursery.ops.demo import pictures
from nursery.ops.demo.day_0 import g
from nursery.ops.demo.frame import PRODUCTS
from nursery.ops.demo.script import Act, Day, Hand, Synced
from nursery.services.demo import W1, W2, G, P

SERVICE = "Plant Health Service"
ORDER = "Q-09"
PAPER = {"reference": ORDER, "photo": "photo-q-09"}
OFFICER = {"name": P.name, "firm": SERVICE}

g_inside = Hand(n.ROOM_PHONE, G.id)


def sprayed(day: date, number: str, reentry_until: str) -> tuple[Act, ...]:
    """Return one treatment of the whole room, by the grower, with sign and people told first."""
    return (
        g_inside("16:20", "entered", n.QUARANTINE, purpose="treatment", hygiene=["mask", "suit"]),
        g_inside(
            "16:50", "treated", (*n.SPARED, n.QUARANTINE), f"treatment {number}",
            product=PRODUCTS[n.OIL_SOAP]["name"],
            active="paraffin oil and soap", registration="PR-2207",
            batch_number=f"L-77{number}", rate="0.2 L/m²", litres=3, area_m2=15,
            started_at=f"{day}T06:30:00.000Z", ended_at=f"{day}T06:50:00.000Z",
            reentry_until=reentry_until, operator=G.id, licence="AL-311", told=[W1.id, W2.id],
            sign_posted_at=f"{day}T06:20:00.000Z", order=ORDER,
        ),
        g_inside("16:54", "left", n.QUARANTINE),
    )  # fmt: skip


RESULT = (
    Day(
        4,
        date(2031, 5, 16),
        (
            g(
                "10:20", "resulted", n.T4, "blackfly",
                sample="S-03", verdict="confirmed", pest=n.BLACKFLY, paper="LR-447",
                photo="photo-lr-447",
            ),
            g("10:22", "photographed", n.TRAYS, **pictures.body("photo-q-09", "order Q-09")),
            g("10:24", "ordered", n.T4, "destroy", act="destroy", **PAPER),
            g(
                "10:25", "ordered", n.SPARED, "treat",
                act="treat", times=2, interval_days=10, **PAPER,
            ),
            g("10:26", "ordered", n.SPARED, "restart", act="restart", after_treatment=2, **PAPER),
            Synced("10:40", n.OFFICE_PHONE),
            Synced("10:50", n.ROOM_PHONE),
            g_inside("11:50", "entered", n.QUARANTINE, purpose="order Q-09"),
            g_inside("11:55", "entered", n.QUARANTINE, visitor=OFFICER, purpose="order Q-09"),
            g_inside(
                "12:10", "shown", n.T4,
                to=P.name, plants=[{"id": n.T4, "count": 3}],
            ),
            g_inside("12:40", "lost", n.T4, count=50, fate="destroyed", order=ORDER),
            g_inside(
                "13:15", "disposed", n.T4,
                what="all of T4: 50 destroyed and 3 dead", method="burned", kg=3.1,
                witness=P.name, plants=[{"id": n.T4, "count": 3}],
            ),
            g_inside("13:20", "left", n.QUARANTINE, visitor=OFFICER),
            g_inside("13:25", "left", n.QUARANTINE),
            g("14:00", "booked", n.SPARED, act="treatment", on="2031-05-17", order=ORDER),
            g("14:02", "booked", n.SPARED, act="treatment", on="2031-05-27", order=ORDER),
            Synced("14:10", n.OFFICE_PHONE),
            Synced("14:20", n.ROOM_PHONE),
        ),
    ),
    Day(
        4,
        date(2031, 5, 17),
        (
            *sprayed(date(2031, 5, 17), "1", "2031-05-17T18:50:00.000Z"),
            g("17:10", "booked", n.QUARANTINE, act="watering", on="2031-05-18"),
            Synced("17:15", n.ROOM_PHONE),
            Synced("17:20", n.OFFICE_PHONE),
        ),
    ),
)  # fmt: skip
