"""The steps of the drill, on the product as it runs, with nothing but its own commands."""

import json
import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Iterator, Mapping
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path

from tests.beside import going_on
from tests.drill import look
from tests.drill.crew import EMAIL, PASSWORD, Office, Worker, joins
from tests.product import Process, answer, running, wait_until
from tests.servers import free_port
from tests.steps import ROOT

# Gives an empty place of the product in a folder, and takes it away with all that is in it.
Places = Callable[[Path], AbstractContextManager[dict[str, str]]]

AT_ONCE = 200
PUSHED_AT_ONCE = 3
BETWEEN_PUSHES = 0.2
PHOTO_EVERY = 5


@dataclass(frozen=True)
class Size:
    """How large the book is, how many phones there are, how long they go on after the backup."""

    entries: int
    phones: int = 4
    seconds: float = 60.0


@dataclass
class Figures:
    """What the drill found. Times in seconds."""

    entries: int = 0  # in the book when it was lost
    since_backup: int = 0  # of these, acknowledged since the backup
    backup_age: float = 0.0
    waited: float = 0.0  # the longest that a record was seen to wait until it was copied
    lacking: int = 0  # acknowledged, and not in the restored book before phones came
    brought: int = 0  # by phones alone: what was lacking, and what was never sent before
    recovery_point: float = 0.0
    typed_lost: int = 0  # lines typed at the office that nobody brings back
    restored: float = 0.0
    verified: float = 0.0
    refolded: float = 0.0
    answered: float = 0.0  # from the start of the restore to the first answered push
    healed: float = 0.0
    lost: int = 0  # of all that was ever acknowledged
    photos: int = 0
    photos_sent_again: int = 0
    faults: list[str] = field(default_factory=list)  # what is not as it was


def command(environment: Mapping[str, str], *words: str, said: str = "") -> tuple[str, float]:
    """Run a command of the product to its end; return what it said and how long it took."""
    begun = time.monotonic()
    done = subprocess.run(
        [sys.executable, "-m", "config", *words],
        env=dict(environment), cwd=ROOT, capture_output=True, text=True, check=False, input=said,
    )  # fmt: skip
    assert done.returncode == 0, f"{words}: {done.stdout}{done.stderr}"
    return done.stdout, time.monotonic() - begun


@contextmanager
def up(environment: Mapping[str, str], log: Path, port: int) -> Iterator[Process]:
    with running(environment, log, "up", "--port", str(port)) as process:
        process.greets()
        wait_until(lambda: answer(f"http://127.0.0.1:{port}/readyz")[0] == 200, why="it is ready")
        yield process


def run(folder: Path, places: Places, size: Size, say: Callable[[str], None]) -> Figures:
    """Run the drill in a folder. What is not as it was is in the `faults` of the figures."""
    drill = Drill(folder, size, say)
    with places(folder / "first") as first:
        before = drill.works_until_it_is_lost(first)
    shutil.rmtree(folder / "first")
    say("The computer and its database are gone; the disk with the backups is left.")
    with places(folder / "second") as second:
        alone, after = drill.comes_back(second)
    drill.compare(before, alone, after)
    return drill.figures


