"""Day 3, Sunday 4 May 2031: something that nobody here knows, under three leaves of T4-17."""

from datetime import date

from nursery.ops.demo import names as n
from nursery.ops.demo import pictures
from nursery.ops.demo.day_0 import g, w2
from nursery.ops.demo.script import Day, Hand, Named, Synced
from nursery.services.demo import W1, W2, G, P

PHOTOS = ("photo-t4-17-a", "photo-t4-17-b", "photo-t4-17-c")
SERVICE = "Plant Health Service"

g_inside = Hand(n.ROOM_PHONE, G.id)

SUSPICION = Day(
    3,
    date(2031, 5, 4),
    (
        w2("07:10", "entered", n.QUARANTINE, purpose="watering", hygiene=["hands", "boots"]),
        w2("07:14", "watered", n.QUARANTINE, minutes=4),
        w2(
            "07:20", "found", n.T4, "black bodies",
            suspicion=True, symptom="black scale-like bodies", part="leaf underside",
            tag="T4-17", plants=1, per_leaf=9, photos=PHOTOS,
        ),
        *(w2("07:22", "photographed", n.T4, **pictures.body(photo, "T4-17")) for photo in PHOTOS),
        w2("07:38", "left", n.QUARANTINE),
        Synced("07:46", n.SECOND_PHONE),
        g(
            "07:52", "told", n.TRAYS, "emergency call",
            who=SERVICE, how="telephone, every day and hour", what="suspicion in T4",
            reference="EM-77",
        ),
        Synced("07:53", n.OFFICE_PHONE),
        Synced("08:10", n.ROOM_PHONE),
        g_inside("09:25", "entered", n.QUARANTINE, purpose="officer", hygiene=["hands", "boots"]),
        g_inside(
            "09:30", "entered", n.QUARANTINE,
            visitor={"name": P.name, "firm": SERVICE}, purpose="suspicion",
        ),
        g_inside(
            "09:44", "sampled", n.T4, "S-03",
            sample="S-03", plants=1, whole=True, part="whole plant T4-17",
            laboratory="Orrin plant laboratory", found=Named("black bodies"),
        ),
        g_inside(
            "09:45", "lost", n.T4,
            count=1, fate="sampled", by_auditor=True, cause="S-03",
        ),
        g_inside("10:05", "left", n.QUARANTINE, visitor={"name": P.name, "firm": SERVICE}),
        g_inside("10:08", "left", n.QUARANTINE),
        g(
            "10:30", "ordered", (*n.TRAYS, n.QUARANTINE), "hold",
            act="hold", reference="EM-77", photo="photo-em-77", admits=[W1.id, G.id],
        ),
        g("10:34", "noted", n.QUARANTINE, text=f"{W2.name}'s clothes stay inside.", to=W1.id),
        Synced("10:40", n.OFFICE_PHONE),
        Synced("10:50", n.ROOM_PHONE),
        Synced("10:55", n.SECOND_PHONE),
    ),
)  # fmt: skip
