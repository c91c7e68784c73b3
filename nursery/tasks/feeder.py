"""The embedded queue's feeder: it hands the rows of the job table to the worker around it."""

import logging
import threading
import time

from django.db import Error, connection

from nursery.services import jobs

log = logging.getLogger("nursery.jobs")

LOOK_SECONDS = 0.05
IDLE_SECONDS = 1.0
FAULT_SECONDS = 2.0
# A job is claimed as it is begun, not as it is handed over, and few wait between the two, so that
# a worker that dies takes little with it.
MOST_IN_FLIGHT = 8


def start() -> None:
    """Feed the worker of this process until it ends. Messages of a former process are gone."""
    threading.Thread(target=_feed, name="feeder", daemon=True).start()


def _feed() -> None:
    while True:
        try:
            jobs.forget_messages()
            _look_for_ever()
        except Error:
            log.exception("the job table cannot be read; trying again")
            connection.close()
            time.sleep(FAULT_SECONDS)


def _look_for_ever() -> None:
    seen, looked = -1, 0.0
    while True:
        version = _data_version()
        if version != seen or time.monotonic() - looked >= IDLE_SECONDS:
            seen, looked = version, time.monotonic()
            # Pushes commit many times a second, and few of them ask for a job.
            room = MOST_IN_FLIGHT - jobs.in_flight() if jobs.is_any_unsent() else 0
            for number in jobs.take_unsent(room) if room > 0 else ():
                jobs.send(number)
        time.sleep(LOOK_SECONDS)


def _data_version() -> int:
    """Return a number that changes when another connection commits; PostgreSQL has none."""
    if connection.vendor != "sqlite":
        return -1
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA data_version")
        return int(cursor.fetchone()[0])
