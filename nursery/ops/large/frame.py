"""What stands in a large book from the first day: settings, people, places, crops, conditions."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from hashlib import pbkdf2_hmac, sha256
from typing import Any

from nursery.ops.large.act import BEGINS, ZONE, Typed, instant

NAMES = (
    "Tarn Ledge", "Orrel Shade", "Quillmere Beds", "Brackenholt", "Sondry Steps", "Velloe Flats",
    "Hask Hollow", "Dunmarrow", "Ferrin Laths", "Ostrel Rise", "Pellin Gate", "Wendle Bank",
)  # fmt: skip
GIVEN = ("Ano", "Bresa", "Ciro", "Dalla", "Emro", "Fenna", "Gavo", "Hesta", "Irro", "Jolda")
FAMILY = ("Tarrow", "Velmi", "Osk", "Brenno", "Quade", "Sirrel", "Mondo", "Harl", "Pesko", "Lunde")
OFFICER = "Teska Orvall"
SERVICE = "Plant Health Service, district Mardle"
SUPPLIERS = ("Sarrow Budworks", "Nettel Stock", "Corvane Seed", "Ilden Liners", "Praske Grafts")
RECEIVERS = ("Upper Veld", "Coldbrook", "Marl End", "Staverne", "Low Tarrow", "Fallow Hill")
CROPS = {
    "finger-lime": ("Finger-lime budded trees", "Citrus australasica", "FL"),
    "citrus": ("Citrus", "Citrus", "CT"),
    "papaya": ("Papaya", "Carica papaya", "PA"),
    "pigeon-pea": ("Pigeon pea", "Cajanus cajan", "PP"),
}
PESTS = {"thrips": "Thrips", "fungus-gnats": "Fungus gnats", "mealybug": "Mealybug"}
ITEMS = ("top_leaves", "under_leaves", "edge_plants", "stem_base")
PROGRAM = "toughening"
SHADES = (70, 50, 30, 30, 0)

PIN, PIN_ROUNDS = "4061", 100_000
PASSWORD = "shade-cloth-by-the-roll"  # noqa: S105  of an invented book, and told when it is made
SINCE = BEGINS.isoformat()
COLOURS = ("blue", "green", "orange", "red", "purple", "yellow")
SHAPES = ("triangle", "circle", "square", "star", "diamond")

SITE, OFFICE, FIELD, GROWER = "site", "office", "field", "p-1"
# What a week of a room or a house writes, and so how many lives fit into one.
LIVES_A_ROOM, MOST_ROOMS, TRAPS, BENCHES = 4, 12, 2, 3
ENTRIES_A_WORKER, LEAST_WORKERS, MOST_WORKERS = 15_000, 2, 14


@dataclass(frozen=True, slots=True)
class House:
    """One nursery: its name, and how many people, rooms and houses its work wants."""

    ident: str
    name: str
    workers: int
    rooms: int
    years: int

    @property
    def people(self) -> tuple[str, ...]:
        """The grower and then the workers."""
        return tuple(f"p-{n}" for n in range(1, self.workers + 2))

    @property
    def email(self) -> str:
        return f"grower@{self.ident}.example"


def house(number: int, entries: int, years: int) -> House:
    """Return nursery `number`, counted from 0, of so many entries over so many years."""
    turn, place = divmod(number, len(NAMES))
    name = NAMES[place] + (f" {turn + 1}" if turn else "")
    a_year = entries / years
    workers = min(MOST_WORKERS, LEAST_WORKERS + round(a_year / ENTRIES_A_WORKER))
    rooms = max(1, min(MOST_ROOMS, round(a_year / 2000 / LIVES_A_ROOM)))
    return House(name.lower().replace(" ", "-"), name, workers, rooms, years)


def rows(at: House) -> Iterator[Typed]:
    """Yield the rows of the first morning."""
    found = (
        ("nursery", at.ident, _settings(at)),
        *(("person", one, _person(number)) for number, one in enumerate(at.people)),
        *(("place", ident, body) for ident, body in _places(at)),
        *(("crop", one, {"name": a, "botanical": b}) for one, (a, b, _) in CROPS.items()),
        *(("pest", one, {"name": name}) for one, name in PESTS.items()),
        ("product", "oil-soap", _product()),
        ("checklist", "weekly", _checklist()),
        ("program", PROGRAM, _program()),
        ("site", "site", {"latitude": -17.2, "elevation_m": 420, "since": SINCE}),
        *(("permit", permit_of(BEGINS.year + n), _permit(at, n)) for n in range(at.years + 1)),
    )
    for second, (kind, ident, body) in enumerate(found):
        yield Typed(instant(BEGINS, 6 * 60) + timedelta(seconds=second), ident, kind, body)


def _settings(at: House) -> dict[str, Any]:
    weeks = [{"first": first, "last": last} for first, last in PLANTING]
    return {
        "name": at.name, "zone": ZONE, "languages": ["en", "es"], "planting": weeks,
        "quick_minutes": 2, "since": SINCE,
    }  # fmt: skip


# The weeks in which plants go out, by the days of any year.
PLANTING = (("03-01", "03-31"), ("10-01", "11-15"))


def name_of(number: int) -> str:
    """Return the name of person `number` of a nursery, counted from 0.

    >>> name_of(0), name_of(1)
    ('Ano Tarrow', 'Bresa Brenno')
    """
    return f"{GIVEN[number % 10]} {FAMILY[(3 * number + number // 10) % 10]}"


def _person(number: int) -> dict[str, Any]:
    salt = sha256(f"pin {number}".encode()).hexdigest()[:32]
    hashed = pbkdf2_hmac("sha256", PIN.encode(), bytes.fromhex(salt), PIN_ROUNDS)
    return {
        "name": name_of(number),
        "role": "grower" if number == 0 else "worker",
        "language": "es" if number % 3 == 1 else "en",
        "tile": {"colour": COLOURS[number % 6], "shape": SHAPES[number % 5]},
        "pin_hash": hashed.hex(),
        "pin_salt": salt,
        "pin_rounds": PIN_ROUNDS,
        "since": SINCE,
    }


def _places(at: House) -> Iterator[tuple[str, dict[str, Any]]]:
    yield SITE, _place(at.name, "nursery", None)
    yield OFFICE, _place("Office", "office", SITE, walk=1)
    for room in range(1, at.rooms + 1):
        name = f"room-{room}"
        sizes = {"floor_m2": 24, "bench_m2": 15, "doors": 1, "vents": 1}
        yield name, _place(f"Room {room}", "room", SITE, short=f"R{room}", walk=room, **sizes)
        for n in range(1, BENCHES + 1):
            yield f"{name}-b{n}", _place(f"Room {room}, bench {n}", "bench", name, walk=n)
        for n in range(1, TRAPS + 1):
            trap = _place(f"Room {room}, trap {n}", "trap", name, short=f"R{room}-{n}", walk=n)
            yield f"{name}-t{n}", trap | {"trap_at": "bench" if n > 1 else "door"}
    for number in range(1, at.rooms + 1):
        house = _place(f"Shade house {number}", "house", SITE, short=f"S{number}", walk=20 + number)
        yield f"house-{number}", house
    yield FIELD, _place("Field", "block", SITE, walk=90)


def _place(name: str, kind: str, parent: str | None, **more: Any) -> dict[str, Any]:
    return {"name": name, "kind": kind, "parent": parent, "since": SINCE, **more}


def _product() -> dict[str, Any]:
    return {"name": "Oil and soap", "active": "paraffin oil and soap", "reentry_hours": 12}


def _checklist() -> dict[str, Any]:
    says = {
        "top_leaves": ("Leaves from above", "Hojas por arriba"),
        "under_leaves": ("Under the leaves, with the lens", "Debajo de las hojas, con lupa"),
        "edge_plants": ("Plants at the edge", "Plantas de la orilla"),
        "stem_base": ("Foot of the stem", "Pie del tallo"),
    }
    items = [
        {"id": item, "says": [{"language": "en", "text": en}, {"language": "es", "text": es}]}
        for item, (en, es) in says.items()
    ]
    return {"name": "Weekly look-over of a tray", "version": 1, "items": items, "since": SINCE}


def _program() -> dict[str, Any]:
    steps = [
        {"id": f"step_{n}", "shade_percent": shade, "days": 5, "checks": ["scorch"]}
        for n, shade in enumerate(SHADES, start=1)
    ]
    steps[3] |= {"sun_hours": 5}
    return {"name": "Six weeks to the sun", "steps": steps, "source": "House rules, 7"}


def permit_of(year: int) -> str:
    """Return the permit of a year's goods."""
    return f"qp-{year}"


def _permit(at: House, number: int) -> dict[str, Any]:
    year = BEGINS.year + number
    ident = permit_of(year)

    def term(name: str, rule: str, **says: Any) -> dict[str, Any]:
        about = {"since": date(year, 1, 1).isoformat(), "source": f"Permit {ident.upper()}"}
        return {"id": f"{ident}-{name}", "rule": rule, "says": says, **about}

    return {
        "reference": ident.upper(),
        "holder": at.name,
        "authority": SERVICE,
        "terms": [
            term("days", "growing_days", days=180),
            term("look", "look_over"),
            term("traps", "traps", m2_per_trap=15, area="floor", per_door=1, per_vent=1),
            term("read", "trap_reading", replace_within_days=3),
            term("first", "inspection", number=1, active_growth=True),
            term("last", "inspection", number=2, most_days_before_release=7),
        ],
    }
