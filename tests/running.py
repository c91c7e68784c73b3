"""Running one step: its servers, its environment, one line for it, and all it said if it failed."""

import os
import signal
import subprocess
import sys
import tempfile
from collections.abc import Iterable
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack, suppress
from dataclasses import dataclass
from pathlib import Path
from time import monotonic
from types import TracebackType
from typing import Self
from xml.etree import ElementTree as ET

from tests import servers
from tests.steps import Step


@dataclass(frozen=True)
class Report:
    """How many checks passed, failed and were skipped; a linter counts as one.

    Attributes:
        again: how many passed when they were asked a second time; they are not in `passed`.
    """

    passed: int = 0
    failed: int = 0
    skipped: int = 0
    again: int = 0

    def __add__(self, other: "Report") -> "Report":
        return Report(*(getattr(self, name) + getattr(other, name) for name in vars(self)))

    def __str__(self) -> str:
        parts = {
            "failed": self.failed,
            "passed": self.passed,
            "passed at the second try": self.again,
            "skipped": self.skipped,
        }
        return ", ".join(f"{n} {word}" for word, n in parts.items() if n) or "0 passed"

    def line(self, seconds: float) -> str:
        minutes = f" ({int(seconds // 60)} min {int(seconds % 60)} s)" if seconds >= 60 else ""
        return f" {self} in {seconds:.2f}s{minutes} ".center(80, "=")


@dataclass
class Run:
    """One run of the steps. Servers start with the first step that needs them, and stay up."""

    long: bool
    all_output: bool

    def __enter__(self) -> Self:
        self._stack = ExitStack()
        self._addresses: dict[str, str] = {}
        self._folder = Path(
            self._stack.enter_context(tempfile.TemporaryDirectory(prefix="nursery-tests-"))
        )
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._stack.close()

    def step(self, step: Step) -> Report:
        """Run the step's commands up to the first that fails and print its line."""
        print(f"{step.name:<18}", end="", flush=True)
        begun, report, said = monotonic(), Report(), ""
        for found, output in self._outcomes(step):
            report, said = report + found, said + output
            if found.failed and not step.abreast:
                break
        word = "FAILED" if report.failed else "ok"
        print(f"{word:<8}{monotonic() - begun:7.1f} s   {report}", flush=True)
        if report.failed or report.again or step.shown or self.all_output:
            print(f"{said.rstrip()}\n", flush=True)
        return report

    def _outcomes(self, step: Step) -> Iterable[tuple[Report, str]]:
        """Run the commands one by one as they are asked for, or all at once."""
        environment = self._environment(step)

        def outcome(number: int) -> tuple[Report, str]:
            name = f"{step.name}-{number}"
            found, output = self._command(step, step.commands[number], environment, name)
            if not step.again or self.long or not 0 < found.failed <= step.again:
                return found, output
            # One process and nothing beside: what fails then does not fail for want of a processor.
            words = (*step.commands[number], "--last-failed", "--last-failed-no-failures=none")
            second, more = self._command(step, (*words, "-n", "0"), environment, f"{name}-again")
            return _both(found, second), output + more

        numbers = range(len(step.commands))
        if not step.abreast:
            return map(outcome, numbers)
        with ThreadPoolExecutor(len(numbers)) as pool:
            return list(pool.map(outcome, numbers))

    def _command(
        self, step: Step, command: tuple[str, ...], environment: dict[str, str], name: str
    ) -> tuple[Report, str]:
        results = self._folder / f"{name}.xml"
        words = list(command)
        if "pytest" in words:
            words.append(f"--junit-xml={results}")
            words += [f"--ignore={file}" for file in step.apart if self.long]
        if step.again:
            words += ["-o", f"cache_dir={self._folder / step.name}.cache"]
        if "--reporter=junit" in words:
            words.append(f"--outputFile.junit={results}")
        limit = None if self.long else step.minutes * 60
        code, output = said(words, step.folder, environment, limit)
        found = _results(results)
        ran = found.passed + found.failed + found.skipped
        if not ran or (code and not found.failed):
            found += Report(failed=1) if code else Report(passed=1)
        return found, f"$ {' '.join(words)}\n{output}\n"

    def _environment(self, step: Step) -> dict[str, str]:
        """The caller's variables without the product's own, and what the step asks for."""
        kept = {
            key: value
            for key, value in os.environ.items()
            if not key.startswith("NURSERY_") or key.startswith("NURSERY_TEST_")
        }
        profile = "long" if self.long else "ci" if os.environ.get("CI") else "dev"
        kept |= {
            "NURSERY_DATA": str(self._folder / step.name),
            # One test that hangs is named and fails, and the rest still runs.
            "PYTEST_TIMEOUT": "0" if self.long else "600",
            "NURSERY_TEST_PROFILE": os.environ.get("NURSERY_TEST_PROFILE", profile),
            "PATH": f"{Path(sys.executable).parent}{os.pathsep}{os.environ.get('PATH', '')}",
        }
        if step.database == "postgres":
            kept |= self._servers()
        if step.server:
            kept |= {
                "NURSERY_PRODUCTION": "yes",
                "NURSERY_HOSTS": "nursery.example",
                "NURSERY_PROXY": "yes",
            }
        return kept

    def _servers(self) -> dict[str, str]:
        if not self._addresses:
            flush = self.long or os.environ.get("NURSERY_TEST_FLUSH") == "1"
            enter = self._stack.enter_context
            self._addresses = {
                **servers.addresses(enter(servers.postgres(flush=flush))),
                "NURSERY_BROKER_URL": enter(servers.redis()),
            }
        return self._addresses


def said(
    words: list[str], folder: Path, environment: dict[str, str], limit: float | None
) -> tuple[int, str]:
    """Run a command for at most `limit` seconds and give its exit code and all it printed.

    What it prints goes to a file: a process that it leaves behind would hold a pipe open for ever.
    Whatever it left running in its group is ended with it.
    """
    with tempfile.TemporaryFile() as printed:
        child = subprocess.Popen(
            words,
            cwd=folder,
            env=environment,
            stdin=subprocess.DEVNULL,
            stdout=printed,
            stderr=subprocess.STDOUT,
            start_new_session=True,
        )
        try:
            code, last = child.wait(limit), ""
        except subprocess.TimeoutExpired:
            code, last = 124, f"\nstopped: not done after {limit:.0f} s\n"
        finally:
            _ended(child)
        printed.seek(0)
        return code, printed.read().decode(errors="replace") + last


def _ended(child: "subprocess.Popen[bytes]") -> None:
    """End what a command left running in its group, giving it time to stop its servers."""
    with suppress(ProcessLookupError):
        os.killpg(child.pid, signal.SIGTERM)
        with suppress(subprocess.TimeoutExpired):
            child.wait(20)
        os.killpg(child.pid, signal.SIGKILL)
    child.wait()


def _both(first: Report, second: Report) -> Report:
    """What a step came to where all that failed was asked again: passed then is told as such."""
    if second.failed or second.passed < first.failed:
        return first
    return Report(first.passed, 0, first.skipped, again=second.passed)


def _results(file: Path) -> Report:
    """Read what pytest or vitest wrote; nothing where they wrote nothing."""
    if not file.exists():
        return Report()
    suites = list(ET.parse(file).getroot().iter("testsuite"))

    def total(*names: str) -> int:
        return sum(int(suite.get(name, 0)) for suite in suites for name in names)

    failed, skipped = total("failures", "errors"), total("skipped")
    return Report(total("tests") - failed - skipped, failed, skipped)
