"""Whole workers on the queue in force: nothing lost, nothing done twice, whoever is killed."""

import itertools
import sys
from collections import Counter
from collections.abc import Iterator
from contextlib import ExitStack
from datetime import timedelta
from pathlib import Path

import pytest
from django.conf import settings
from django.db import transaction

from nursery.services import clock, jobs
from nursery.store.models import JobRow
from tests import servers
from tests.product import Process, running, wait_until

JOBS = 200


@pytest.fixture
def traces(tmp_path: Path) -> Path:
    file = tmp_path / "traces"
    file.touch()
    return file


class Workers:
    """Workers that can be killed and started again."""

    def __init__(self, environment: dict[str, str], traces: Path, stack: ExitStack) -> None:
        self.environment, self.traces, self.stack = environment, traces, stack
        self.numbers = itertools.count()

    def start(self) -> Process:
        program = (sys.executable, "-m", "tests.tasks.laborious", str(self.traces))
        log = self.traces.with_name(f"worker-{next(self.numbers)}.log")
        return self.stack.enter_context(running(self.environment, log, program=program))


@pytest.fixture
def workers(other_process: dict[str, str], traces: Path) -> Iterator[Workers]:
    with ExitStack() as stack:
        yield Workers(other_process, traces, stack)


def write(kind: str, key: str, seconds: list[float]) -> None:
    with transaction.atomic():
        jobs.write(kind, key, clock.now(), {"seconds": seconds})


def state_of(kind: str, key: str) -> str:
    return JobRow.objects.get(key=f"{kind}::{key}").state


def test_a_job_whose_worker_was_killed_is_done_by_the_next(workers: Workers, traces: Path) -> None:
    first = workers.start()
    write("mark", "a", [600, 0])
    wait_until(lambda: "begin mark::a 1" in traces.read_text(), why="the first worker begins")
    first.kill()
    workers.start()
    wait_until(lambda: state_of("mark", "a") == JobRow.DONE, why=first.said())
    assert traces.read_text().split("\n")[:-1] == [
        "begin mark::a 1", "begin mark::a 2", "end mark::a 2",
    ]  # fmt: skip


def test_a_job_that_must_not_be_done_twice_is_marked_unknown_when_its_worker_is_killed(
    workers: Workers, traces: Path
) -> None:
    first = workers.start()
    write("once", "a", [600])
    wait_until(lambda: "begin once::a 1" in traces.read_text(), why="the first worker begins")
    first.kill()
    workers.start()
    wait_until(lambda: state_of("once", "a") == JobRow.UNKNOWN, why="the lease runs out")
    assert traces.read_text() == "begin once::a 1\n"


def test_a_job_longer_than_its_lease_is_kept_by_the_worker_that_lives(
    workers: Workers, traces: Path
) -> None:
    workers.start()
    workers.start()
    write("mark", "long", [12])
    wait_until(lambda: state_of("mark", "long") == JobRow.DONE, why="twelve seconds pass")
    assert traces.read_text() == "begin mark::long 1\nend mark::long 1\n"


def test_of_two_hundred_jobs_none_is_lost_and_none_done_twice_while_workers_are_killed(
    workers: Workers, traces: Path
) -> None:
    kills = 5
    hands = [workers.start(), workers.start()]
    for number in range(JOBS):
        write("mark", str(number), [0.03])
    for kill in range(kills):
        at_least = (kill + 1) * JOBS // (kills + 2)
        wait_until(lambda least=at_least: done() >= least, why=f"{done()} done")  # type: ignore[misc]
        hands[kill % 2].kill()
        hands[kill % 2] = workers.start()
    wait_until(lambda: done() == JOBS, why=f"{done()} of {JOBS} done")

    ends = Counter(line.split()[1] for line in traces.read_text().splitlines() if "end" in line)
    twice = [key for key, times in ends.items() if times > 1]
    assert len(ends) == JOBS
    # A worker may die after its act and before the row says so: at most once for each thread of it.
    assert len(twice) <= kills * settings.WORKER_THREADS
    killed_in_between = JobRow.objects.filter(attempts__gt=1).values_list("key", flat=True)
    assert set(twice) <= set(killed_in_between)


def done() -> int:
    return JobRow.objects.filter(kind="mark", state=JobRow.DONE).count()


def test_a_worker_that_is_asked_to_stop_finishes_what_it_has_in_hand(
    workers: Workers, traces: Path
) -> None:
    worker = workers.start()
    write("mark", "a", [2])
    wait_until(lambda: "begin" in traces.read_text(), why="the worker begins")
    assert worker.stop() == 0
    assert state_of("mark", "a") == JobRow.DONE


def test_a_job_written_for_later_is_not_begun_before(workers: Workers, traces: Path) -> None:
    workers.start()
    due_at = clock.now() + timedelta(seconds=4)
    jobs.write("mark", "later", due_at, {"seconds": [0]})
    wait_until(lambda: state_of("mark", "later") == JobRow.DONE, why="it becomes due")
    assert clock.now() >= due_at


@pytest.mark.skipif(settings.EMBEDDED_QUEUE, reason="the embedded queue has no server to lose")
def test_a_broker_that_goes_away_and_comes_back_empty_loses_no_job(
    workers: Workers, traces: Path
) -> None:
    port = servers.free_port()
    with servers.redis(port) as address:
        workers.environment = workers.environment | {"NURSERY_BROKER_URL": address}
        workers.start()
        write("mark", "before", [0])
        wait_until(lambda: state_of("mark", "before") == JobRow.DONE, why="the broker is there")
    for number in range(20):
        write("mark", str(number), [0])
    with servers.redis(port):
        wait_until(lambda: done() == 21, why=f"{done()} of 21 done")
    assert sorted(Counter(traces.read_text().splitlines()).values()) == [1] * 42
