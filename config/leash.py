"""A child process that ends with its parent, even where the parent was killed outright."""

import os
import signal
import threading
import time

PARENT = "NURSERY_CHILD_OF"


def follow_parent() -> None:
    """Stop this process soon after its parent is gone, if it was started by `nursery up`.

    The web server's own child calls it too: its parent is then the web server.
    """
    if PARENT not in os.environ:
        return
    parent = os.getppid()
    threading.Thread(target=_watch, args=(parent,), name="leash", daemon=True).start()


def _watch(parent: int) -> None:
    while os.getppid() == parent:
        time.sleep(0.5)
    os.kill(os.getpid(), signal.SIGTERM)
    time.sleep(15)
    os.kill(os.getpid(), signal.SIGKILL)
