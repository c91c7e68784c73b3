"""When each reminder falls and whom it is for, unless the nursery says otherwise (rule M-3).

Every figure is common practice without a source, or a choice of the product; a nursery changes the
days and the hour in its settings.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import time, timedelta
from enum import StrEnum
from types import MappingProxyType

from nursery.domain.reference.rows import USUAL_ENDS

COMMON, OWN = "common", "own"
AT = time(7, 0)
QUIET_FROM, QUIET_TO = time(20, 0), time(6, 30)
# A digest in place of as many messages, or more.
DIGEST_FROM = 3
# Between two messages to one person by one channel, minutes.
GAP_MIN = 15
SILENT_FOR = timedelta(hours=48)
BACKUP_OLD_AFTER = timedelta(hours=36)
BACKUP_AGAIN_AFTER = timedelta(days=7)
MOST_LEAD_DAYS = 365


class To(StrEnum):
    """Whose work it is. Where nobody is a worker, everything is the grower's."""

    WORKER = "worker"
    GROWER = "grower"


@dataclass(frozen=True, slots=True)
class Figure:
    """So many days before the day a thing is due, and for whom; `urgent` wakes a phone at once."""

    lead_days: int
    to: To
    urgent: bool = False
    source: str = COMMON


FIGURES: Mapping[str, Figure] = MappingProxyType(
    {
        "due_look_over": Figure(1, To.WORKER),
        "due_trap": Figure(1, To.WORKER),
        "due_replace_trap": Figure(0, To.WORKER),
        "due_reading": Figure(0, To.WORKER),
        "due_look_elsewhere": Figure(0, To.WORKER, urgent=True),
        "due_ordered_look": Figure(1, To.WORKER),
        "due_toughen": Figure(0, To.WORKER),
        "due_treatment": Figure(1, To.GROWER),
        "due_ordered_destruction": Figure(1, To.GROWER),
        "due_notify": Figure(0, To.GROWER, urgent=True),
        "due_test": Figure(14, To.GROWER),
        "due_other": Figure(1, To.GROWER, source=OWN),
        "reentry_over": Figure(0, To.WORKER, urgent=True, source=OWN),
        "result_overdue": Figure(-1, To.GROWER),
        "permit_ends": Figure(60, To.GROWER),
        "permit_ends_soon": Figure(14, To.GROWER),
        "paper_ends": Figure(USUAL_ENDS, To.GROWER),
        "visit_opens": Figure(14, To.GROWER),
        "visit_closes": Figure(2, To.GROWER),
        "inspection_lapses": Figure(2, To.GROWER),
        "test_lapses": Figure(2, To.GROWER),
        "weeks_open": Figure(14, To.GROWER),
        "weeks_close": Figure(7, To.GROWER),
        "phone_silent": Figure(0, To.GROWER, source=OWN),
        "differences_open": Figure(0, To.GROWER, source=OWN),
        "no_backup": Figure(0, To.GROWER, source=OWN),
    }
)


@dataclass(frozen=True, slots=True)
class Waits:
    """Hours until the next channel is used, and until the grower hears of it (rule M-7)."""

    mail_after_hours: int = 2
    grower_after_hours: int = 4


@dataclass(frozen=True, slots=True)
class Timing:
    """The nursery's own hour of the day, days of lead and waits, where it has some."""

    at: time = AT
    lead_days: Mapping[str, int] = field(default_factory=dict)
    waits: Waits = Waits()

    def lead(self, rule: str) -> timedelta:
        return timedelta(days=self.lead_days.get(rule, FIGURES[rule].lead_days))
