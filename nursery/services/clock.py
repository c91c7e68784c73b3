"""The only clock. The core takes time as an argument; whoever opens a transaction asks here."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from functools import cache

from django.conf import settings


def now() -> datetime:
    """Return the instant in UTC, to the millisecond."""
    shift = _shift()  # first: when asked for the first time, it is fixed by the time of asking
    return _to_the_millisecond(datetime.now(UTC) + shift)


def unshifted() -> datetime:
    """Return the machine's own instant, for what concerns machines alone: leases and beats.

    A shifted clock starts anew with the product, and a lease of the run before would then lie
    in the future.
    """
    return _to_the_millisecond(datetime.now(UTC))


def _to_the_millisecond(instant: datetime) -> datetime:
    return instant.replace(microsecond=instant.microsecond // 1000 * 1000)


def is_shifted() -> bool:
    """Say whether the clock was started elsewhere, so that each screen can say so too."""
    return settings.CLOCK is not None


@cache
def _shift() -> timedelta:
    """Return how far the clock is set off: fixed when first asked, and time runs on from there.

    The processes of one product are told the instant at which the first of them began, so that
    their clocks agree however often one of them is started again.
    """
    if settings.CLOCK is None:
        return timedelta()
    shift: timedelta = settings.CLOCK - (settings.CLOCK_SET_AT or unshifted())
    return shift


def start_at(instant: datetime | None) -> None:
    """Start the clock of this process at an instant, as the setting does; None: the true time.

    For the demo's story and for tests.
    """
    settings.CLOCK, settings.CLOCK_SET_AT = instant, None
    _shift.cache_clear()


@contextmanager
def kept() -> Iterator[None]:
    """Set the clock right again at the end, however it was moved meanwhile."""
    before = settings.CLOCK, settings.CLOCK_SET_AT
    try:
        yield
    finally:
        settings.CLOCK, settings.CLOCK_SET_AT = before
        _shift.cache_clear()
