"""The terms of a permit or of the nursery's own rules: data with a date and a source.

No number of the trade stands in code. A term says since when it holds, from which text it comes,
and whether it reaches consignments whose clock runs already; `in_force` picks what applies.
"""

from nursery.domain.terms.force import in_force, listed, works_on
from nursery.domain.terms.release_rules import (
    Consent,
    Cutoff,
    DaysOff,
    Generations,
    GrowingDays,
    Inspection,
    LabTest,
    Method,
    MostPlants,
    QualifyingDays,
    RecordsKept,
)
from nursery.domain.terms.room_rules import (
    AllOut,
    Area,
    Event,
    GateAge,
    KeptForOfficer,
    Listed,
    LookBack,
    LookOver,
    Notify,
    Reading,
    Rounding,
    SampledAt,
    SampleLevel,
    TrapReading,
    Traps,
)
from nursery.domain.terms.rules import CODES, RULES, Rule
from nursery.domain.terms.term import Term, read

__all__ = [
    "CODES",
    "RULES",
    "AllOut",
    "Area",
    "Consent",
    "Cutoff",
    "DaysOff",
    "Event",
    "GateAge",
    "Generations",
    "GrowingDays",
    "Inspection",
    "KeptForOfficer",
    "LabTest",
    "Listed",
    "LookBack",
    "LookOver",
    "Method",
    "MostPlants",
    "Notify",
    "QualifyingDays",
    "Reading",
    "RecordsKept",
    "Rounding",
    "Rule",
    "SampleLevel",
    "SampledAt",
    "Term",
    "TrapReading",
    "Traps",
    "in_force",
    "listed",
    "read",
    "works_on",
]
