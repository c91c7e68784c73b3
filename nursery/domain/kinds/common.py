"""Bodies about anything: what was not done, what is planned, notes, pictures, undo."""

from dataclasses import dataclass
from datetime import date

from nursery.domain.kinds.shape import Count, Name


@dataclass(frozen=True, slots=True)
class Sheet:
    """It stood on a sheet of paper: who wrote it there, and the picture of the sheet.

    The author of the record is who typed it in (rule I-3).
    """

    by: Name
    photo: Name | None = None


@dataclass(frozen=True, slots=True)
class Skipped:
    """A due check not done, with its reason."""

    check: Name
    reason: str


@dataclass(frozen=True, slots=True)
class Booked:
    """An act that is planned for a day. What is `proposed` is nobody's decision yet.

    `plan` joins what was proposed together. A treatment says with which `product` and by whom, its
    `operator`, where somebody wrote that.
    """

    act: Name
    on: date
    people: Count | None = None
    order: Name | None = None
    proposed: bool = False
    plants: Count | None = None
    plan: Name | None = None
    product: Name | None = None
    operator: Name | None = None


@dataclass(frozen=True, slots=True)
class Noted:
    """Free words. The only kind that carries them, so that they alone can be blanked."""

    text: str
    to: Name | None = None


@dataclass(frozen=True, slots=True)
class Photographed:
    """A picture of a batch, a place or a paper; the file travels by its own way."""

    photo: Name
    sha256: str
    width: Count
    height: Count
    shows: Name | None = None


@dataclass(frozen=True, slots=True)
class Withdrawn:
    """The line that this entry corrects does not count any more."""


@dataclass(frozen=True, slots=True)
class Signed:
    """Done against a gate, or against the `checks` named, on a day; with name and reason."""

    act: Name
    reason: str
    plants: Count | None = None
    checks: tuple[Name, ...] = ()
    on: date | None = None


@dataclass(frozen=True, slots=True)
class Traced:
    """A trace was shown with these figures: somebody asked for it, or it was a drill.

    `of` is what it began with, `reference` the order to hold that followed from it. A drill took
    so many `seconds`, from its start until its page was printed.
    """

    of: tuple[Name, ...]
    positions: Count
    alive: Count
    reserve: Count
    sent: Count
    asked_by: str | None = None
    reason: str | None = None
    reference: Name | None = None
    drill: bool = False
    seconds: Count | None = None


@dataclass(frozen=True, slots=True)
class Unread:
    """A body that this version cannot read: kept, counted, and it opens no gate.

    `why` is `kind` (unknown), `version` (newer) or the path of the field that does not fit.
    """

    why: str
