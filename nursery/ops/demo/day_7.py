"""Day 7: the final inspection on Thursday 20 November 2031, the release, and the empty room."""

from datetime import date

from nursery.ops.demo import names as n
from nursery.ops.demo import pictures
from nursery.ops.demo.day_0 import g, w1
from nursery.ops.demo.day_4 import OFFICER, SERVICE, g_inside
from nursery.ops.demo.day_4b import inspected
from nursery.ops.demo.later_weeks import BEFORE_RELEASE, WITHOUT_LOOK
from nursery.ops.demo.script import Day, Synced
from nursery.services.demo import P

NOTICE = "RN-204"
IN_THE_BAG = {n.T1: 3, n.T2: 1, n.T3: 1, n.T5: 4, n.T6: 3}


def shares(plants: dict[str, int]) -> list[dict[str, object]]:
    return [{"id": batch, "count": count} for batch, count in plants.items()]


RELEASE = (
    Day(
        7,
        date(2031, 11, 20),
        (
            g_inside("08:25", "entered", n.QUARANTINE, purpose="final inspection"),
            g_inside("08:27", "entered", n.QUARANTINE, visitor=OFFICER, purpose="final inspection"),
            *inspected(8, BEFORE_RELEASE, "IR-88"),
            g_inside(
                "08:50", "found", n.T2,
                suspicion=False, pest=n.MEALYBUG, symptom="one colony, wiped off by hand",
                part="leaf underside", plants=1,
            ),
            g_inside(
                "09:00", "shown", tuple(IN_THE_BAG),
                to=P.name, plants=shares(IN_THE_BAG),
            ),
            g_inside("09:20", "left", n.QUARANTINE, visitor=OFFICER),
            g_inside("09:22", "left", n.QUARANTINE),
            g(
                "09:40", "photographed", n.POTS,
                **pictures.body("photo-ac-5", "acceptance AC-5"),
            ),
            g(
                "09:42", "accepted", n.POTS, "AC-5",
                what="week", reference="AC-5", week_of=WITHOUT_LOOK.isoformat(),
                photo="photo-ac-5",
            ),
            Synced("09:50", n.OFFICE_PHONE),
            Synced("09:55", n.ROOM_PHONE),
        ),
    ),
    Day(
        7,
        date(2031, 11, 24),
        (
            g("08:28", "photographed", n.POTS, **pictures.body("photo-rn-204", "notice RN-204")),
            g(
                "08:30", "released", n.POTS, NOTICE,
                notice=NOTICE, count=241, plants=shares(BEFORE_RELEASE), photo="photo-rn-204",
                shown_earliest="2031-11-23",
            ),
            Synced("08:35", n.OFFICE_PHONE),
            Synced("08:40", n.ROOM_PHONE),
            g_inside("09:00", "entered", n.QUARANTINE, purpose="all out"),
            g_inside("09:02", "entered", n.QUARANTINE, visitor=OFFICER, purpose="officer's bag"),
            g_inside(
                "09:30", "disposed", tuple(IN_THE_BAG), "bag burned",
                what="officer's bag: 7 dead, 5 culled", method="burned", kg=0.7,
                witness=P.name, plants=shares(IN_THE_BAG),
            ),
            *(
                w1(f"10:{10 + 5 * i}", "moved", batch, to=n.SHADE_HOUSE)
                for i, batch in enumerate(n.POTS)
            ),
            g_inside("11:00", "left", n.QUARANTINE, visitor=OFFICER),
            w1("11:30", "emptied", n.QUARANTINE, "emptied", checked_by=P.name),
            g_inside("11:35", "left", n.QUARANTINE),
            g(
                "11:45", "told", n.POTS,
                who=SERVICE, how="e-mail", what="241 moved to the shade house",
            ),
            Synced("11:50", n.ROOM_PHONE),
            Synced("11:55", n.OFFICE_PHONE),
        ),
    ),
    Day(
        7,
        date(2031, 11, 25),
        (
            w1("07:30", "cleaned", n.QUARANTINE, product="water and soap"),
            Synced("11:00", n.ROOM_PHONE),
        ),
    ),
    Day(
        7,
        date(2031, 11, 26),
        (
            w1(
                "10:00", "cleaned", n.QUARANTINE, "disinfected",
                product="peroxide", rate="2 %", contact_minutes=30,
            ),
            Synced("10:30", n.ROOM_PHONE),
        ),
    ),
)  # fmt: skip
