"""Every rule that a term may state, by the code that it is written with."""

from collections.abc import Mapping

from nursery.domain.terms.release_rules import (
    Consent,
    DaysOff,
    Generations,
    GrowingDays,
    Inspection,
    LabTest,
    MostPlants,
    QualifyingDays,
    RecordsKept,
)
from nursery.domain.terms.room_rules import (
    AllOut,
    GateAge,
    KeptForOfficer,
    Listed,
    LookBack,
    LookOver,
    Notify,
    Reading,
    SampleLevel,
    TrapReading,
    Traps,
)

Rule = (
    GrowingDays
    | Inspection
    | LookOver
    | Traps
    | TrapReading
    | Reading
    | Consent
    | MostPlants
    | LookBack
    | AllOut
    | KeptForOfficer
    | Listed
    | GateAge
    | RecordsKept
    | QualifyingDays
    | Generations
    | SampleLevel
    | LabTest
    | Notify
    | DaysOff
)

RULES: Mapping[str, type] = {
    "growing_days": GrowingDays,
    "inspection": Inspection,
    "look_over": LookOver,
    "traps": Traps,
    "trap_reading": TrapReading,
    "reading": Reading,
    "consent": Consent,
    "most_plants": MostPlants,
    "look_back": LookBack,
    "all_out": AllOut,
    "kept_for_officer": KeptForOfficer,
    "listed": Listed,
    "gate_age": GateAge,
    "records_kept": RecordsKept,
    "qualifying_days": QualifyingDays,
    "generations": Generations,
    "sample_level": SampleLevel,
    "test": LabTest,
    "notify": Notify,
    "days_off": DaysOff,
}

CODES: Mapping[type, str] = {cls: code for code, cls in RULES.items()}
