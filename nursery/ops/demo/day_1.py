"""Day 1, Monday 3 March 2031: arrival. No signal in the room; the office types the permit later."""

from datetime import date

from nursery.ops.demo import law, pictures
from nursery.ops.demo import names as n
from nursery.ops.demo.day_0 import g, w1, w2
from nursery.ops.demo.script import Act, Day, Synced, Typed
from nursery.services.demo import G, P

CELLS = 54
FIRST_COUNT = {n.T1: 54, n.T2: 54, n.T3: 54, n.T4: 54, n.T5: 54, n.T6: 48}
BENCH_OF = dict(zip(n.TRAYS, (bench for bench in n.BENCHES for _ in range(2)), strict=True))

_NEW = [
    {
        "id": tray, "label": f"T{i}", "crop": n.FINGER_LIME, "place": BENCH_OF[tray],
        "cells": CELLS, "container": "liner tray", "stated": CELLS, "stage": "quarantine",
    }
    for i, tray in enumerate(n.TRAYS, 1)
]  # fmt: skip


def _counts() -> tuple[Act, ...]:
    return tuple(
        w1(
            f"08:{10 + 3 * i}", "counted", tray, f"first count {tray}",
            method="cells_less_gaps", cells=CELLS, gaps=CELLS - alive, alive=alive, saw=None,
        )
        for i, (tray, alive) in enumerate(FIRST_COUNT.items())
    )  # fmt: skip


ARRIVAL = Day(
    1,
    date(2031, 3, 3),
    (
        w1("06:50", "entered", n.QUARANTINE, purpose="arrival", hygiene=["hands", "boots"]),
        w1("06:50", "entered", n.QUARANTINE, person=G.id, purpose="arrival"),
        w1("06:54", "dosed", n.ANTEROOM, product="copper", percent=1),
        w1(
            "07:30", "received", n.TRAYS, "arrival",
            consignment=law.CONSIGNMENT, batches=_NEW, place=n.QUARANTINE,
            certificate="PC-5521", stated=324, seal="unbroken", boxes=6,
        ),
        w1(
            "07:34", "photographed", n.TRAYS,
            **pictures.body("photo-box-4", "wet corner, box 4"),
        ),
        *_counts(),
        w2("08:38", "entered", n.QUARANTINE, purpose="second count", hygiene=["hands", "boots"]),
        w2(
            "08:40", "counted", n.T6, "second count T6",
            method="full", alive=48, saw=None,
        ),
        w1("09:20", "lost", n.T5, count=4, fate="died", cause="dead on arrival", kept=True),
        w1("09:21", "lost", n.T6, count=3, fate="died", cause="dead on arrival", kept=True),
        w1(
            "09:45", "entered", n.QUARANTINE,
            visitor={"name": P.name, "firm": "Plant Health Service"}, purpose="arrival",
        ),
        w1(
            "09:50", "shown", (n.T5, n.T6),
            to=P.name, plants=[{"id": n.T5, "count": 4}, {"id": n.T6, "count": 3}],
        ),
        w1(
            "09:56", "sampled", (n.T1, n.T2, n.T3, n.T6),
            sample="S-01", plants=4, whole=True, laboratory="Orrin plant laboratory",
        ),
        *(
            w1("09:57", "lost", tray, count=1, fate="sampled", by_auditor=True, cause="S-01")
            for tray in (n.T1, n.T2, n.T3, n.T6)
        ),
        w1("10:20", "left", n.QUARANTINE, visitor={"name": P.name, "firm": "Plant Health Service"}),
        w2("11:10", "left", n.QUARANTINE),
        w1("11:15", "left", n.QUARANTINE),
        w1("11:15", "left", n.QUARANTINE, person=G.id),
        w2("11:30", "disposed", n.QUARANTINE, what="packing", method="burned", kg=14.2),
        w2(
            "11:30", "disposed", (n.T5, n.T6),
            what="dead plants", method="burned", witness=P.name,
            plants=[{"id": n.T5, "count": 4}, {"id": n.T6, "count": 3}],
        ),
        Synced("11:36", n.ROOM_PHONE),
        Synced("11:37", n.SECOND_PHONE),
        Typed("11:40", "permit", law.PERMIT, law.PERMIT_BODY),
        Typed("11:43", "consignment", law.CONSIGNMENT, law.CONSIGNMENT_BODY),
        g(
            "11:45", "told", n.TRAYS,
            who="Plant Health Service", how="e-mail", what="arrival: short 6, 7 dead",
        ),
        Synced("11:46", n.OFFICE_PHONE),
        Synced("12:00", n.ROOM_PHONE),
    ),
)  # fmt: skip
