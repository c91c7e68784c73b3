"""Tell the story to a server: each step becomes what a phone or the office sends."""

from collections import deque
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any
from urllib.parse import urlencode

from nursery.domain.weather import invented
from nursery.ops.demo import names
from nursery.ops.demo.script import Act, Brought, Day, Joined, Notebook, Step, Synced, Typed
from nursery.ops.demo.wire import Asker, Wire
from nursery.services import demo

API = "/api/v1"
AT_ONCE = 100
# Servers tell the time to the millisecond.
A_MOMENT = timedelta(seconds=1)
PHONES = {
    names.ROOM_PHONE: "Room phone",
    names.SECOND_PHONE: "Second phone",
    names.OFFICE_PHONE: "Office phone",
}


class ClockBehind(Exception):
    """The server's clock has not come to what is told; it would set all of it aside."""

    def __init__(self, its: str, needed: datetime) -> None:
        super().__init__(
            f"The server's clock says {its}, the story goes on to {needed.isoformat()}. "
            f"Start the server with NURSERY_CLOCK={needed.isoformat()}."
        )


@dataclass(slots=True)
class Phone:
    """A phone of the story: it writes at once, and sends when it has signal."""

    asker: Asker
    notebook: Notebook
    outbox: list[str] = field(default_factory=list)
    feed: list[dict[str, Any]] = field(default_factory=list)
    epoch: str = ""
    cursor: str = ""
    results: list[dict[str, Any]] = field(default_factory=list)

    def write(self, act: Act, at: datetime, told: dict[str, str]) -> str:
        ident, text = self.notebook.write(act, at, told)
        self.outbox.append(text)
        return ident

    def join(self, code: str) -> None:
        asked = {"code": code, "install": self.notebook.install}
        joined = self.asker.ask("POST", f"{API}/sync/enrol", asked, expect=(201,))
        self.epoch = joined["epoch"]

    def sync(self, at: datetime) -> None:
        """Send what is held, oldest first, then take in what is new."""
        while self.outbox:
            some = self.outbox[:AT_ONCE]
            answer = self.asker.ask("POST", f"{API}/sync/push", self._push(some, at))
            self.results += answer["results"]
            del self.outbox[: len(some)]
        more = True
        while more:
            lines = self.asker.ask("GET", f"{API}/sync/pull?after={self.cursor}")
            self.feed += lines[1:-1]
            self.cursor, more = lines[-1]["next"], lines[-1]["more"]

    def _push(self, some: list[str], at: datetime) -> dict[str, Any]:
        return {
            "epoch": self.epoch,
            "install": self.notebook.install,
            "phone_time": at.isoformat(),
            "app": "demo",
            "persisted": True,
            "outbox": {"unsent": len(self.outbox) - len(some), "n_max": self.notebook.n},
            "entries": some,
        }


def in_order(days: Iterable[Day]) -> list[tuple[datetime, Step]]:
    """Return every step with its instant, in order of time."""
    steps = [(day.instant(step), step) for day in days for step in day.steps]
    return sorted(steps, key=lambda one: one[0])


def notebooks() -> dict[str, Notebook]:
    return {
        name: Notebook(f"i-{name}", f"d-{name}", number) for number, name in enumerate(PHONES, 1)
    }


def ids_of(days: Iterable[Day]) -> list[str]:
    """Return the ids of all records that days write."""
    told: dict[str, str] = {}
    books, ids = notebooks(), []
    for at, step in in_order(days):
        if isinstance(step, Act):
            ident, _ = books[step.phone].write(step, at, told)
            told[step.name] = ident
            ids.append(ident)
    return ids


class Teller:
    """Tells days to one server; it can stop at any instant, for somebody to look, and go on."""

    def __init__(self, wire: Wire, days: Iterable[Day]) -> None:
        self.wire = wire
        self._waiting = deque(in_order(days))
        self.office = Asker(wire, {"X-Nursery": demo.NURSERY})
        self.phones = {
            name: Phone(Asker(wire, {"X-Sync": "1"}), notebook)
            for name, notebook in notebooks().items()
        }
        self.told: dict[str, str] = {}
        self.revisions: dict[tuple[str, str], int] = {}
        self._before: dict[str, dict[str, int]] = {}

    def begin(self, last: datetime) -> None:
        """Sign in at the office, a little before the first step.

        Raises:
            ClockBehind: the server would set aside what is told up to `last`.
        """
        self.wire.set_clock(self._waiting[0][0] - timedelta(minutes=5))
        account = {"email": demo.G.email, "password": demo.G.password}
        self.office.ask("POST", f"{API}/session", account)
        self.wire.set_clock(last)
        its = self.office.ask("GET", f"{API}/sync/ping")["server_time"]
        if datetime.fromisoformat(its) < last - A_MOMENT:
            raise ClockBehind(its, last)

    def tell(self, until: datetime) -> None:
        """Take every step that waits, in order of time, up to an instant; the clock stays there."""
        while self._waiting and self._waiting[0][0] <= until:
            at, step = self._waiting.popleft()
            self.wire.set_clock(at)
            self._take(step, at)
        self.wire.set_clock(until)

    def _take(self, step: Step, at: datetime) -> None:
        match step:
            case Act():
                ident = self.phones[step.phone].write(step, at, self.told)
                if step.name:
                    self.told[step.name] = ident
            case Typed():
                self._type(step)
            case Brought():
                self._bring(step)
            case Joined():
                self._join(step.phone)
            case Synced():
                self.phones[step.phone].sync(at)

    def _type(self, step: Typed) -> None:
        """Put a row, unless this or a later revision of it is there already."""
        key = (step.type, step.id)
        before = self.revisions.get(key, 0)
        self.revisions[key] = before + 1
        if self._known(step.type).get(step.id, 0) <= before:
            row = {"rev": before, "body": dict(step.body)}
            self.office.ask("PUT", f"{API}/rows/{step.type}/{step.id}", row)

    def _bring(self, step: Brought) -> None:
        """Take an invented series in, unless an earlier telling has."""
        there = self.office.ask("GET", f"{API}/weather")["items"]
        if all(one["id"] != step.id for one in there):
            said = urlencode({"name": step.name, "source": "invented", "invented": "true"})
            text = invented.csv(step.seed, step.first_year, step.years).encode()
            self.office.ask("PUT", f"{API}/weather/{step.id}?{said}", text)

    def _known(self, kind: str) -> dict[str, int]:
        """Return the revisions that were there before the telling began."""
        if kind not in self._before:
            rows = self.office.ask("GET", f"{API}/rows/{kind}")["items"]
            self._before[kind] = {row["id"]: row["rev"] for row in rows}
        return self._before[kind]

    def _join(self, name: str) -> None:
        """Let a phone in; one of the same name that an earlier telling left behind is shut out."""
        for device in self.office.ask("GET", f"{API}/devices")["items"]:
            if device["name"] == PHONES[name] and device["revoked_at"] is None:
                self.office.ask("DELETE", f"{API}/devices/{device['id']}", expect=(204,))
        asked = {"device_name": PHONES[name]}
        invite = self.office.ask("POST", f"{API}/invites", asked, expect=(201,))
        self.phones[name].join(invite["code"])
