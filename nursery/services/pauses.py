"""Work that follows from the whole book rests between two times, the longer the dearer it is.

While phones push without end, an outlook that is made anew as soon as it is stale takes as much of
the processors as taking in does. So what was just made waits: ten times as long as making it took,
counted from its beginning to the next one's. It takes a tenth of a processor at most then, up to
the longest pause; and a push after a calm has all that follows from it at once.
"""

from datetime import datetime, timedelta

from nursery.services import clock, jobs

LEAST = timedelta(seconds=1)
MOST = timedelta(seconds=30)
# Common practice, no source: so many times as long as the work took is the pause after it.
TIMES = 9


def after(took: timedelta) -> timedelta:
    """Return how long work rests that took so long the last time.

    >>> [after(timedelta(seconds=took)).total_seconds() for took in (0, 0.05, 0.5, 2, 60)]
    [1.0, 1.0, 4.5, 18.0, 30.0]
    """
    return min(max(LEAST, TIMES * took), MOST)


def over(kind: str, nursery: int, now: datetime) -> datetime:
    """Return when a nursery's next job of a kind is due: `now`, or when its pause is over."""
    span = jobs.last_span(kind, nursery)
    if span is None:
        return now
    began, ended = span
    moment = clock.unshifted()
    end = moment if ended is None else ended
    pause = after(end - began)
    # A machine's clock that was set back would have it wait for hours.
    return now + min(max(timedelta(), end + pause - moment), pause)
