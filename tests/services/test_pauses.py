"""When the outlook is made anew: at once after a calm, in a crowd now and then, and at the end."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from nursery.domain import outlook as rules
from nursery.domain.season_sheet import readiness
from nursery.services import clock, effects, jobs, log, nurseries, outlook, pauses, season
from nursery.services.installs import Outbox
from nursery.store.models import JobRow, OutlookRow
from nursery.store.scope import scope
from nursery.tasks import registry
from tests.phone import Writer

START = datetime(2031, 9, 1, 2, tzinfo=UTC)
BOX = Outbox(install="i-a", device="d-a")
MOMENT = timedelta(milliseconds=1)

pytestmark = pytest.mark.django_db


class Course:
    """A nursery, one worker, and pushes at given seconds; no time passes by itself.

    Making an outlook takes `took` seconds, in which pushes go on coming. `began` tells at which
    seconds it was begun.
    """

    def __init__(self, pushes: list[float], took: float) -> None:
        self.now = START
        self.coming = [START + timedelta(seconds=one) for one in sorted(pushes)]
        self.took = timedelta(seconds=took)
        self.began: list[float] = []
        self.phone = Writer("a")
        nurseries.begin("veshmere", "Veshmere Terraces", "Etc/GMT-10")
        self.book = OutlookRow.objects.filter(nursery__ident="veshmere")

    def push(self) -> None:
        text = self.phone.write("noted", ["s"], {"text": "x"}, self.now)
        log.receive("veshmere", BOX, [text], self.now)

    def passes(self, until: datetime) -> None:
        """Let time pass, and pushes come that are sent meanwhile."""
        while self.coming and self.coming[0] <= until:
            self.now = self.coming.pop(0)
            self.push()
        self.now = until

    def makes(self, make: Callable[..., Any]) -> Callable[..., Any]:
        """Return what stands for `make`: it begins now and has its end some time later."""

        def made(*args: Any) -> Any:
            self.began.append(round((self.now - START).total_seconds(), 1))
            found = make(*args)
            self.passes(self.now + self.took)
            return found

        return made

    def works(self, seconds: float) -> None:
        """Have the worker do each job as it is due, for so long that `seconds` have passed."""
        end = START + timedelta(seconds=seconds)
        while self.now <= end:
            waiting = JobRow.objects.filter(state=JobRow.NEW, due_at__lte=self.now)
            for row in waiting.order_by("due_at", "pk"):
                job = jobs.claim(row.pk)
                assert job is not None
                registry.KINDS[job.kind].act(job)
                assert jobs.finish(job)
            due = JobRow.objects.filter(state=JobRow.NEW).values_list("due_at", flat=True)
            self.passes(min([*due, *self.coming[:1], end + MOMENT]))

    def is_over(self) -> bool:
        """Say whether the outlook has seen all, and nothing waits any more."""
        with scope("veshmere") as book:
            last = book.head.last_seq
        kept = self.book.get()
        waiting = JobRow.objects.exclude(state=JobRow.DONE)
        return (kept.as_of_seq, kept.stale_from, waiting.count()) == (last, None, 0)


@pytest.fixture
def course(monkeypatch: pytest.MonkeyPatch) -> Callable[..., Course]:
    def begun(pushes: list[float], took: float, *, new: bool = False) -> Course:
        made = Course(pushes, took)
        if not new:
            outlook.materialise("veshmere", START - timedelta(hours=1))
        monkeypatch.setattr(clock, "now", lambda: made.now)
        monkeypatch.setattr(clock, "unshifted", lambda: made.now)
        monkeypatch.setattr(rules, "compose", made.makes(rules.compose))
        return made

    return begun


def without_end(until: float, each: float = 0.5) -> list[float]:
    return [n * each for n in range(round(until / each) + 1)]


TABLE: list[tuple[str, list[float], float, list[float]]] = [
    ("one push", [0], 0.2, [0]),
    ("two pushes with a calm between them", [0, 5], 0.2, [0, 5]),
    ("a second one within the pause", [0, 0.5], 0.2, [0, 2]),
    ("what is cheap rests a second", [0, 0.5], 0, [0, 1]),
    ("one that comes while it is made", [0, 0.3], 0.5, [0, 5]),
    ("a long calm forgets what it cost", [0, 40], 5, [0, 40]),
    ("pushes without end, and it is cheap", without_end(3, 0.2), 0, [0, 1, 2, 3]),
    ("pushes without end", without_end(25), 1, [0, 10, 20, 30]),
    ("pushes without end, and it is dear", without_end(60), 5, [0, 35, 70]),
    ("the last push is seen, however soon the one before was", [0, 0.3, 0.6, 0.9], 0.5, [0, 5]),
]


@pytest.mark.parametrize(
    ("pushes", "took", "began"), [row[1:] for row in TABLE], ids=[row[0] for row in TABLE]
)
def test_the_outlook_is_made_anew(
    course: Callable[..., Course], pushes: list[float], took: float, began: list[float]
) -> None:
    told = course(pushes, took)
    told.works(max(pushes) + 45)
    assert told.began == pytest.approx(began)
    assert told.is_over()


def test_while_pushes_come_it_takes_a_tenth_of_a_processor_at_most(
    course: Callable[..., Course],
) -> None:
    told = course(without_end(60), 0.7)
    told.works(60)
    assert 0.7 * len(told.began) <= 0.1 * 60 + 0.7


def test_a_push_waits_no_longer_than_the_longest_pause(course: Callable[..., Course]) -> None:
    told = course(without_end(200, 1), 20)
    told.works(200)
    gaps = [b - a for a, b in zip(told.began, told.began[1:], strict=False)]
    assert max(gaps) == 20 + pauses.MOST.total_seconds()


def test_a_reader_is_never_made_to_wait_for_the_pause(course: Callable[..., Course]) -> None:
    told = course([0, 0.5], 1)
    told.works(1)
    made = outlook.latest("veshmere", told.now)
    assert made.as_of_seq == 2


def test_a_job_for_what_a_reader_had_made_meanwhile_does_not_make_it_again(
    course: Callable[..., Course],
) -> None:
    """Readers and pushes by turns write no second job beside the one that rests."""
    told = course([0, 1.5, 2.5, 3.5], 1)
    told.works(1.2)
    for _ in range(3):
        told.passes(told.now + timedelta(seconds=0.5))
        outlook.latest("veshmere", told.now)
    assert JobRow.objects.filter(state=JobRow.NEW).count() == 1
    before = len(told.began)
    told.works(20)
    assert len(told.began) == before
    assert told.is_over()


def test_a_mark_without_a_line_of_its_own_asks_for_a_job_too(
    course: Callable[..., Course],
) -> None:
    """As a forecast sets one, when the job for the last line is done already."""
    told = course([0], 0)
    told.works(5)
    with scope("veshmere", write=True) as book:
        effects.outlook_is_stale(book, book.lock_head().last_seq, told.now)
    told.works(10)
    assert len(told.began) == 2
    assert told.is_over()


def test_before_the_first_outlook_a_queue_of_pushes_asks_for_one_job(
    course: Callable[..., Course],
) -> None:
    told = course([0, 0.01, 0.02], 0, new=True)
    told.passes(told.now + timedelta(seconds=1))
    assert JobRow.objects.filter(kind="outlook").count() == 1


def test_a_failed_job_that_waits_for_long_does_not_stand_for_one_that_rests(
    course: Callable[..., Course],
) -> None:
    told = course([0, 1], 0)
    told.passes(told.now)
    JobRow.objects.update(due_at=told.now + timedelta(hours=1))
    outlook.latest("veshmere", told.now)
    told.works(3)
    assert told.began == [0, 1]


def test_a_job_that_is_being_done_is_taken_to_end_now(course: Callable[..., Course]) -> None:
    told = course([], 0)
    with scope("veshmere") as book:
        jobs.write("mark", "a", told.now, nursery=book.key)
        assert jobs.claim(JobRow.objects.get().pk) is not None
        told.now += timedelta(seconds=2)
        assert pauses.over("mark", book.key, told.now) == told.now + timedelta(seconds=18)
        assert pauses.over("other", book.key, told.now) == told.now


def test_a_clock_that_was_set_back_delays_by_no_more_than_the_pause(
    course: Callable[..., Course],
) -> None:
    told = course([0], 0.5)
    told.works(3)
    with scope("veshmere") as book:
        told.now -= timedelta(days=1)
        pause = timedelta(seconds=4.5)
        assert pauses.over("outlook", book.key, told.now) == told.now + pause


def test_forecasts_rest_as_well(
    course: Callable[..., Course], monkeypatch: pytest.MonkeyPatch
) -> None:
    told = course([], 0)
    monkeypatch.setattr(readiness, "of_book", told.makes(readiness.of_book))
    told.took = timedelta(seconds=0.5)
    for n in range(40):
        new = {"id": f"s{n}", "label": f"S{n}", "crop": "lime"}
        text = told.phone.write("sown", [f"s{n}"], {"batch": new, "seeds": 40}, told.now)
        log.receive("veshmere", BOX, [text], told.now)
        told.works((told.now - START).total_seconds() + 0.2)
    seasons = JobRow.objects.filter(kind="season")
    assert 2 <= seasons.count() <= 5
    told.works(60)
    assert told.is_over()
    assert not season.read("veshmere", told.now)["stale"]
