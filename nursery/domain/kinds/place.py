"""Bodies about a place: who went in, what was read, what was broken and mended."""

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from nursery.domain.kinds.common import Sheet
from nursery.domain.kinds.shape import Count, Name


@dataclass(frozen=True, slots=True)
class Visitor:
    name: str
    firm: str | None = None


@dataclass(frozen=True, slots=True)
class Entered:
    person: Name | None = None
    visitor: Visitor | None = None
    purpose: str | None = None
    hygiene: tuple[Name, ...] = ()


@dataclass(frozen=True, slots=True)
class Left:
    person: Name | None = None
    visitor: Visitor | None = None


@dataclass(frozen=True, slots=True)
class Reading:
    """A figure with its unit in its name: `air_c`, `humidity_percent`, `ec_ms_cm`, `ph`."""

    what: Name
    value: float


@dataclass(frozen=True, slots=True)
class Read:
    readings: tuple[Reading, ...]
    instrument: str | None = None
    pots: Count | None = None


@dataclass(frozen=True, slots=True)
class Catch:
    pest: Name
    count: Count


class TrapAnswer(StrEnum):
    READ = "read"
    NOT_READABLE = "not_readable"


@dataclass(frozen=True, slots=True)
class Trapped:
    """One trap read; an empty `catches` of a trap that was read is a true zero."""

    answer: TrapAnswer
    catches: tuple[Catch, ...] = ()
    replaced: bool = False
    why: str | None = None
    check: Name | None = None
    sheet: Sheet | None = None


@dataclass(frozen=True, slots=True)
class Breached:
    what: str
    size_cm: float | None = None
    last_good_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class Repaired:
    what: str
    breach: Name | None = None


@dataclass(frozen=True, slots=True)
class Described:
    """The report of an incident: who worked there, the weather, and when no instrument read."""

    incident: Name
    reference: Name | None = None
    people: tuple[Name, ...] = ()
    weather: str | None = None
    gap_from: datetime | None = None
    gap_until: datetime | None = None
    moved: str | None = None
    extra_traps: Count | None = None


@dataclass(frozen=True, slots=True)
class Cleaned:
    product: str
    rate: str | None = None
    contact_minutes: float | None = None


@dataclass(frozen=True, slots=True)
class Emptied:
    checked_by: Name | None = None


@dataclass(frozen=True, slots=True)
class Readied:
    checked_by: Name | None = None


@dataclass(frozen=True, slots=True)
class Watered:
    """Water given; `failed` says that it should have been and was not."""

    minutes: float | None = None
    litres: float | None = None
    failed: bool = False


@dataclass(frozen=True, slots=True)
class SkyOn:
    """The weather that is expected on one day."""

    on: date
    high_c: float | None = None
    low_c: float | None = None
    wind_kmh: float | None = None
    rain_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Forecast:
    """What somebody else says of the days to come, typed by hand."""

    days: tuple[SkyOn, ...]
    source: str | None = None


@dataclass(frozen=True, slots=True)
class Dosed:
    """Foot bath changed."""

    product: str
    percent: float | None = None
