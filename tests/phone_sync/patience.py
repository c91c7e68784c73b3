"""No wait of a test is without an end: what it waits for is ended, and then the wait fails.

Playwright gives a limit to what it looks for on a page, and none to scripts that it runs there
or to closing what no longer answers.
"""

import os
import signal
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field

from playwright.sync_api import Browser, Playwright

CHROMIUM = "/usr/bin/chromium"
FLAGS = ["--no-sandbox"]
LONGEST_TEST = 240.0


@contextmanager
def patience(seconds: float, end: Callable[[], object]) -> Iterator[None]:
    """Call `end` from another thread where the block is not over in time."""
    timer = threading.Timer(seconds, end)
    timer.daemon = True
    timer.start()
    try:
        yield
    finally:
        timer.cancel()


@dataclass
class Browsers:
    """One browser for all tests, and a new one after a test that it had to be ended for."""

    playwright: Playwright
    now: Browser | None = field(default=None, init=False)

    @contextmanager
    def for_a_test(self) -> Iterator[Browser]:
        if self.now is None or not self.now.is_connected():
            self.now = self.playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        pid = pid_of(self.now)
        with patience(LONGEST_TEST, lambda: killed(pid)):
            yield self.now

    def close(self) -> None:
        if self.now is not None and self.now.is_connected():
            pid = pid_of(self.now)
            with patience(30, lambda: killed(pid)):
                self.now.close()


def pid_of(browser: Browser) -> int:
    session = browser.new_browser_cdp_session()
    told = session.send("SystemInfo.getProcessInfo")["processInfo"]
    session.detach()
    pid: int = next(process["id"] for process in told if process["type"] == "browser")
    return pid


def killed(pid: int) -> None:
    with suppress(ProcessLookupError):
        os.kill(pid, signal.SIGKILL)
