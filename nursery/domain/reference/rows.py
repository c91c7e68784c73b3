"""The rows of reference data, one frozen dataclass a type.

Dates on a row say from when to when it holds, and one that is over stays (rule R-9); the store
keeps every revision of it.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from nursery.domain.kinds.shape import Count, Name
from nursery.domain.profiles import Profile
from nursery.domain.program import Program
from nursery.domain.reference.checklists import Checklist, Said
from nursery.domain.reference.fields import Area, PestCode, YearDay, Zone
from nursery.domain.reference.growing import SeedLot, Site
from nursery.domain.reference.label_size import LabelSize
from nursery.domain.reference.layouts import Layout
from nursery.domain.reference.papers import Consignment, Permit
from nursery.domain.reference.people import Person
from nursery.domain.reference.pests import USUAL_NOTICED, USUAL_SEEN, Development
from nursery.domain.reference.substances import Substance
from nursery.domain.terms import Term

NO_OPENINGS = Count(0)
USUAL_LABEL = LabelSize()
USUAL_ENDS = Count(60)
USUAL_ACCESS = Count(36)
USUAL_TRAP_LATE = Count(14)


class PlaceKind(StrEnum):
    NURSERY = "nursery"
    OFFICE = "office"
    ROOM = "room"
    ANTEROOM = "anteroom"
    DOOR = "door"
    VENT = "vent"
    BENCH = "bench"
    BED = "bed"
    TRAY_POSITION = "tray_position"
    TRAP = "trap"
    HOUSE = "house"
    BLOCK = "block"
    TERRACE = "terrace"
    ROW = "row"
    STORE = "store"


class TrapAt(StrEnum):
    BENCH = "bench"
    DOOR = "door"
    VENT = "vent"


@dataclass(frozen=True, slots=True)
class Place:
    """A place in the tree of places. `walk` is its turn on a round, counted among its siblings.

    `shares` names the tools and water lines that are used in it, as they are called elsewhere too.
    In a part of the field `holes` plants are planned, behind a shelter row that is to be
    `shelter_cm` high. Who goes in wants the `trainings` named (rule O-5): without them they
    are told, or stay out where `training_stops`. A trap of a block hangs at the position `hangs_at`
    of its layout.
    """

    id: Name
    name: str
    kind: PlaceKind
    parent: Name | None = None
    short: Name | None = None
    floor_m2: Area | None = None
    bench_m2: Area | None = None
    doors: Count = NO_OPENINGS
    vents: Count = NO_OPENINGS
    trap_at: TrapAt | None = None
    hangs_at: Name | None = None
    walk: Count | None = None
    since: date | None = None
    until: date | None = None
    shares: tuple[Name, ...] = ()
    holes: Count | None = None
    shelter_cm: Area | None = None
    trainings: tuple[Name, ...] = ()
    training_stops: bool = False


@dataclass(frozen=True, slots=True)
class Pot:
    """What is known of a crop in one container, by the name that potting writes.

    After `full_days` its roots fill it; `per_m2` of them stand on a square metre of bench.
    """

    container: Name
    source: str
    full_days: Count | None = None
    per_m2: Area | None = None


@dataclass(frozen=True, slots=True)
class Crop:
    """A crop; `called` is what it is called in other languages than that of its name.

    `profile` is the grower's own copy of what is known of it (rule X-2).
    """

    id: Name
    name: str
    botanical: str | None = None
    cultivar: str | None = None
    called: tuple[Said, ...] = ()
    pots: tuple[Pot, ...] = ()
    profile: Profile | None = None
    since: date | None = None
    until: date | None = None


@dataclass(frozen=True, slots=True)
class Pest:
    """A pest; `code` is its EPPO code, where it has one. Permits say whether it is listed.

    `called` is what it is called in other languages than that of its name, `act_from` so many
    captures per trap and day from which something is done. Looking is to notice it where a share
    `noticed` of the plants has it; of those that are looked at a share `seen` is seen to have it.
    """

    id: Name
    name: str
    code: PestCode | None = None
    botanical: str | None = None
    called: tuple[Said, ...] = ()
    hosts: tuple[Name, ...] = ()
    act_from: float | None = None
    noticed: float = USUAL_NOTICED
    seen: float = USUAL_SEEN
    develops: Development | None = None
    since: date | None = None
    until: date | None = None


class Measure(StrEnum):
    MILLILITRES = "mL"
    GRAMS = "g"


@dataclass(frozen=True, slots=True)
class Product:
    """A product for treatments, as its label says. Nobody here says that it may be used.

    Of the mix so many litres go on a square metre, and `per_litre` of the product, measured in
    `unit`, into a litre of it. Between two treatments lie `interval_days` at least. A `licensed`
    one may be used by people with a licence alone; `cautions` is what the label warns of. By its
    `substances`, and whether it is on a list of `low_risk`, its hours are held against the classes.
    """

    id: Name
    name: str
    active: str | None = None
    registration: str | None = None
    reentry_hours: float | None = None
    interval_days: Count | None = None
    litres_per_m2: float | None = None
    per_litre: float | None = None
    unit: Measure = Measure.MILLILITRES
    licensed: bool = False
    cautions: str | None = None
    substances: tuple[Substance, ...] = ()
    low_risk: bool = False
    since: date | None = None
    until: date | None = None


@dataclass(frozen=True, slots=True)
class DueRule:
    """A rule of the nursery's own, for the places and all inside them, and for the crops named."""

    id: Name
    term: Term
    places: tuple[Name, ...] = ()
    crops: tuple[Name, ...] = ()


