"""Wall time and instants: what a clock on the nursery's wall shows, and when that is (rule M-2)."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

MINUTE = timedelta(minutes=1)
FORM = "%Y-%m-%dT%H:%M"


def instant_of(wall: datetime, zone: ZoneInfo) -> datetime:
    """Return the instant in UTC at which a clock in `zone` first shows a wall time.

    An hour that a clock skips begins with the first minute that it shows after it; of an hour that
    it shows twice the first is meant.

    >>> berlin = ZoneInfo("Europe/Berlin")
    >>> instant_of(datetime(2031, 3, 30, 2, 30), berlin).isoformat()
    '2031-03-30T01:00:00+00:00'
    >>> instant_of(datetime(2031, 10, 26, 2, 30), berlin).isoformat()
    '2031-10-26T00:30:00+00:00'
    """
    first = wall.replace(tzinfo=zone, fold=0).astimezone(UTC)
    if wall_of(first, zone) == wall:
        return first
    # The clock skips it: one reading of it lies before the leap, the other after.
    before = wall.replace(tzinfo=zone, fold=1).astimezone(UTC)
    return _leap(before, first, zone)


def _leap(before: datetime, after: datetime, zone: ZoneInfo) -> datetime:
    """Return the first whole minute after the leap that lies between two instants."""
    old = before.astimezone(zone).utcoffset()
    minutes = int((after - before) / MINUTE)
    low, high = 0, minutes
    while high - low > 1:
        middle = (low + high) // 2
        if (before + middle * MINUTE).astimezone(zone).utcoffset() == old:
            low = middle
        else:
            high = middle
    return before + high * MINUTE


def wall_of(instant: datetime, zone: ZoneInfo) -> datetime:
    """Return what a clock in `zone` shows at an instant."""
    return instant.astimezone(zone).replace(tzinfo=None, fold=0)


def minute_after(instant: datetime) -> datetime:
    """Return the first whole minute from an instant on: nothing is told before it is so.

    >>> minute_after(datetime(2031, 3, 3, 7, 0, 0, 1, tzinfo=UTC)).isoformat()
    '2031-03-03T07:01:00+00:00'
    """
    whole = instant.replace(second=0, microsecond=0)
    return whole if whole == instant else whole + MINUTE
