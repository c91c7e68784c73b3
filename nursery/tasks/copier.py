"""The thread that copies new lines beside the backups, in each worker's process.

It is apart from the queue: jobs may wait there for minutes behind others, and what was written
meanwhile would be in one place alone.
"""

import logging
import threading
import time

from django.db import Error, connection

from nursery.services import feed_copy

log = logging.getLogger("nursery.jobs")

EVERY_SECONDS = 5.0
# Of many nurseries one look takes longer; so much of the time is spent on looking at most.
MOST_OF_THE_TIME = 0.1


def start() -> None:
    """Copy from now on until this process ends."""
    threading.Thread(target=_copy_for_ever, name="copier", daemon=True).start()


def _copy_for_ever() -> None:
    while True:
        begun = time.monotonic()
        try:
            feed_copy.copy()
        except Error:
            log.exception("the book cannot be read to be copied; trying again")
            connection.close()
        time.sleep(max(EVERY_SECONDS, (time.monotonic() - begun) / MOST_OF_THE_TIME))
