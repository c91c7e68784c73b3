"""The rows that papers are typed into: permits, and what came under which certificate."""

from dataclasses import dataclass
from datetime import date

from nursery.domain.kinds.shape import Count, Name
from nursery.domain.terms import Term


@dataclass(frozen=True, slots=True)
class Permit:
    """What the authority allows in and on which conditions; its quantity is a term as well.

    `origin`, `form`, `treatments` and `declaration` are what it wants to read on the certificate.
    """

    id: Name
    reference: str
    holder: str
    authority: str | None = None
    valid_from: date | None = None
    valid_to: date | None = None
    crops: tuple[Name, ...] = ()
    place: Name | None = None
    origin: str | None = None
    form: Name | None = None
    treatments: tuple[str, ...] = ()
    declaration: str | None = None
    terms: tuple[Term, ...] = ()
    photo: Name | None = None


@dataclass(frozen=True, slots=True)
class Line:
    """One cultivar of a consignment; `stated` is the certificate's figure, never a count."""

    id: Name
    crop: Name
    cultivar: str | None = None
    stated: Count | None = None


@dataclass(frozen=True, slots=True)
class Consignment:
    """What came, or will come, under one certificate.

    Without a permit nobody has typed one yet, and no gate opens; `without_conditions` says that
    the plants came under none.
    """

    id: Name
    name: str
    permit: Name | None = None
    without_conditions: bool = False
    certificate: str | None = None
    supplier: str | None = None
    origin: str | None = None
    certificate_on: date | None = None
    form: Name | None = None
    treatments: tuple[str, ...] = ()
    declaration: str | None = None
    lines: tuple[Line, ...] = ()
    arrived_on: date | None = None

    @property
    def stated(self) -> int | None:
        """Plants on the certificate, or None where a line does not say (rule R-2)."""
        figures = [line.stated for line in self.lines]
        return sum(f for f in figures if f is not None) if figures and None not in figures else None
