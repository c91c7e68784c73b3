"""Until when the records of a consignment are kept: so many years after its last event."""

from datetime import date

from nursery.domain.book import Book
from nursery.domain.days import LAST_DAY
from nursery.domain.history import of_book
from nursery.domain.notices import Account
from nursery.domain.terms import RecordsKept, in_force


def kept_until(account: Account, book: Book) -> date | None:
    """Return the day until which its records are kept, by the longest term of its permits.

    It is None where no term says so, and as long as something of the consignment lives: the last
    event is still to come (rule R-7).
    """
    batches = [book.batches[name] for name in account.batches]
    years = [
        rule.years
        for batch in batches
        for origin in book.once(of_book)[batch.id].origins
        if origin.started_on is not None
        for _, rule in in_force(
            book.terms_of(origin.permit), RecordsKept, origin.started_on, LAST_DAY
        )
    ]
    last = max((one.last_at for one in batches if one.last_at is not None), default=None)
    if not years or last is None or not all(batch.closed for batch in batches):
        return None
    day = book.day(last)
    year = min(day.year + max(years), LAST_DAY.year)
    # Of a leap day the day after counts, so that nothing is thrown away too early.
    leap = (day.month, day.day) == (2, 29)
    return date(year, 3, 1) if leap else day.replace(year=year)
