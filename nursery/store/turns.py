"""Whoever asked first writes first, on a database with one writer.

SQLite has those who wait for its lock ask again after ever longer sleeps, and lets in whoever
happens to be awake: a push may wait twice as long as the one behind it, and the lock lies idle in
between. So the threads of a process stand in a line for it. Other processes are waited for by
SQLite as before.
"""

from collections import deque
from collections.abc import Iterator
from contextlib import contextmanager
from threading import Event, Lock, local

from django.db import connection, transaction

# As long as a connection waits for the lock itself (`config.databases`).
PATIENCE_S = 20.0


class Line:
    """A lock that is handed on in the order of asking."""

    def __init__(self) -> None:
        self._guard = Lock()
        self._waiting: deque[Event] = deque()
        self._taken = False

    def enter(self, seconds: float) -> bool:
        """Wait for one's turn; False where it did not come so soon."""
        with self._guard:
            if not self._taken:
                self._taken = True
                return True
            mine = Event()
            self._waiting.append(mine)
        if mine.wait(seconds):
            return True
        with self._guard:
            if mine.is_set():  # it came in this very moment
                return True
            self._waiting.remove(mine)
            return False

    def leave(self) -> None:
        """Hand the turn on."""
        with self._guard:
            if self._waiting:
                self._waiting.popleft().set()
            else:
                self._taken = False


_writers = Line()
_this_thread = local()


@contextmanager
def writing() -> Iterator[None]:
    """Write in one transaction, committed at the end, once it is this thread's turn.

    Within a transaction it is a part of that.
    """
    with alone(), transaction.atomic():
        yield


@contextmanager
def alone() -> Iterator[None]:
    """Wait for the turn to write one statement.

    Whoever has it, or is in a transaction, does not wait.
    What is done right after a commit may write as well: then the turn is still held. Whoever waited
    too long goes to the database out of turn, and hears from it.
    """
    had = connection.in_atomic_block or getattr(_this_thread, "has_turn", False)
    if had or connection.vendor != "sqlite" or not _writers.enter(PATIENCE_S):
        yield
        return
    _this_thread.has_turn = True
    try:
        yield
    finally:
        _this_thread.has_turn = False
        _writers.leave()
