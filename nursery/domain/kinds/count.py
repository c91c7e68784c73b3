"""Bodies about a batch's count, and plants that leave, come back or are kept for the officer."""

from dataclasses import dataclass
from enum import StrEnum

from nursery.domain.kinds.common import Sheet
from nursery.domain.kinds.life import CountMethod
from nursery.domain.kinds.shape import Count, Name


class Fate(StrEnum):
    """How a plant left the living count."""

    DIED = "died"
    CULLED = "culled"
    SAMPLED = "sampled"
    DESTROYED = "destroyed"
    STOLEN = "stolen"


@dataclass(frozen=True, slots=True)
class Counted:
    """What one person saw. An observation, never a change by itself."""

    method: CountMethod
    alive: Count
    cells: Count | None = None
    gaps: Count | None = None


@dataclass(frozen=True, slots=True)
class Lost:
    """Plants that left the living count; `kept` means in the officer's bag.

    `carried` are those of the plants that were out to be planted.
    """

    count: Count
    fate: Fate
    cause: str | None = None
    kept: bool = False
    by_auditor: bool = False
    order: Name | None = None
    carried: bool = False
    sheet: Sheet | None = None


@dataclass(frozen=True, slots=True)
class Settled:
    """A doubt closed with a reason.

    A difference may be put down to a fate: `plants` of it, fewer than none where there are too
    many. Without `plants` it is accepted as it is. `by` is who did what a record tells that was
    written without a PIN, or on another's tile: the doubt is then `unconfirmed:` and its id.
    """

    doubt: str
    reason: str
    plants: int | None = None
    fate: Fate | None = None
    by: Name | None = None


@dataclass(frozen=True, slots=True)
class Share:
    """So many plants of one batch."""

    id: Name
    count: Count


@dataclass(frozen=True, slots=True)
class Sent:
    receiver: Name
    plants: tuple[Share, ...]
    paper: Name | None = None


@dataclass(frozen=True, slots=True)
class Returned:
    sender: Name
    plants: tuple[Share, ...]


@dataclass(frozen=True, slots=True)
class Shown:
    """The officer saw dead or culled plants."""

    to: Name
    plants: tuple[Share, ...]


@dataclass(frozen=True, slots=True)
class Disposed:
    """Waste destroyed; `plants` are those that leave the officer's bag with it."""

    what: Name
    method: Name
    kg: float | None = None
    witness: Name | None = None
    plants: tuple[Share, ...] = ()
