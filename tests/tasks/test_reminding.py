"""Whole workers send reminders: by one channel never twice, whoever beats, dies or hears again."""

import sys
from collections import Counter
from collections.abc import Iterator
from contextlib import ExitStack
from datetime import timedelta
from pathlib import Path

import pytest
from django.conf import settings

from nursery.domain.reminders.steps import Attempt
from nursery.services import clock, nurseries, reminder_people, reminder_plan, rows
from nursery.store.models import ReminderAttemptRow, ReminderRow
from nursery.store.scope import scope
from tests.product import Process, running, wait_until

NURSERY = "veshmere"
GROWERS, PERMITS = 5, 3
# Each permit is told of twice: it ends within sixty days, and within fourteen.
REMINDERS = GROWERS * PERMITS * 2


class Workers:
    """Workers, each a beat as well."""

    def __init__(self, environment: dict[str, str], traces: Path, stack: ExitStack) -> None:
        self.environment, self.traces, self.stack, self.number = environment, traces, stack, 0

    def start(self, seconds: float) -> Process:
        words = (sys.executable, "-m", "tests.tasks.reminding", str(self.traces), str(seconds))
        self.number += 1
        log = self.traces.with_name(f"worker-{self.number}.log")
        return self.stack.enter_context(running(self.environment, log, program=words))

    def said(self, word: str) -> Counter[str]:
        """Return what the traces say after a word, and how often."""
        lines = (line.split(maxsplit=1) for line in self.traces.read_text().splitlines())
        return Counter(rest for first, rest in lines if first == word)


@pytest.fixture
def workers(other_process: dict[str, str], tmp_path: Path) -> Iterator[Workers]:
    traces = tmp_path / "traces"
    traces.touch()
    with ExitStack() as stack:
        yield Workers(other_process, traces, stack)


def begin(growers: int = GROWERS, permits: int = PERMITS) -> None:
    """Make a nursery whose permits end soon, without quiet hours and without digests."""
    now = clock.now()
    nurseries.begin(NURSERY, "Veshmere", "UTC")
    for n in range(growers):
        put("person", f"g-{n}", {"name": f"G{n}", "role": "grower"})
    ends = (now + timedelta(days=10)).date().isoformat()
    for n in range(permits):
        put("permit", f"p-{n}", {"reference": f"P-{n}", "holder": "G", "valid_to": ends})
    with scope(NURSERY, write=True) as book:
        wanted = {"quiet_from": "00:00", "quiet_to": "00:00", "digest_from": 100, "gap_minutes": 0}
        reminder_people.put(book, "", wanted)
    reminder_plan.refresh(NURSERY, now)


def put(kind: str, ident: str, body: dict[str, str]) -> None:
    rows.put(NURSERY, rows.Row(kind, ident, None, body), clock.now())


def ended(channel: str) -> int:
    return ReminderAttemptRow.objects.filter(channel=channel, state=Attempt.SENT).count()


def test_two_workers_with_a_beat_each_send_every_reminder_once(workers: Workers) -> None:
    """M-1 and M-9."""
    begin()
    assert ReminderRow.objects.count() == REMINDERS
    for _ in range(2):
        workers.start(0.02)
    wait_until(lambda: ended("push") == REMINDERS, why=f"{ended('push')} sent")
    assert len(workers.said("begin")) == REMINDERS
    assert set(workers.said("begin").values()) == {1}


def test_a_worker_killed_before_the_answer_doubles_nothing_and_the_letter_goes(
    workers: Workers,
) -> None:
    """M-9: what it had begun to push is never pushed again."""
    begin(growers=1, permits=2)
    first = workers.start(600)
    wait_until(lambda: workers.said("begin"), why=first.said() or "the first push begins")
    first.kill()
    [begun] = workers.said("begin")
    workers.start(0)
    wait_until(
        lambda: ReminderAttemptRow.objects.filter(channel="mail", state=Attempt.SENT).exists(),
        why="the lease runs out and the next channel is used",
    )
    everything = workers.said("begin")
    assert set(everything.values()) == {1}
    url = begun.removeprefix("push ")
    assert everything[f"mail {url}"] == 1
    ident = url.rsplit("/", 1)[1]
    states = ReminderAttemptRow.objects.filter(reminder__ident=ident).order_by("pk")
    assert [*states.values_list("channel", "state")] == [("push", "unknown"), ("mail", "sent")]


@pytest.mark.skipif(settings.EMBEDDED_QUEUE, reason="only a broker delivers a message again")
def test_a_slow_push_whose_task_is_delivered_again_goes_out_once(workers: Workers) -> None:
    """M-9, with a `visibility_timeout` of two seconds and a push of twelve."""
    begin(growers=1, permits=1)
    for _ in range(2):
        workers.start(12)
    wait_until(lambda: ended("push") + ended("mail") >= 2, why="both are sent")
    assert max(workers.said("delivered").values()) > 1
    assert set(workers.said("begin").values()) == {1}
