"""What stands before the first day: settings, people, places, crops, checklists, phones.

Rows by type and id, as they are put through the API. The permit and the consignment are not here:
in the story the goods come before the office has typed them.
"""

import json
from collections.abc import Mapping
from functools import cache
from hashlib import pbkdf2_hmac, sha256
from importlib import resources
from typing import Any

from nursery.ops.demo import names as n
from nursery.ops.demo.law import OWN_RULES
from nursery.ops.demo.terraces import LAYOUTS
from nursery.services import demo

SINCE = "2031-02-28"
PIN_ROUNDS = 100_000

Rows = Mapping[str, Mapping[str, Any]]


def rows() -> Mapping[str, Rows]:
    """Return the rows of the frame: type -> id -> body."""
    return {
        "nursery": {demo.NURSERY: SETTINGS},
        "person": _people(),
        "place": PLACES,
        "crop": CROPS,
        "pest": PESTS,
        "product": PRODUCTS,
        "checklist": CHECKLISTS,
        "due_rule": OWN_RULES,
        "emergency_card": {"card": EMERGENCY_CARD},
        "program": PROGRAMS,
        "site": {"site": SITE},
        "layout": LAYOUTS,
    }


SETTINGS = {
    "name": demo.NAME,
    "zone": demo.ZONE,
    "languages": ["en", "es"],
    "decimal_mark": ".",
    "country": "Caldesh",
    "quick_minutes": 5,
    "planting": [
        {"first": "10-01", "last": "11-15", "set_by": demo.G.id, "set_on": SINCE},
        {"first": "03-01", "last": "03-31", "set_by": demo.G.id, "set_on": SINCE},
    ],
    "since": SINCE,
}


LICENCE = {
    "what": "Plant protection",
    "number": "AL-311",
    "since": "2030-02-01",
    "until": "2033-01-31",
}


@cache
def _people() -> Rows:
    return {one.id: _person(one) for one in demo.PEOPLE if one.pin}


def _person(one: demo.Somebody) -> dict[str, Any]:
    salt = sha256(f"pin {one.id}".encode()).hexdigest()[:32]
    hashed = pbkdf2_hmac("sha256", one.pin.encode(), bytes.fromhex(salt), PIN_ROUNDS)
    return {
        "name": one.name,
        "role": one.part,
        "language": one.language,
        "tile": {"colour": one.colour, "shape": one.shape},
        "pin_hash": hashed.hex(),
        "pin_salt": salt,
        "pin_rounds": PIN_ROUNDS,
        "since": SINCE,
        **({"licences": [LICENCE]} if one is demo.G else {}),
    }


def _place(name: str, kind: str, parent: str | None, **more: Any) -> dict[str, Any]:
    return {"name": name, "kind": kind, "parent": parent, "since": SINCE, **more}


def _inside(name: str, kind: str, **more: Any) -> dict[str, Any]:
    return _place(name, kind, n.QUARANTINE, **more)


PLACES: Rows = {
    n.SITE: _place(demo.NAME, "nursery", None),
    n.OFFICE: _place("Office", "office", n.SITE, walk=1),
    n.QUARANTINE: _place(
        "Quarantine room", "room", n.SITE,
        short="Q", floor_m2=24, bench_m2=15, doors=1, vents=2, walk=9,
        shares=["drip line Q", "lens Q"],
    ),
    n.ANTEROOM: _inside("Anteroom", "anteroom"),
    n.DOOR: _inside("Inner door", "door"),
    n.VENTS[0]: _inside("Vent 1", "vent"),
    n.VENTS[1]: _inside("Vent 2", "vent"),
    **{bench: _inside(f"Bench {i}", "bench", walk=i) for i, bench in enumerate(n.BENCHES, 1)},
    n.TRAP_A: _inside("Trap A", "trap", short="A", trap_at="bench", walk=11),
    n.TRAP_B: _inside("Trap B", "trap", short="B", trap_at="bench", walk=12),
    n.TRAP_DOOR: _inside("Door trap", "trap", short="door", trap_at="door", walk=13),
    n.TRAP_VENT_1: _inside("Vent 1 trap", "trap", short="vent-1", trap_at="vent", walk=14),
    n.TRAP_VENT_2: _inside("Vent 2 trap", "trap", short="vent-2", trap_at="vent", walk=15),
    n.CITRUS_BLOCK: _place("Open citrus", "block", n.SITE, short="OC", walk=3),
    n.SHADE_HOUSE: _place(
        "Shade house", "house", n.SITE,
        short="SH", walk=2, shares=["hose SH", "knives SH"],
    ),
    n.FIELD: _place("Lower terraces", "block", n.SITE, walk=4),
    **{
        terrace: _place(
            f"Terrace {i}", "terrace", n.FIELD, short=f"TR{i}", walk=i,
            holes=holes, shelter_cm=80,
        )
        for terrace, i, holes in zip(n.TERRACES, (3, 4, 5), (72, 72, 70), strict=True)
    },
}  # fmt: skip


