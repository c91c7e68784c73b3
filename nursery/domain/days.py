"""Days that no figure pushes off the calendar, and days on which the authority works."""

from collections.abc import Iterable
from datetime import date, timedelta

from nursery.domain.terms import Term, works_on

# The last day that an entry can name: what somebody typed may ask for more, and a fact is never
# turned down.
LAST_DAY = date(2999, 12, 31)
ONE = timedelta(days=1)
# An authority that works on none of so many days has no day that can be told.
LONGEST_REST = 400


def later(day: date, days: int) -> date:
    """Return the day so many days later, at most the last one of the calendar.

    >>> later(date(2031, 3, 3), 180), later(date(2031, 3, 3), 10**8)
    (datetime.date(2031, 8, 30), datetime.date(2999, 12, 31))
    """
    return min(day, LAST_DAY) + timedelta(days=min(days, (LAST_DAY - min(day, LAST_DAY)).days))


def first_working(terms: Iterable[Term], day: date) -> date | None:
    """Return the first day from `day` on on which the authority works; None where none is near."""
    known = tuple(terms)
    days = (later(day, n) for n in range(LONGEST_REST))
    return next((one for one in days if works_on(known, one)), None)


def last_working(terms: Iterable[Term], first: date, last: date) -> date | None:
    """Return the last day of these on which the authority works, or None."""
    known = tuple(terms)
    days = (last - timedelta(days=n) for n in range((last - first).days + 1))
    return next((one for one in days if works_on(known, one)), None)
