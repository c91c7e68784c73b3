"""Day 4b: the second treatment on Tuesday 27 May 2031; on 6 June inspection 1, and the lift."""

from datetime import date

from nursery.ops.demo import names as n
from nursery.ops.demo import pictures
from nursery.ops.demo.day_0 import g
from nursery.ops.demo.day_4 import OFFICER, g_inside, sprayed
from nursery.ops.demo.later_weeks import AFTER_DAY_4
from nursery.ops.demo.script import Act, Day, Synced
from nursery.services.demo import W2, P

LIFT = {"reference": "LF-12", "photo": "photo-lf-12"}


def inspected(hour: int, alive: dict[str, int], paper: str) -> tuple[Act, ...]:
    """Return an official inspection of all plants of each batch, in growth, nothing found."""
    return tuple(
        g_inside(
            f"{hour:02d}:{10 + 5 * i}", "inspected", batch, f"{paper} {batch}",
            inspector=P.name, answer="nothing", plants=plants, active_growth=True,
            paper=paper, photo=f"photo-{paper.lower()}",
        )
        for i, (batch, plants) in enumerate(alive.items())
    )  # fmt: skip


SECOND_TREATMENT = (
    Day(
        4.5,
        date(2031, 5, 27),
        (
            *sprayed(date(2031, 5, 27), "2", "2031-05-27T18:50:00.000Z"),
            Synced("17:20", n.OFFICE_PHONE),
            Synced("17:30", n.ROOM_PHONE),
        ),
    ),
    Day(
        4.5,
        date(2031, 6, 6),
        (
            g_inside("08:00", "entered", n.QUARANTINE, purpose="inspection"),
            g_inside("08:02", "entered", n.QUARANTINE, visitor=OFFICER, purpose="inspection"),
            *inspected(8, AFTER_DAY_4, "IR-61"),
            g_inside("08:50", "left", n.QUARANTINE, visitor=OFFICER),
            g_inside("08:52", "left", n.QUARANTINE),
            g(
                "09:30", "photographed", n.QUARANTINE,
                **pictures.body("photo-lf-12", "lift LF-12"),
            ),
            g(
                "09:32", "ordered", (*n.TRAYS, n.QUARANTINE), "lift",
                act="lift", lifts="EM-77", **LIFT,
            ),
            g("09:34", "accepted", n.QUARANTINE, what="person", person=W2.id, **LIFT),
            Synced("09:40", n.OFFICE_PHONE),
            Synced("09:50", n.ROOM_PHONE),
            Synced("09:55", n.SECOND_PHONE),
        ),
    ),
)  # fmt: skip
