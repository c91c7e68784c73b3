"""Children are started again when they die, less often if they keep dying, and all stop at last."""

import os
import signal
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from config.supervisor import LONGEST_WAIT_SECONDS, LOOK_SECONDS, Child, Supervisor
from tests.product import wait_until

SLEEPER = "import pathlib, os, time; pathlib.Path(f'born-{os.getpid()}').touch(); time.sleep(600)"
# A child with a child of its own, that ignores a polite request.
FAMILY = (
    "import signal, subprocess, sys, time; signal.signal(signal.SIGTERM, signal.SIG_IGN)\n"
    f"subprocess.Popen([sys.executable, '-c', {SLEEPER!r}]); time.sleep(600)"
)


def child(folder: Path, code: str) -> Child:
    return Child("sleeper", (sys.executable, "-c", code), dict(os.environ), folder)


def born(folder: Path) -> set[int]:
    return {int(file.name.split("-")[1]) for file in folder.glob("born-*")}


def alive(number: int) -> bool:
    """Say whether a process runs; one that ended but was not waited for does not."""
    try:
        return Path(f"/proc/{number}/stat").read_text().rsplit(")", 1)[1].split()[0] != "Z"
    except OSError:
        return False


@pytest.fixture
def supervised(tmp_path: Path) -> Iterator[Supervisor]:
    supervisor = Supervisor((child(tmp_path, SLEEPER),))
    thread = threading.Thread(target=supervisor.run)
    thread.start()
    yield supervisor
    supervisor.stop.set()
    thread.join()


def test_a_killed_child_is_started_again(supervised: Supervisor, tmp_path: Path) -> None:
    (first,) = wait_until(lambda: born(tmp_path))
    os.kill(first, signal.SIGKILL)
    wait_until(lambda: len(born(tmp_path)) == 2)
    (second,) = born(tmp_path) - {first}
    assert alive(second)


def test_a_stop_ends_every_child(supervised: Supervisor, tmp_path: Path) -> None:
    (first,) = wait_until(lambda: born(tmp_path))
    supervised.stop.set()
    wait_until(lambda: not alive(first))


def test_a_child_is_started_anew_when_asked(
    supervised: Supervisor, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (first,) = wait_until(lambda: born(tmp_path))
    supervised.restart("sleeper")
    wait_until(lambda: len(born(tmp_path)) == 2)
    assert not alive(first)
    assert "ended with code" not in capsys.readouterr().out


def test_another_child_stays_when_one_is_started_anew(
    supervised: Supervisor, tmp_path: Path
) -> None:
    (first,) = wait_until(lambda: born(tmp_path))
    supervised.restart("somebody else")
    time.sleep(3 * LOOK_SECONDS)
    assert born(tmp_path) == {first}
    assert alive(first)


def test_what_a_killed_child_leaves_behind_is_ended_with_it(tmp_path: Path) -> None:
    parent = child(tmp_path, FAMILY)
    parent.start()
    (orphan,) = wait_until(lambda: born(tmp_path))
    assert parent.process is not None
    parent.process.kill()
    assert wait_until(parent.ended) == -signal.SIGKILL
    wait_until(lambda: not alive(orphan))


def test_a_child_that_does_not_listen_is_ended_after_its_time(tmp_path: Path) -> None:
    parent = child(tmp_path, FAMILY)
    parent.start()
    (grandchild,) = wait_until(lambda: born(tmp_path))
    parent.ask_to_stop()
    parent.make_stop(until=0.0)
    wait_until(lambda: not alive(grandchild))


def test_a_child_that_keeps_dying_is_started_less_and_less_often(tmp_path: Path) -> None:
    dying, waits = child(tmp_path, "raise SystemExit(3)"), []
    for _ in range(3):
        dying.start()
        assert wait_until(dying.ended) == 3
        waits.append(dying.wait)
    assert waits == sorted(waits)
    assert waits[0] < waits[-1] <= LONGEST_WAIT_SECONDS
