"""Python's search for rings of garbage, put off while a whole book is read and worked out.

A book of some years is millions of values, all of them wanted, and while they are made the search
goes through those made before, again and again: half of the time. Rings that other threads drop
meanwhile wait for the seconds that this takes.
"""

import gc
from collections.abc import Iterator
from contextlib import contextmanager
from threading import Lock

_lock = Lock()
_asking = 0
_was_on = True


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
