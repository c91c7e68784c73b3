"""Children that run for as long as the product does: started, watched, restarted, stopped."""

import os
import signal
import subprocess
import threading
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from time import monotonic

LOOK_SECONDS = 0.1
FIRST_WAIT_SECONDS = 0.2
LONGEST_WAIT_SECONDS = 10.0
CALM_SECONDS = 30.0
STOP_SECONDS = 15.0


@dataclass
class Child:
    """One process, and when it may be started again.

    Each child leads a group of its own: Ctrl-C in a terminal then reaches the supervisor alone,
    and what a killed child leaves behind can be ended with it.
    """

    name: str
    words: tuple[str, ...]
    environment: Mapping[str, str]
    folder: Path
    process: subprocess.Popen[bytes] | None = None
    started: float = 0.0
    start_again: float = 0.0
    wait: float = FIRST_WAIT_SECONDS
    to_restart: bool = False

    def start(self) -> None:
        self.started = monotonic()
        self.process = subprocess.Popen(  # noqa: S603  no shell, and the words are our own
            self.words,
            env={**self.environment},
            cwd=self.folder,
            stdin=subprocess.DEVNULL,
            process_group=0,
        )

    def ended(self) -> int | None:
        """Return the exit code of a child that has just ended, after ending what it left behind."""
        if self.process is None or self.process.poll() is None:
            return None
        code = self.process.returncode
        self._end_group(signal.SIGKILL)
        self.process = None
        ran = monotonic() - self.started
        self.wait = (
            FIRST_WAIT_SECONDS if ran > CALM_SECONDS else min(self.wait * 2, LONGEST_WAIT_SECONDS)
        )
        self.start_again = monotonic() + self.wait
        return code

    def ask_to_stop(self) -> None:
        if self.process is not None:
            self.process.send_signal(signal.SIGTERM)

    def make_stop(self, until: float) -> None:
        """Wait for the child until that moment, then end its group."""
        if self.process is None:
            return
        with suppress(subprocess.TimeoutExpired):
            self.process.wait(max(0.0, until - monotonic()))
        self._end_group(signal.SIGKILL)
        self.process.wait()
        self.process = None

    def _end_group(self, number: signal.Signals) -> None:
        if self.process is not None:
            with suppress(ProcessLookupError):
                os.killpg(self.process.pid, number)


@dataclass
class Supervisor:
    """Keep the children running until `stop` is set."""

    children: tuple[Child, ...]
    stop: threading.Event = field(default_factory=threading.Event)

    def run(self) -> None:
        try:
            for child in self.children:
                child.start()
            while not self.stop.wait(LOOK_SECONDS):
                for child in self.children:
                    self._look_after(child)
        finally:
            self._stop_all()

    def restart(self, name: str) -> None:
        """Have a child stop as it does at the end, and start it again; from any thread."""
        for child in self.children:
            child.to_restart = child.to_restart or child.name == name

    def _look_after(self, child: Child) -> None:
        if child.to_restart:
            child.to_restart = False
            child.ask_to_stop()
            child.make_stop(monotonic() + STOP_SECONDS)
            child.start_again = 0.0
        code = child.ended()
        if code is not None:
            print(f"{child.name} ended with code {code}; starting it again.", flush=True)
        if child.process is None and monotonic() >= child.start_again:
            child.start()

    def _stop_all(self) -> None:
        for child in self.children:
            child.ask_to_stop()
        until = monotonic() + STOP_SECONDS
        for child in self.children:
            child.make_stop(until)
