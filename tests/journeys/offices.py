"""The office for a journey: the product as it runs, on a day of the story, its clock movable."""

import fcntl
import hashlib
import http.cookiejar
import json
import os
import shutil
import subprocess
import sys
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any
from urllib.parse import quote

from nursery.services import demo
from tests.product import answer, plain_environment, running, wait_until
from tests.servers import free_port
from tests.steps import ROOT

# Where the folders lie that were told already in this run of the tests.
KEPT = "NURSERY_TEST_TOLD"


class Desk:
    """A person who is signed in at the office, asking the API as the app does."""

    def __init__(self, url: str, who: demo.Somebody = demo.G) -> None:
        self.url = url
        self._cookies = http.cookiejar.CookieJar()
        self._opener = urllib.request.build_opener(
            urllib.request.HTTPCookieProcessor(self._cookies)
        )
        if who.email:
            self.ask("POST", "session", {"email": who.email, "password": who.password})

    def ask(self, method: str, path: str, body: object = None) -> Any:
        token = next((c.value for c in self._cookies if c.name == "nursery_csrf"), "") or ""
        headers = {"Content-Type": "application/json", "X-Sync": "1", "X-CSRFToken": token}
        headers |= {"Origin": self.url, "Referer": f"{self.url}/"}
        data = None if body is None else json.dumps(body).encode()
        asked = urllib.request.Request(f"{self.url}/api/v1/{path}", data, headers, method=method)
        with self._opener.open(asked, timeout=30) as got:
            text = got.read()
        return json.loads(text) if text else None

    def get(self, path: str) -> Any:
        return self.ask("GET", path)

    def invite(self, name: str) -> str:
        """Return a one-time code by which a phone of this name joins."""
        return str(self.ask("POST", "invites", {"device_name": name})["code"])

    def batch(self, label: str) -> Any:
        """Return a living batch by its label, as the list of the stock shows it."""
        found = [b for b in self.get("batches")["items"] if b["label"] == label]
        assert len(found) == 1, [b["label"] for b in found]
        return found[0]

    def alive(self, *labels: str) -> list[int]:
        return [self.batch(label)["alive"] for label in labels]

    def checks(self, kind: str, days: int = 7) -> list[dict[str, Any]]:
        """Return the due checks of one kind, page by page."""
        found: list[dict[str, Any]] = []
        after: str | None = ""
        while after is not None:
            page = self.get(f"due?days={days}&after={quote(after)}")
            found += [check for check in page["items"] if check["kind"] == kind]
            after = page["next"]
        return found

    def records(self, batch: str, kind: str) -> list[dict[str, Any]]:
        """Return a batch's entries of one kind, oldest first."""
        lines = self.get(f"batches/{batch}")["timeline"]
        return [line["entry"] for line in lines if line["entry"]["kind"] == kind]


@dataclass
class Office:
    """One product on one data folder, answering at one address however often it is started."""

    folder: Path
    port: int = field(default_factory=free_port)
    _open: Any = None

    @property
    def url(self) -> str:
        return f"http://localhost:{self.port}"

    def told(self, clock: datetime | None) -> dict[str, str]:
        environment = {**plain_environment(), "NURSERY_DATA": str(self.folder)}
        if clock is None:
            return environment
        return environment | {"NURSERY_DEMO": "yes", "NURSERY_CLOCK": clock.isoformat()}

    def open(self, clock: datetime | None) -> None:
        """Start answering with the clock at an instant; what answered before stops."""
        self.shut()
        log = self.folder / "web.log"
        self._open = running(self.told(clock), log, "web", "--port", str(self.port))
        web = self._open.__enter__()
        wait_until(lambda: answer(f"{self.url}/healthz")[0] == 200, why=web.said())

    def shut(self) -> None:
        if self._open is not None:
            self._open.__exit__(None, None, None)
            self._open = None


@contextmanager
def office_on(folder: Path, day: float, clock: datetime | None = None) -> Iterator[Office]:
    """Give an office on the evening of a day of the story, or at another instant after it."""
    assert (ROOT / "frontend/dist/index.html").is_file(), "Build the app: npm run build"
    office = Office(folder)
    folder.mkdir(parents=True, exist_ok=True)
    evening = demo.EVENINGS[day]
    told_before(office, evening, "config", "demo", "--day", demo.name_of(day))
    yield from _opened(office, clock or evening)


@contextmanager
def office_at(folder: Path, moment: datetime) -> Iterator[Office]:
    """Give an office at an instant between two days of the story, told up to there."""
    assert (ROOT / "frontend/dist/index.html").is_file(), "Build the app: npm run build"
    office = Office(folder)
    folder.mkdir(parents=True, exist_ok=True)
    told_before(office, moment, "tests.journeys.mornings", moment.isoformat())
    yield from _opened(office, moment)


def told_before(office: Office, clock: datetime, *module: str) -> None:
    """Tell the story into the office's folder, or lay down a copy of what was told already.

    Telling costs seconds, and many journeys begin on the same evening. The copies are of one run
    of the tests alone: `conftest.py` makes their folder and clears it away.
    """
    kept = os.environ.get(KEPT)
    if kept is None:
        _tell(office, clock, *module)
        return
    name = hashlib.sha256(" ".join((clock.isoformat(), *module)).encode()).hexdigest()[:16]
    original = Office(Path(kept) / name, port=0)
    with (Path(kept) / f"{name}.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not original.folder.exists():
            begun = Office(original.folder.with_suffix(".begun"), port=0)
            _tell(begun, clock, *module)
            begun.folder.rename(original.folder)
    shutil.copytree(original.folder, office.folder, dirs_exist_ok=True)


def _tell(office: Office, clock: datetime, *module: str) -> None:
    words = [sys.executable, "-m", *module]
    told = office.told(clock)
    subprocess.run(words, cwd=ROOT, env=told, check=True, stdout=subprocess.DEVNULL)


def _opened(office: Office, clock: datetime) -> Iterator[Office]:
    office.open(clock)
    try:
        yield office
    finally:
        office.shut()
