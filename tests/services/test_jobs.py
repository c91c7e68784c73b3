"""The queue of record: rows, claims and leases, without a worker."""

import threading
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta
from time import monotonic
from typing import Any

import pytest
from celery import Celery
from django.conf import settings
from django.db import connection, transaction
from django.test.utils import CaptureQueriesContext

from config import databases
from config.env import Env
from nursery.services import clock, jobs, periods
from nursery.services.jobs import Job
from nursery.store.models import BeatRow, JobRow, NurseryRow

pytestmark = pytest.mark.django_db


def written(key: str = "a", **changes: Any) -> int:
    jobs.write("mark", key, clock.now())
    rows = JobRow.objects.filter(key=f"mark::{key}")
    rows.update(**changes)
    return rows.get().pk


def claimed(number: int) -> Job:
    job = jobs.claim(number)
    assert job is not None
    return job


def state_of(number: int) -> str:
    return JobRow.objects.get(pk=number).state


def test_a_job_written_twice_is_one_job() -> None:
    jobs.write("mark", "a", clock.now(), {"first": True})
    jobs.write("mark", "a", clock.now(), {"first": False})
    assert [row.params for row in JobRow.objects.all()] == [{"first": True}]


def test_the_same_key_in_another_nursery_is_another_job() -> None:
    row = NurseryRow.objects.create(ident="n-1", name="One", zone="UTC")
    jobs.write("mark", "a", clock.now())
    jobs.write("mark", "a", clock.now(), nursery=row.pk)
    assert JobRow.objects.count() == 2
    assert claimed(JobRow.objects.get(nursery=row).pk).nursery == "n-1"


def test_a_job_is_written_with_the_change_that_asks_for_it_or_not_at_all() -> None:
    with transaction.atomic():
        jobs.write("mark", "a", clock.now())
        transaction.set_rollback(True)
    assert not JobRow.objects.exists()


def test_a_claimed_job_is_nobody_elses() -> None:
    number = written()
    assert jobs.claim(number) is not None
    assert jobs.claim(number) is None


def test_a_job_is_not_claimed_before_it_is_due() -> None:
    number = written(due_at=clock.now() + timedelta(minutes=1))
    assert jobs.claim(number) is None


def test_a_job_that_is_gone_is_claimed_by_nobody() -> None:
    assert jobs.claim(10**9) is None


def test_a_done_job_is_not_done_again() -> None:
    job = claimed(written())
    assert jobs.finish(job)
    assert jobs.claim(job.id) is None
    assert jobs.take_unsent() == []


def test_after_its_lease_a_job_is_claimed_anew_and_the_first_claim_counts_no_more() -> None:
    first = claimed(written())
    JobRow.objects.update(lease_until=clock.unshifted() - timedelta(seconds=1))
    second = claimed(first.id)
    assert second.attempt == 2
    assert not jobs.extend(first)
    assert not jobs.finish(first)
    jobs.fail(first, "too late to say", again=True)
    assert state_of(first.id) == JobRow.RUNNING
    assert jobs.finish(second)
    assert state_of(first.id) == JobRow.DONE


def test_a_failed_job_waits_longer_each_time_and_is_given_up_at_last() -> None:
    number, waits = written(), []
    for _ in range(jobs.MOST_ATTEMPTS):
        JobRow.objects.update(due_at=clock.now())
        jobs.fail(claimed(number), "OSError: the disk is full", again=True)
        waits.append((JobRow.objects.get().due_at - clock.now()).total_seconds())
    assert [round(wait) for wait in waits[:4]] == [10, 20, 40, 80]
    assert max(waits) <= jobs.LONGEST_BACK_OFF.total_seconds()
    assert state_of(number) == JobRow.FAILED
    assert JobRow.objects.get().told == "OSError: the disk is full"


def test_a_failed_job_that_must_not_be_done_twice_ends_at_once() -> None:
    number = written()
    jobs.fail(claimed(number), "nobody answered", again=False)
    assert state_of(number) == JobRow.FAILED


UNSENT = {
    "one that was never sent": ({"sent_at": None}, True),
    "one whose message is old": ({"sent_at": timedelta(minutes=-2)}, True),
    "one whose message is fresh": ({"sent_at": timedelta(0)}, False),
    "one that is not due": ({"sent_at": None, "due_at": timedelta(minutes=1)}, False),
    "one whose lease ran out": (
        {"state": JobRow.RUNNING, "lease_until": timedelta(seconds=-1), "sent_at": None},
        True,
    ),
    "one that is being done": (
        {"state": JobRow.RUNNING, "lease_until": timedelta(minutes=1), "sent_at": None},
        False,
    ),
    "one that was given up": ({"state": JobRow.FAILED, "sent_at": None}, False),
}


@pytest.mark.parametrize(("changes", "is_sent"), UNSENT.values(), ids=UNSENT.keys())
def test_the_sweep_sends(changes: dict[str, Any], *, is_sent: bool) -> None:
    moment = clock.unshifted()
    spans = {
        name: moment + value if isinstance(value, timedelta) else value
        for name, value in changes.items()
    }
    number = written("a", **spans)
    assert jobs.take_unsent() == ([number] if is_sent else [])
    assert jobs.take_unsent() == []