@dataclass
class Drill:
    """What goes on through the loss: the phones, the office's session, the port, the backups."""

    folder: Path
    size: Size
    say: Callable[[str], None]
    figures: Figures = field(default_factory=Figures)
    port: int = field(default_factory=free_port)
    phones: list[Worker] = field(default_factory=list)
    office: Office = field(init=False)
    lost_at: float = 0.0

    @property
    def backups(self) -> Path:
        return self.folder / "backups"

    def works_until_it_is_lost(self, place: dict[str, str]) -> look.Book:
        """Begin a nursery, fill its book, back it up, go on, and end it at once, as by fire."""
        here = place | {"NURSERY_BACKUPS": str(self.backups)}
        words = ("begin", "Veshmere Terraces", "--zone", "Etc/GMT-10", "--grower", "Orla")
        command(here, *words, "--email", EMAIL, said=PASSWORD)
        with up(here, self.folder / "first.log", self.port) as process:
            self._fill()
            said, _ = command(here, "backup")
            self.say(said.strip())
            backed_up_at, at_backup = time.time(), self._acknowledged()
            self._go_on()
            # What no copy holds yet, so that the phones have something to bring back.
            self.phones[0].works(PUSHED_AT_ONCE)
            self.phones[0].push()
            process.kill()
        self.lost_at = time.time()
        self.figures.backup_age = self.lost_at - backed_up_at
        self.figures.entries = self._acknowledged()
        self.figures.since_backup = self.figures.entries - at_backup
        for phone in self.phones:
            phone.works(AT_ONCE // 10, "unsent")  # and some that were never sent
        return look.book(here)

    def _fill(self) -> None:
        self.office = Office(self.port).sign_in()
        self.phones = [joins(self.office, number + 1) for number in range(self.size.phones)]
        begun = time.monotonic()
        for phone in self.phones:
            phone.works(self.size.entries // self.size.phones)
            phone.push_all(AT_ONCE)
        self.say(f"{self.size.entries} entries came in {time.monotonic() - begun:.1f} s.")
        self.phones[0].photographs()

    def _acknowledged(self) -> int:
        return sum(len(phone.acknowledged) for phone in self.phones)

    def _go_on(self) -> None:
        """Have each phone write and push, and the office type, until the time is over.

        However short the time, lines must have been copied once and others have come after.
        """
        with sending(self.phones[1:]):
            until, number = time.monotonic() + self.size.seconds, 0
            copied = _copied(self.backups)
            while time.monotonic() < until or _copied(self.backups) == copied:
                number += 1
                self.phones[0].works(PUSHED_AT_ONCE)
                if number % PHOTO_EVERY == 1:
                    self.phones[0].photographs()
                self.phones[0].push()
                self.office.types_a_product(number)
                self._watch(_copied(self.backups))
                time.sleep(1)

    def _watch(self, copied: int) -> None:
        """Note how long the oldest acknowledged record has been waiting to be copied."""
        now, waiting = time.time(), [0.0]
        for phone in self.phones:
            told = dict(phone.acknowledged)  # before the results: these are written first
            results = dict(phone.results)
            for ident, at in told.items():
                if results[ident]["seq"] > copied:
                    waiting.append(now - at)
        self.figures.waited = max(self.figures.waited, *waiting)

    def comes_back(self, place: dict[str, str]) -> tuple[look.Book, look.Book]:
        """Restore, look everything through, let the phones in; what the book held before and after.

        The drill's own looks are no part of the recovery.
        """
        here = place | {"NURSERY_BACKUPS": str(self.backups)}
        file = max(self.backups.glob("nursery-*.zip"))
        said, self.figures.restored = command(here, "restore", str(file), "--yes")
        self.say(said.strip())
        _, self.figures.verified = command(here, "verify")
        _, self.figures.refolded = command(here, "refold", "--check")
        alone = look.book(here)
        begun = time.monotonic()
        with up(here, self.folder / "second.log", self.port) as process:
            while not self.phones[0].push():
                pass
            before = self.figures.restored + self.figures.verified + self.figures.refolded
            self.figures.answered = before + time.monotonic() - begun
            self._heal()
            self.figures.healed = before + time.monotonic() - begun
            # The new computer has a secret of its own, so people sign in once more.
            Office(self.port).sign_in().types_a_product(9999)
            process.kill()
        return alone, look.book(here)

    def _heal(self) -> None:
        """Let every phone come back: each meets the epoch, sends what is lacking, and pulls."""
        for _ in range(2):
            for phone in self.phones:
                phone.push_all(AT_ONCE)
                phone.push()
            for phone in self.phones:
                phone.pull_all()
        for phone in self.phones:
            self.figures.photos += len(phone.photos)
            self.figures.photos_sent_again += sum(phone.sends(one) for one in phone.photos)

    def compare(self, before: look.Book, alone: look.Book, after: look.Book) -> None:
        """Hold the book after all against the one before, and against what phones were told."""
        told = {ident: at for phone in self.phones for ident, at in phone.acknowledged.items()}
        written = {ident for phone in self.phones for ident in phone.results}
        held = {*after.entries}
        before_it = {ident for ident, at in told.items() if at <= self.lost_at}
        missing = before_it - {*alone.entries}
        self.figures.lacking = len(missing)
        self.figures.brought = len(held - {*alone.entries})
        self.figures.recovery_point = max(
            (self.lost_at - told[one] for one in missing), default=0.0
        )
        self.figures.typed_lost = len({*before.rows} - {*after.rows})
        self.figures.lost = len((told.keys() | {*before.entries}) - held)
        states = [after.states.get(name) == state for name, state in before.states.items()]
        found = {
            "an entry is in the book twice": len(after.entries) != len(held),
            "an entry is lacking, or nobody wrote it": held != written,
            "a state is not what it was": not all(states),
            "a photo is lacking": bool({*before.photos} - {*after.photos}),
            "a phone has something to send": any(phone.queue for phone in self.phones),
            "a phone lacks an entry": any(phone.holds() != held for phone in self.phones),
            "numbers of a phone are said to be missing": bool(
                after.missing_numbers or any(phone.holes for phone in self.phones)
            ),
        }
        said = [*before.faults, *alone.faults, *after.faults]
        self.figures.faults = [*said, *(why for why, true in found.items() if true)]


def sending(phones: list[Worker]) -> AbstractContextManager[None]:
    """Have each phone write and push without end while the block runs."""

    def works(phone: Worker) -> None:
        phone.works(PUSHED_AT_ONCE)
        phone.push()

    return going_on([partial(works, phone) for phone in phones], between=BETWEEN_PUSHES)


def _copied(backups: Path) -> int:
    """Return the number of the last line that was copied whole."""
    files = sorted(backups.glob("lines/*/*.jsonl"))
    lines = files[-1].read_bytes().split(b"\n")[1:-1] if files else []
    return int(json.loads(lines[-1])["number"]) if lines else 0
