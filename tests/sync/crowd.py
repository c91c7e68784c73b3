"""Many at once: threads with database connections of their own, let loose together."""

import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager

from django.db import connection


def together(*acts: Callable[[], None]) -> None:
    """Run each act in a thread of its own, from one starting line; raise what the first raised."""
    line = threading.Barrier(len(acts))
    raised: list[BaseException] = []

    def run(act: Callable[[], None]) -> None:
        try:
            line.wait()
            act()
        except BaseException as error:
            raised.append(error)
        finally:
            connection.close()

    threads = [threading.Thread(target=run, args=(act,)) for act in acts]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    if raised:
        raise raised[0]


@contextmanager
def meanwhile(act: Callable[[], bool]) -> Iterator[None]:
    """Repeat an act in a thread while the block runs, and then until it says that it is done."""
    over = threading.Event()
    raised: list[BaseException] = []

    def run() -> None:
        try:
            while not (act() and over.is_set()):
                over.wait(0.005)
        except BaseException as error:
            raised.append(error)
        finally:
            connection.close()

    thread = threading.Thread(target=run)
    thread.start()
    try:
        yield
    finally:
        over.set()
        thread.join()
    if raised:
        raise raised[0]


def dealt(texts: Sequence[str], size: int) -> list[Sequence[str]]:
    """Return the texts in pushes of `size`."""
    return [texts[start : start + size] for start in range(0, len(texts), size)]