def _profile(ident: str) -> dict[str, Any]:
    """Return the grower's copy of what is shipped about a crop."""
    shipped = resources.files("nursery.domain.reference").joinpath("crops.json")
    found = json.loads(shipped.read_text(encoding="utf-8"))
    return next(dict(one) for one in found if one["id"] == ident)


CROPS: Rows = {
    n.FINGER_LIME: {
        "name": "Finger-lime budded trees",
        "botanical": "Citrus australasica",
        "cultivar": "Ember Pearl",
        "pots": [
            {
                "container": n.POT,
                "full_days": 180,
                "per_m2": 18,
                "source": "Records of Veshmere Terraces, 2029 and 2030",
            },
        ],
        "profile": _profile("finger_lime"),
    },
    n.CITRUS: {"name": "Citrus", "botanical": "Citrus"},
    n.PAPAYA: {"name": "Papaya", "botanical": "Carica papaya"},
}


def _step(ident: str, shade: float, *checks: str, **more: Any) -> dict[str, Any]:
    return {"id": ident, "shade_percent": shade, "days": 5, "checks": list(checks), **more}


PROGRAMS: Rows = {
    n.TOUGHENING: {
        "name": "Finger lime, six weeks",
        "steps": [
            _step("shade_70", 70, "scorch", wind="still", water_every_days=1, feed="as before"),
            _step("shade_50", 50, "scorch", wind="sides_open", water_every_days=1, feed="no N"),
            _step("shade_30", 30, "wilt", "roots", wind="lee", water_every_days=2, feed="none"),
            _step(
                "mornings",
                30,
                "scorch",
                sun_hours=5,
                wind="exposed",
                water_every_days=3,
                feed="light K and P",
            ),
            _step("open", 0, "scorch", wind="exposed", water_every_days=3, feed="none"),
        ],
        "source": "House rules of Veshmere Terraces, 7",
        "crops": [n.FINGER_LIME],
        "since": SINCE,
    },
}

SITE = {
    "latitude": -17.2,
    "elevation_m": 420,
    "soil": "loam",
    "hole_cm": 40,
    "root_cm": 25,
    "plants_per_day": 40,
    "cost_plant": 9.5,
    "cost_hour": 4.0,
    "cost_pot": 1.2,
    "currency": "CLD",
    "since": SINCE,
}

PESTS: Rows = {
    n.BLACKFLY: {"name": "Citrus blackfly", "hosts": [n.FINGER_LIME, n.CITRUS]},
    n.THRIPS: {"name": "Thrips"},
    n.GNATS: {"name": "Fungus gnats"},
    n.MEALYBUG: {"name": "Mealybug"},
}


PRODUCTS: Rows = {
    n.OIL_SOAP: {
        "name": "Oil and soap",
        "active": "paraffin oil and soap",
        "registration": "PR-2207",
        "reentry_hours": 12,
        "litres_per_m2": 0.2,
        "licensed": True,
    },
}


def _asked(ident: str, english: str, spanish: str, plants: int | None = None) -> dict[str, Any]:
    says = [{"language": "en", "text": english}, {"language": "es", "text": spanish}]
    return {"id": ident, "says": says, "plants": plants}


WEEKLY = [
    _asked("top_leaves", "Leaves from above", "Hojas por arriba"),
    _asked("under_leaves", "Under the leaves, with the lens", "Debajo de las hojas, con lupa", 4),
    _asked("edge_plants", "Plants at the edge", "Plantas de la orilla", 2),
    _asked("stem_base", "Foot of the stem", "Pie del tallo"),
]

CHECKLISTS: Rows = {
    "weekly": {
        "name": "Weekly look-over of a tray",
        "version": 2,
        "items": WEEKLY,
        "since": SINCE,
    },
    "arrival": {
        "name": "Arrival of goods",
        "version": 1,
        "items": [
            _asked("seal", "Seal unbroken", "Sello entero"),
            _asked("boxes", "Boxes dry and whole", "Cajas secas y enteras"),
            _asked("insects", "Insects on the outside", "Insectos por fuera"),
        ],
        "asked_at": "arrival",
        "since": SINCE,
    },
}

EMERGENCY_CARD = {
    "calls": [
        {"what": "ambulance", "number": "0550 3"},
        {"what": "poison", "number": "0550 77"},
        {"what": "plant_health", "number": "0550 118"},
        {"what": "plant_health_office", "number": "0550 100 20"},
        {"what": "electrician", "number": "0550 204 61", "who": "Harl Ostrey"},
    ],
}
