"""What is gone through item by item, in the languages of those who do it."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from nursery.domain.kinds.shape import Count, Name


@dataclass(frozen=True, slots=True)
class Said:
    """A text in one language."""

    language: Name
    text: str


@dataclass(frozen=True, slots=True)
class Asked:
    """One item of a checklist; of each batch so many `plants` are looked at for it, or all."""

    id: Name
    says: tuple[Said, ...]
    plants: Count | None = None


class AskedAt(StrEnum):
    LOOK_OVER = "look_over"
    ARRIVAL = "arrival"


@dataclass(frozen=True, slots=True)
class Checklist:
    """What a look-over, or an arrival, goes through; an entry names the version it was made on."""

    id: Name
    name: str
    version: Count
    items: tuple[Asked, ...]
    asked_at: AskedAt = AskedAt.LOOK_OVER
    since: date | None = None
    until: date | None = None
