"""The bad days find what they are to find: some seeds here, ten thousand in the long suite."""

import subprocess
import sys
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

import pytest

from nursery.domain.entry import Entry
from tests.long.bad_days import BadDays
from tests.phone import Phone, Server
from tests.steps import ROOT
from tests.sync.machine import Plan
from tests.sync.test_three_phones import PLANTS
from tests.sync.twin import Twin

NOW = datetime(2031, 3, 3, 2, tzinfo=UTC)
MOST = 200


@dataclass
class InMemory:
    """The office of `tests.sync.twin`, quick enough for hundreds of seeds."""

    twin: Twin
    latest: Any = None

    @property
    def now(self) -> datetime:
        return self.twin.now

    @now.setter
    def now(self, now: datetime) -> None:
        self.twin.now = now

    def join(self, name: str, beside: Server | None = None) -> Server:
        return self.twin

    def back_up(self) -> None:
        self.latest = self.twin.back_up()

    def restore(self) -> None:
        self.twin.restore(self.latest)

    def texts(self) -> list[str]:
        return [stored.item.text for stored in self.twin.book.lines]

    def entries(self) -> Iterable[Entry]:
        return self.twin.entries()

    def head(self) -> tuple[str, int]:
        return self.twin.epoch, len(self.twin.book.lines)

    def faults(self) -> list[str]:
        return sorted(self.twin.book.kept_raw)


def play(seed: int, server: type[Twin] = Twin, phone: type[Phone] = Phone) -> BadDays:
    days = BadDays(InMemory(server(NOW)), seed, phone)
    days.play()
    return days


def test_the_same_seed_is_the_same_story() -> None:
    first, again = (play(7) for _ in range(2))
    assert first.done == again.done
    assert [p.writer.written for p in first.phones] == [p.writer.written for p in again.phones]
    assert [air.told for air in first.airs] == [air.told for air in again.airs]


def test_requirement_6_bad_days_in_memory_end_well() -> None:
    done: set[str] = set()
    for seed in range(1, 41):
        done |= {*play(seed).done}
    assert done >= {
        *("well", "lost", "unanswered", "twice", "late", "copied", "died before", "died after"),
        "restored",
    }


@pytest.mark.parametrize(("plan", "harm"), PLANTS.values(), ids=PLANTS.keys())
def test_requirement_6_a_planted_bug_is_found_by_some_seed(plan: Plan, harm: str) -> None:
    """Without this, ten thousand green seeds would prove nothing."""
    assert isinstance(plan.server, type)
    for seed in range(1, MOST):
        try:
            play(seed, plan.server, plan.phone)
        except AssertionError:
            return
    pytest.fail(f"{MOST} seeds passed over it ({harm})")


def test_some_seeds_against_the_application_end_well() -> None:
    """The command itself: an office in its process, and one over sockets behind a bad link."""
    words = [sys.executable, "-m", "tests.long.seeds"]
    words += ["--seeds", "4", "--from", "100", "--live", "1", "--processes", "1"]
    done = subprocess.run(words, cwd=ROOT, capture_output=True, text=True, check=False, timeout=240)
    assert done.returncode == 0, done.stdout + done.stderr
    assert "4 seeds (1 over sockets)" in done.stdout
    assert "0 failed" in done.stdout
