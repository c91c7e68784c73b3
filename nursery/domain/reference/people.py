"""People as rows: who works here, on which tile, with which training and licences."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from nursery.domain.kinds.shape import Count, Name


class Role(StrEnum):
    WORKER = "worker"
    GROWER = "grower"


@dataclass(frozen=True, slots=True)
class Tile:
    """What a person taps to say who they are, where no face is wanted."""

    colour: Name
    shape: Name


@dataclass(frozen=True, slots=True)
class Paper:
    """A training or a licence, as its paper says; its last day is `until`, none where it has none.

    `source` is who gave it, `photo` the id of the picture of the paper.
    """

    what: Name
    number: Name | None = None
    since: date | None = None
    until: date | None = None
    source: Name | None = None
    photo: Name | None = None


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody who works here. A PIN attributes, it does not protect: its hash goes to the phones.

    `pin_hash` is the hex of PBKDF2-HMAC-SHA256 of the PIN over `pin_salt`, with `pin_rounds`. The
    name of somebody who was `erased` on a day is a number, and nothing else of them is kept.
    """

    id: Name
    name: str
    role: Role
    language: str = "en"
    tile: Tile | None = None
    pin_hash: Name | None = None
    pin_salt: Name | None = None
    pin_rounds: Count | None = None
    since: date | None = None
    until: date | None = None
    trainings: tuple[Paper, ...] = ()
    licences: tuple[Paper, ...] = ()
    erased: date | None = None
