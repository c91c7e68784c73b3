import subprocess
import sys
from collections.abc import Callable
from datetime import UTC, datetime, timedelta

from nursery.services import clock
from tests.product import plain_environment
from tests.steps import ROOT

ARRIVAL = datetime(2031, 3, 2, 20, 30, tzinfo=UTC)


def test_now_is_utc_to_the_millisecond() -> None:
    moment = clock.now()
    assert moment.tzinfo is UTC
    assert moment.microsecond % 1000 == 0
    assert abs(datetime.now(UTC) - moment) < timedelta(seconds=1)


def test_a_shifted_clock_starts_where_it_is_told_and_runs_on(
    shifted_clock: Callable[[datetime], None],
) -> None:
    shifted_clock(ARRIVAL)
    first = clock.now()
    assert clock.is_shifted()
    assert timedelta() <= first - ARRIVAL < timedelta(seconds=1)
    while clock.now() == first:
        pass
    assert clock.now() > first


def test_leases_and_beats_keep_the_machines_time(
    shifted_clock: Callable[[datetime], None],
) -> None:
    shifted_clock(ARRIVAL)
    assert abs(datetime.now(UTC) - clock.unshifted()) < timedelta(seconds=1)


def test_production_refuses_a_shifted_clock() -> None:
    environment = plain_environment() | {
        "NURSERY_PRODUCTION": "yes",
        "NURSERY_CLOCK": ARRIVAL.isoformat(),
    }
    done = subprocess.run(
        [sys.executable, "-m", "config", "check"],
        env=environment,
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 2
    assert done.stderr.startswith("nursery: NURSERY_CLOCK is '2031-03-02T20:30:00+00:00'.")
