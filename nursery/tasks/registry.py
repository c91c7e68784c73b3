"""Which function does which kind of job."""

from collections.abc import Callable
from dataclasses import dataclass

from nursery.paper import export
from nursery.services import (
    access,
    backups,
    clock,
    exports,
    limits,
    marks,
    outlook,
    photos,
    refold,
    reminder_plan,
    reminder_send,
    season,
)
from nursery.services.jobs import Job


@dataclass(frozen=True)
class Kind:
    """How a kind of job is done.

    Attributes:
        act: the service to call.
        again: whether it may be done again after a worker died on it. Work that only brings the
            book up to date may; what reaches a person outside may not.
    """

    act: Callable[[Job], object]
    again: bool = True


def _outlook(job: Job) -> None:
    """Make the outlook, and keep the reminders in step: what was answered reminds nobody.

    What came while it was made is for the job that was asked for then.
    """
    made = outlook.renewed(job.nursery, clock.now())
    reminder_plan.refresh(job.nursery, clock.now(), made)


KINDS: dict[str, Kind] = {
    "outlook": Kind(_outlook),
    "remind_plan": Kind(lambda job: reminder_plan.refresh(job.nursery, clock.now())),
    # A reminder's attempts are rows of their own, so that the job itself may be done again.
    "remind": Kind(lambda job: reminder_send.run(job.nursery)),
    "season": Kind(lambda job: season.materialise(job.nursery, clock.now())),
    "marks": Kind(lambda job: marks.release_due(job.nursery, clock.now())),
    "stale": Kind(lambda job: refold.stale(job.nursery)),
    photos.KIND: Kind(lambda job: photos.draw(job.nursery, job.params["sha256"])),
    "photos": Kind(lambda job: photos.adopt(job.nursery, clock.now())),
    "access": Kind(lambda job: access.shorten(job.nursery, clock.now())),
    "limits": Kind(lambda _job: limits.clear_old(clock.now())),
    "backup": Kind(lambda _job: backups.make()),
    "export": Kind(lambda job: export.make_next(job.nursery)),
    "old_exports": Kind(lambda _job: exports.clear_old()),
}
