"""The invented permit of the story, and the nursery's own rules: dated data with their source."""

from typing import Any

from nursery.ops.demo.names import BLACKFLY, CITRUS, FINGER_LIME, QUARANTINE

PERMIT = "cq-118"
CONSIGNMENT = "con-1"
TEXT = "Permit CQ-118"
SINCE = "2031-01-01"


def _term(name: str, rule: str, clause: int, **says: Any) -> dict[str, Any]:
    return {
        "id": f"{PERMIT}-{name}",
        "rule": rule,
        "says": says,
        "since": SINCE,
        "source": f"{TEXT}, condition {clause}",
    }


TERMS = [
    _term("plants", "most_plants", 1, plants=330),
    _term("days", "growing_days", 2, days=180),
    # Without an interval: once a calendar week, Monday to Sunday.
    _term("look", "look_over", 3),
    _term("traps", "traps", 4, m2_per_trap=15, area="floor", per_door=1, per_vent=1),
    _term("trap-reading", "trap_reading", 4, replace_within_days=1),
    _term("inspection-1", "inspection", 5, number=1, active_growth=True),
    _term("inspection-2", "inspection", 5, number=2, most_days_before_release=7),
    # All of them, as the permit says; the level tells what fewer would have shown.
    _term(
        "sample", "sample_level", 5,
        at="inspection", all_plants=True, prevalence=0.05, confidence=0.95,
    ),
    _term("consent", "consent", 6, acts=["potting", "pruning"]),
    _term("back", "look_back", 7),
    _term("all-out", "all_out", 8, empty_hours=7 * 24),
    _term("bag", "kept_for_officer", 9, fates=["died", "culled"]),
    _term("listed", "listed", 10, pests=[BLACKFLY]),
    _term("records", "records_kept", 11, years=3),
]  # fmt: skip

PERMIT_BODY = {
    "reference": "CQ-118",
    "holder": "Veshmere Terraces",
    "authority": "Plant Health Service, district Orrin",
    "valid_from": SINCE,
    "crops": [FINGER_LIME],
    "place": QUARANTINE,
    "terms": TERMS,
    "photo": "photo-cq-118",
}

CONSIGNMENT_BODY = {
    "name": "Finger-lime, March 2031",
    "permit": PERMIT,
    "certificate": "PC-5521",
    "supplier": "Sarrow Citrus Budworks",
    "origin": "Tellaveen",
    "lines": [
        {"id": "con-1-a", "crop": FINGER_LIME, "cultivar": "Ember Pearl", "stated": 324},
    ],
    "arrived_on": "2031-03-03",
}

# The nursery's own: outside citrus is looked at every fortnight, permit or not, and on which days
# of the week the authority issues no paper.
OWN_RULES: dict[str, dict[str, Any]] = {
    "own-citrus": {
        "term": {
            "id": "own-citrus-look",
            "rule": "look_over",
            "says": {"every_days": 14},
            "since": SINCE,
            "source": "House rules of Veshmere Terraces, 3",
        },
        "crops": [CITRUS],
    },
    "service-days": {
        "term": {
            "id": "service-days-off",
            "rule": "days_off",
            "says": {"weekdays": [6, 7]},
            "since": SINCE,
            "source": "Plant Health Service, district Orrin: office days",
        },
    },
}
