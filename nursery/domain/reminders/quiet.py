"""Quiet hours: what falls in them waits until they end and is never dropped (rule M-4)."""

from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta
from zoneinfo import ZoneInfo

from nursery.domain.reminders.wall import instant_of, wall_of

DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Quiet:
    """From one hour of the wall clock up to another, over midnight where the second is earlier.

    Two equal hours are no quiet hours at all.
    """

    begins: time
    ends: time

    def covers(self, wall: datetime) -> bool:
        """Return whether a clock that shows `wall` shows a quiet hour.

        >>> Quiet(time(20), time(6, 30)).covers(datetime(2031, 3, 3, 6, 29))
        True
        """
        now = wall.time()
        if self.begins <= self.ends:
            return self.begins <= now < self.ends
        return now >= self.begins or now < self.ends

    def moved(self, instant: datetime, zone: ZoneInfo) -> datetime:
        """Return the instant itself, or the end of the quiet hours that it falls in."""
        wall = wall_of(instant, zone)
        if not self.covers(wall):
            return instant
        on = wall.date() if wall.time() < self.ends else wall.date() + DAY
        end = datetime.combine(on, self.ends)
        moved = instant_of(end, zone)
        # Where the clock shows an hour twice, the second end is the one that is still to come.
        again = end.replace(tzinfo=zone, fold=1).astimezone(UTC)
        return moved if moved > instant else max(again, instant)
