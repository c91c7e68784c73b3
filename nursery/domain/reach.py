"""Which conditions of a permit reach a consignment, and why the others do not, in words."""

from collections.abc import Iterable, Iterator
from datetime import date

from nursery.domain.book import Book
from nursery.domain.history import of_book
from nursery.domain.notices import Account
from nursery.domain.reason import Reason
from nursery.domain.terms import DaysOff, Listed, Term, in_force

# These count from their own date on, whatever the clock (rules T-3, T-5).
BY_DATE = (Listed, DaysOff)


def of_account(account: Account, book: Book, on: date) -> tuple[tuple[Term, Reason], ...]:
    """Return every condition that a consignment came under, each with whether it reaches it (T-6).

    Without an arrival they are told as they would be for plants that come on the day.
    """
    pasts = book.once(of_book)
    origins = [one for name in account.arrived for one in pasts[name].origins]
    began = [one.started_on for one in origins if one.started_on is not None]
    started = min(began, default=on)
    row = book.row("consignment", account.consignment)
    permits = {one.permit for one in origins} | ({row.permit} if row is not None else set())
    terms = [term for permit in sorted(p for p in permits if p) for term in book.terms_of(permit)]
    return tuple(_told(terms, started, on))


def _told(terms: Iterable[Term], started: date, on: date) -> Iterator[tuple[Term, Reason]]:
    every = tuple(terms)
    for term in every:
        dates = {"since": term.since.isoformat(), "started": started.isoformat()}
        always = isinstance(term.rule, BY_DATE)
        if term.since > on and (always or term.reaches_running):
            yield term, Reason("term_to_come", dates)
        elif always:
            yield term, Reason("term_applies", dates)
        elif term.since > started and not term.reaches_running:
            yield term, Reason("term_too_new", dates)
        else:
            standing = {one.id: one for one, _ in in_force(every, type(term.rule), started, on)}
            if term.id in standing:
                yield term, Reason("term_applies", dates)
            else:
                newest = max(one.since for one in standing.values())
                yield term, Reason("term_replaced", {**dates, "by": newest.isoformat()})
