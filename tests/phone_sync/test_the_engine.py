"""The phone's own engine, in Node, against the office as it runs, over a bad link and a restore.

A few seeds here, a hundred in the long run. A seed that fails is named by its test.
"""

import json
import os
import subprocess
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import IO, Any

import pytest

from nursery.domain import fold
from nursery.domain.entry import Entry, read
from nursery.services import backups, clock, engines, people, restore
from nursery.store.scope import scope
from tests import books
from tests.phone_sync.patience import patience
from tests.product import Process, wait_until
from tests.steps import FRONTEND
from tests.sync.doors import NURSERY, open_nursery
from tests.sync.test_kills import Machine

pytestmark = pytest.mark.django_db(transaction=True)

LONG = os.environ.get("NURSERY_TEST_PROFILE") == "long"
SEEDS = range(1, 101 if LONG else 4)
STEPS = 25
LONGEST = 240.0
SUBJECTS = ("b-1", "b-2", "b-3")
PLACE = "r-1"
# What only the phone keeps beside the fold.
BESIDE = {
    *("crop", "consignment", "container", "cells", "one_of_parents", "began_at", "lately"),
}


@pytest.fixture
def machine(other_process: dict[str, str], tmp_path: Path, settings: Any) -> Iterator[Machine]:
    settings.BACKUPS = tmp_path / "backups"
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    open_nursery()
    with ExitStack() as stack:
        yield Machine(other_process, tmp_path, stack)


def tell(engine: IO[str], answer: Any) -> None:
    engine.write(f"{json.dumps(answer)}\n")
    engine.flush()


@contextmanager
def talking(words: list[str]) -> Iterator["subprocess.Popen[str]"]:
    """Run the engine for the length of the block, or until it has been waited for too long."""
    with subprocess.Popen(
        words, cwd=FRONTEND, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as engine:
        try:
            with patience(LONGEST, engine.kill):
                yield engine
        finally:
            engine.kill()


def played(machine: Machine, seed: int) -> dict[str, Any]:
    """Let the engine play a seed, give it what it wants, and return what it tells at the end."""
    process = machine.start()
    words = ["node", "tools/run.js", "src/testing/drive.ts"]
    words += [f"http://127.0.0.1:{machine.port}", str(seed), str(STEPS)]
    backup = None
    with talking(words) as engine:
        assert engine.stdin is not None
        assert engine.stdout is not None
        for number, line in enumerate(engine.stdout):
            told: dict[str, Any] = json.loads(line)
            answer: Any = None
            match told["want"]:
                case "nothing":
                    return told
                case "code":
                    answer, _ = people.invite(NURSERY, f"phone {number}", clock.now())
                case "backup":
                    backup = backups.make()
                case "restore":
                    assert backup is not None
                    process = brought_back(machine, process, backup.file)
                case other:
                    raise AssertionError(other)
            tell(engine.stdin, answer)
    raise AssertionError(f"the engine broke off: {process.said()}")


def brought_back(machine: Machine, process: Process, backup: Path) -> Process:
    """Cut the web process off, put a backup in the place of the book, and start it again."""
    process.kill()
    # As long as the server of the database has not noticed, nothing may be replaced.
    wait_until(lambda: engines.in_force().others() == 0, 30)
    restore.restore(backup, lambda _: None)
    return machine.start()


@pytest.mark.parametrize("seed", SEEDS)
def test_requirements_6_and_7_every_phone_and_the_office_hold_the_same_and_fold_the_same(
    machine: Machine, seed: int
) -> None:
    told = played(machine, seed)
    written = {json.loads(text)["id"]: text for text in told["written"]}
    with scope(NURSERY) as book:
        rows = list(book.entries.order_by("seq").values_list("ident", "text", "set_aside"))
        head = book.head
        assert list(book.kept_raw.all()) == []
        assert [row.n_missing for row in book.installs.all()] == [[], [], []]
    assert len(rows) == len(written)
    assert {ident: text for ident, text, _ in rows} == written
    counting = [read(json.loads(text)) for _, text, aside in rows if not aside]
    for phone in told["phones"]:
        assert set(phone["holds"]) == set(written)
        assert len(phone["holds"]) == len(written)
        assert phone["cursor"] == {"epoch": head.epoch, "seq": head.last_seq}
        assert phone["waiting"] == 0
        assert folded(phone["states"]) == expected(counting)
    assert books.faults() == []


def expected(entries: list[Entry]) -> dict[str, Any]:
    """Return what the office's own fold gives a phone, for every subject that has records."""
    about = {name for entry in entries for name in entry.about}
    batches = {name: fold.batch(name, entries) for name in SUBJECTS if name in about}
    states = {name: batch.phone() for name, batch in batches.items() if batch.began_at is not None}
    places = {name: fold.place(name, entries).phone() for name in about - states.keys()}
    return json.loads(json.dumps({**states, **places}))  # type: ignore[no-any-return]


def folded(states: dict[str, dict[str, Any]]) -> dict[str, Any]:
    return {
        name: {k: v for k, v in state.items() if k not in BESIDE} for name, state in states.items()
    }