@dataclass(frozen=True, slots=True)
class Call:
    """A number of the emergency card. `what` is a code that the app has words for, or words.

    Codes: ambulance, poison, fire, plant_health (day and night), plant_health_office, electrician,
    water, grower.
    """

    what: Name
    number: Name
    who: str | None = None


@dataclass(frozen=True, slots=True)
class EmergencyCard:
    id: Name
    calls: tuple[Call, ...]
    photo: Name | None = None


@dataclass(frozen=True, slots=True)
class Weeks:
    """Planting weeks set by hand: from one day of the year to another, both included.

    Of several the first given are the main ones. Who set them, and when, as far as it was told.
    """

    first: YearDay
    last: YearDay
    set_by: Name | None = None
    set_on: date | None = None


class Mark(StrEnum):
    POINT = "."
    COMMA = ","


@dataclass(frozen=True, slots=True)
class Nursery:
    """The nursery's own settings. `zone` is the name of a time zone; days are its days.

    Without `conditions` no plant here is held under a permit, and no screen speaks of one. A tray
    looked over in fewer than `quick_minutes` is shown as quick, and never refused (rule R-5).
    `rain_mm` falls in a usual year. Ends of trainings and licences are told `ends_days` before, and
    who looked at what is kept for `access_months` (rule O-1). A trap of the field that was read
    over `trap_late_days` ago says nothing of today (rule F-19).
    """

    id: Name
    name: str
    zone: Zone
    languages: tuple[str, ...] = ("en",)
    decimal_mark: Mark = Mark.POINT
    country: str | None = None
    planting: tuple[Weeks, ...] = ()
    conditions: bool = True
    quick_minutes: Count | None = None
    rain_mm: float | None = None
    ends_days: Count = USUAL_ENDS
    access_months: Count = USUAL_ACCESS
    trap_late_days: Count = USUAL_TRAP_LATE
    label: LabelSize = USUAL_LABEL
    since: date | None = None


Row = (
    Person
    | Place
    | Crop
    | Pest
    | Product
    | Permit
    | Consignment
    | Checklist
    | DueRule
    | EmergencyCard
    | Nursery
    | Program
    | SeedLot
    | Site
    | Layout
)

TYPES: Mapping[str, type] = {
    "person": Person,
    "place": Place,
    "crop": Crop,
    "pest": Pest,
    "product": Product,
    "permit": Permit,
    "consignment": Consignment,
    "checklist": Checklist,
    "due_rule": DueRule,
    "emergency_card": EmergencyCard,
    "nursery": Nursery,
    "program": Program,
    "seed_lot": SeedLot,
    "site": Site,
    "layout": Layout,
}
