"""Work that goes on without end beside a test, and must have gone well."""

import threading
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from functools import partial


@contextmanager
def going_on(acts: Iterable[Callable[[], None]], *, between: float = 0.0) -> Iterator[None]:
    """Repeat each act in a thread of its own while the block runs.

    Args:
        between: how long each waits after an act [s].

    Raises:
        AssertionError: at the end, where an act failed; its thread did no more.
    """
    over = threading.Event()
    raised: list[BaseException] = []

    def repeat(act: Callable[[], None]) -> None:
        try:
            while not over.is_set():
                act()
                over.wait(between)
        except BaseException as error:
            raised.append(error)

    threads = [threading.Thread(target=partial(repeat, act)) for act in acts]
    for thread in threads:
        thread.start()
    try:
        yield
    finally:
        over.set()
        for thread in threads:
            thread.join()
    assert raised == []
