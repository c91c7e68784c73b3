"""Python's search for rings of garbage, put off where nearly all values are wanted.

A book of some years is millions of values, all of them wanted, and while they are made the search
goes through those made before, again and again: half of the time. Rings that other threads drop
meanwhile wait for the seconds that this takes.

A process that answers keeps folds, up to a million values without a ring. Python goes through all
of them whenever a quarter more has lived for a while, as what thirty phones send does while it
waits for its turn: a third of a second each time, in which nobody is answered.
"""

import gc
from collections.abc import Iterator
from contextlib import contextmanager
from threading import Lock

_lock = Lock()
_asking = 0
_was_on = True
# New values between two searches among the new; such searches between two among those that passed
# one; and such between two among all. Python's own are 700, 10 and 10.
SELDOM = (20_000, 50, 100)


def seldom() -> None:
    """Search the new values for rings now and then, and hardly ever all of them.

    To be called once a process has loaded what it serves with: that is never searched again.
    """
    gc.set_threshold(*SELDOM)
    gc.collect()
    gc.freeze()


@contextmanager
def put_off() -> Iterator[None]:
    """Search for no rings until everybody who asked for this has ended; then as before."""
    global _asking, _was_on  # noqa: PLW0603  there is one collector in a process
    with _lock:
        if _asking == 0:
            _was_on = gc.isenabled()
            gc.disable()
        _asking += 1
    try:
        yield
    finally:
        with _lock:
            _asking -= 1
            if _asking == 0 and _was_on:
                gc.enable()
