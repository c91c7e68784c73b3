"""Day 6, Wednesday 13 August 2031: the storm tore the north screen; what the authority orders."""

from datetime import date

from nursery.ops.demo import names as n
from nursery.ops.demo import pictures
from nursery.ops.demo.day_0 import g, w1
from nursery.ops.demo.later_weeks import ordered_look
from nursery.ops.demo.script import Day, Named, Synced, Typed
from nursery.services.demo import W1, G

LOOKS_ON = ("2031-08-13", "2031-08-27", "2031-09-10")

_EXTRA_TRAPS = tuple(
    Typed(
        "06:40", "place", trap,
        {
            "name": f"North trap {i}", "kind": "trap", "parent": n.QUARANTINE, "short": f"n-{i}",
            "trap_at": "bench", "walk": 15 + i, "since": "2031-08-13", "until": "2031-09-15",
        },
    )
    for i, trap in enumerate(n.EXTRA_TRAPS, 1)
)  # fmt: skip

STORM = (
    Day(
        6,
        date(2031, 8, 12),
        (
            w1(
                "16:30", "read", n.QUARANTINE, "last good check",
                readings=[{"what": "air_c", "value": 21.5}], instrument="logger; screens whole",
            ),
            Synced("16:50", n.ROOM_PHONE),
        ),
    ),
    Day(
        6,
        date(2031, 8, 13),
        (
            w1("05:38", "entered", n.QUARANTINE, purpose="storm", hygiene=["hands", "boots"]),
            w1(
                "05:40", "breached", n.QUARANTINE, "tear",
                what="screen", size_cm=35,
                last_good_at="2031-08-12T06:30:00.000Z",
            ),
            w1("05:41", "photographed", n.QUARANTINE, **pictures.body("photo-tear", "the tear")),
            w1(
                "05:55", "repaired", n.QUARANTINE, "patch",
                what="patch tape over the tear", breach=Named("tear"),
            ),
            w1("06:15", "moved", n.T6, to=n.BENCHES[1]),
            *_EXTRA_TRAPS,
            w1("06:45", "left", n.QUARANTINE),
            Synced("06:55", n.ROOM_PHONE),
            g(
                "07:10", "told", (*n.POTS, n.QUARANTINE),
                who="Plant Health Service", how="telephone", reference="IN-12",
                what="north screen torn by the storm, patched at 05:55",
            ),
            g(
                "07:30", "described", n.QUARANTINE, "incident report",
                incident=Named("tear"), reference="IN-12", people=[W1.id, G.id],
                weather="storm from the north, power off",
                gap_from="2031-08-12T12:10:00.000Z", gap_until="2031-08-12T19:45:00.000Z",
                moved="T6 from the north bench to bench 2", extra_traps=3,
            ),
            Synced("07:35", n.OFFICE_PHONE),
            g("08:40", "photographed", n.POTS, **pictures.body("photo-bo-3", "order BO-3")),
            g(
                "08:42", "ordered", (*n.POTS, n.QUARANTINE), "order about the storm",
                act="look", reference="BO-3", looks_on=list(LOOKS_ON),
                not_before=LOOKS_ON[-1], photo="photo-bo-3",
            ),
            Synced("08:45", n.OFFICE_PHONE),
            Synced("08:50", n.ROOM_PHONE),
        ),
    ),
    ordered_look(6, date(2031, 8, 13)),
)  # fmt: skip