def test_messages_of_a_dead_process_are_forgotten() -> None:
    number = written(sent_at=clock.unshifted())
    assert jobs.in_flight() == 1
    jobs.forget_messages()
    assert (jobs.in_flight(), jobs.take_unsent()) == (0, [number])


def test_jobs_done_long_ago_are_cleared_away_and_no_others() -> None:
    old = clock.unshifted() - timedelta(days=91)
    written("old", state=JobRow.DONE, ended_at=old)
    written("fresh", state=JobRow.DONE, ended_at=clock.unshifted())
    written("given up", state=JobRow.FAILED, ended_at=old)
    jobs.clear_old()
    assert sorted(JobRow.objects.values_list("key", flat=True)) == ["mark::fresh", "mark::given up"]


@pytest.fixture
def absent_broker(monkeypatch: pytest.MonkeyPatch) -> None:
    """A broker's address where nobody answers."""
    queue = databases.queue(Env({"NURSERY_BROKER_URL": "redis://127.0.0.1:9/0"}))
    away = Celery("away", set_as_current=False)
    away.conf.update(queue)
    monkeypatch.setattr(jobs, "current_app", away)
    monkeypatch.setattr(settings, "EMBEDDED_QUEUE", False)


@pytest.mark.django_db(transaction=True)
def test_a_broker_that_is_away_neither_fails_nor_delays_what_asked_for_the_job(
    absent_broker: None,
) -> None:
    begun = monotonic()
    with transaction.atomic():
        jobs.write("mark", "a", clock.now())
    assert monotonic() - begun < 5
    JobRow.objects.update(sent_at=clock.unshifted() - timedelta(minutes=1))
    assert len(jobs.take_unsent()) == 1


@pytest.mark.skipif(connection.vendor != "sqlite", reason="PostgreSQL weighs its rows as it plans")
def test_a_look_reads_what_is_open_and_not_ninety_days_of_jobs() -> None:
    written()
    with CaptureQueriesContext(connection) as asked:
        jobs.take_unsent(), jobs.in_flight(), jobs.is_waiting("mark", 1, clock.now())
    reading = [one["sql"] for one in asked if one["sql"].startswith("SELECT")]
    with connection.cursor() as cursor:
        plans = [cursor.execute(f"EXPLAIN QUERY PLAN {sql}").fetchall() for sql in reading]
    assert len(plans) == 3
    assert all("job_open" in str(plan) for plan in plans[:2])
    assert "SCAN" not in str(plans[2]) or "job_open" in str(plans[2])


class Told:
    """Stands for the broker, and keeps what was sent."""

    def __init__(self) -> None:
        self.waits: list[float | None] = []

    def send_task(self, _name: str, *, countdown: float | None, **_more: Any) -> None:
        self.waits.append(countdown)


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize(
    ("due_in", "waits"), [(-5, [None]), (0, [None]), (20, [20]), (3600, [])], ids=str
)
def test_a_broker_is_told_at_once_of_what_is_due_soon(
    monkeypatch: pytest.MonkeyPatch, due_in: float, waits: list[float | None]
) -> None:
    """The sweep comes every twenty seconds: a pause of one would be one of twenty."""
    told, moment = Told(), clock.now()
    monkeypatch.setattr(jobs, "current_app", told)
    monkeypatch.setattr(settings, "EMBEDDED_QUEUE", False)
    monkeypatch.setattr(clock, "now", lambda: moment)
    monkeypatch.setattr(clock, "unshifted", lambda: moment)
    jobs.write("mark", "a", moment + timedelta(seconds=due_in))
    assert told.waits == waits
    later = moment + timedelta(seconds=max(0, due_in) + 1)
    monkeypatch.setattr(clock, "now", lambda: later)
    monkeypatch.setattr(clock, "unshifted", lambda: later)
    assert len(jobs.take_unsent()) == (0 if waits else 1)


def in_threads(act: Callable[[int], object], threads: int) -> list[object]:
    """Call `act` from several threads that start at one moment, each with its own connection."""
    gate = threading.Barrier(threads)

    def one(number: int) -> object:
        gate.wait()
        try:
            return act(number)
        finally:
            connection.close()

    with ThreadPoolExecutor(threads) as pool:
        return [*pool.map(one, range(threads))]


@pytest.mark.django_db(transaction=True)
def test_of_two_workers_that_claim_one_job_at_once_one_gets_it() -> None:
    for attempt in range(50):
        number = written(str(attempt))
        got = in_threads(lambda _, number=number: jobs.claim(number), 2)  # type: ignore[misc]
        assert sum(job is not None for job in got) == 1


@pytest.mark.django_db(transaction=True)
def test_four_beats_at_once_write_the_jobs_of_a_period_once() -> None:
    NurseryRow.objects.create(ident="n-1", name="One", zone="UTC")
    periods.write_due()
    once = JobRow.objects.count()
    JobRow.objects.all().delete()
    BeatRow.objects.all().delete()
    in_threads(lambda _: periods.write_due(), 4)
    assert JobRow.objects.count() == once
    assert BeatRow.objects.count() == 1
