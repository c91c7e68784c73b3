"""What is to be done once in every period, whoever asks and however often."""

from django.db import transaction

from nursery.services import clock, jobs, reminder_send, reminders
from nursery.store.models import BeatRow, NurseryRow

BEAT = "tick"


def write_due() -> None:
    """Write the jobs of the periods that have begun. Two beats at once write each of them once."""
    moment = clock.now()
    day, hour = f"{moment:%Y-%m-%d}", f"{moment:%Y-%m-%dT%H}"
    # A clock that starts elsewhere comes by the same minutes again; the machine's never does.
    minute = f"{clock.unshifted():%Y-%m-%dT%H:%M}"
    nurseries = NurseryRow.objects.values_list("pk", flat=True)
    with transaction.atomic():
        BeatRow.objects.update_or_create(name=BEAT, defaults={"at": clock.unshifted()})
        jobs.write("backup", day, moment)
        jobs.write("old_exports", day, moment)
        jobs.write("limits", day, moment)
        for nursery in nurseries:
            # Each day brings one more day of the outlook; each hour catches a mark that was missed.
            jobs.write("outlook", day, moment, nursery=nursery)
            jobs.write("photos", day, moment, nursery=nursery)
            jobs.write("access", day, moment, nursery=nursery)
            jobs.write("stale", hour, moment, nursery=nursery)
            jobs.write("marks", hour, moment, nursery=nursery)
            # Phones fall silent and backups grow old without a line in the book.
            jobs.write(reminders.PLAN, minute[:-3], moment, nursery=nursery)
        for nursery in reminder_send.waiting(moment):
            jobs.write(reminders.SEND, minute, moment, nursery=nursery)
