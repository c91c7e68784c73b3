"""The offices of the bad days: the whole application in this process, and one behind a bad link.

Django is set up before this is imported, on an embedded database of its own.
"""

import json
import random
import shutil
import sqlite3
import threading
from collections.abc import Iterable, Iterator
from contextlib import ExitStack, closing, contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from functools import cache
from pathlib import Path
from time import sleep
from typing import Any

from django.conf import settings
from django.db import connection
from django.test.client import ClientHandler

from nursery.api.door import COOKIE
from nursery.domain.entry import Entry, read
from nursery.services import backups, clock, engines, nurseries, people, refold, restore, verify
from nursery.store.models import HeadRow
from nursery.store.scope import scope
from tests.journeys.bad_link import CUT_ANSWER, LOST, TWICE, BadLink, Call
from tests.phone import Server, Silence
from tests.product import Process, answer, plain_environment, running, wait_until
from tests.servers import free_port
from tests.sync.doors import Door, Socket

LATEST_KILL_S = 0.1
FILE = "nursery.sqlite3"
BEGUN = datetime(2031, 3, 3, 2, tzinfo=UTC)


@dataclass
class Book:
    """A nursery in the database in force, and what a verdict asks of it."""

    ident: str

    def __post_init__(self) -> None:
        nurseries.begin(self.ident, "Veshmere Terraces", "Etc/GMT-10")

    def enrolled(self, name: str, now: datetime, beside: Door | None = None) -> Door:
        """Let a phone join through the API; beside another it shares that one's cookie."""
        if beside is not None:
            return beside
        code, _ = people.invite(self.ident, f"phone {name}", now)
        door = Door()
        door.client.handler = _handler()
        door.ask("post", "enrol", {"code": code, "install": f"i-{name}"})
        return door

    def texts(self) -> list[str]:
        with scope(self.ident) as book:
            return [*book.entries.order_by("seq").values_list("text", flat=True)]

    def entries(self) -> Iterable[Entry]:
        with scope(self.ident) as book:
            rows = book.entries.filter(set_aside=False).values_list("text", flat=True)
            return [read(json.loads(text)) for text in rows]

    def head(self) -> tuple[str, int]:
        with scope(self.ident) as book:
            return book.head.epoch, book.head.last_seq

    def faults(self) -> list[str]:
        with scope(self.ident) as book:
            seqs = [*book.feed.order_by("seq").values_list("seq", flat=True)]
            raw = [f"kept raw: {code}" for code in book.kept_raw.values_list("code", flat=True)]
            missing = [
                f"{row.ident} lacks {row.n_missing}" for row in book.installs if row.n_missing
            ]
        holes = [] if seqs == [*range(1, self.head()[1] + 1)] else ["numbers have a hole"]
        states = [str(fault) for fault in refold.differences(self.ident)]
        return [*raw, *missing, *holes, *states, *map(str, verify.chain(self.ident))]


@cache
def _handler() -> ClientHandler:
    """One application for all phones: each made anew would list the app's files once more."""
    return ClientHandler(enforce_csrf_checks=False)


class Here(Book):
    """Routes, door, shapes, services and tables in this process, on an embedded database's file.

    A backup is a copy of that file by the database's own call, and the latest replaces the file as
    a restore does. With `tried` both are the product's own from end to end, which takes seconds.
    """

    def __init__(self, ident: str, *, tried: bool = False) -> None:
        super().__init__(ident)
        self.tried, self._now = tried, BEGUN
        self.now = BEGUN
        self._latest: Path | None = None

    @property
    def now(self) -> datetime:
        return self._now

    @now.setter
    def now(self, now: datetime) -> None:
        self._now = now
        clock.start_at(now)

    def join(self, name: str, beside: Server | None = None) -> Server:
        assert beside is None or isinstance(beside, Door)
        return self.enrolled(name, self.now, beside)

    def back_up(self) -> None:
        if self.tried:
            self._latest = backups.make().file
            return
        self._latest = Path(settings.DATA) / "latest.copy"
        engines.Sqlite().dump(self._latest)
        head = HeadRow.objects.get(nursery__ident=self.ident)
        HeadRow.objects.filter(pk=head.pk).update(durable_seq=head.last_seq)

    def restore(self) -> None:
        assert self._latest is not None
        if self.tried:
            restore.restore(self._latest, lambda _: None)
            return
        engines.Sqlite().replace(self._latest)
        restore._begin_epoch()


def on_file(folder: Path, template: Path) -> None:
    """Work from now on in a folder, on a file with all tables and nothing in them."""
    use(folder)
    for part in ("", "-wal", "-shm"):
        Path(f"{folder / FILE}{part}").unlink(missing_ok=True)
    shutil.copyfile(template, folder / FILE)


def use(folder: Path) -> None:
    connection.close()
    settings.DATA, settings.BACKUPS = folder, folder / "backups"
    connection.settings_dict["NAME"] = folder / FILE


def template_of(folder: Path) -> Path:
    """Keep a copy of the database as it is now."""
    copy = folder / "template"
    with (
        closing(sqlite3.connect(str(connection.settings_dict["NAME"]))) as source,
        closing(sqlite3.connect(copy)) as target,
    ):
        source.backup(target)
    return copy


class Wire(Socket):
    """As a phone over a real connection; what breaks off in the middle is no answer."""

    def _ask(self, method: str, path: str, body: Any = None) -> bytes:
        said = super()._ask(method, path, body)
        last = said.splitlines()[-1] if said else b""
        try:
            json.loads(last)
        except ValueError as error:
            raise Silence from error
        return said


class WorseLink(BadLink):
    """Does harm to every call of the sync, half of them, for as long as it may."""

    def _harm(self, call: Call) -> str | None:
        if not self.harmful or "/api/v1/sync/" not in call.path or self._chance.random() < 0.5:
            return None
        harm = self._chance.choice((LOST, CUT_ANSWER, TWICE))
        self.done[harm] += 1
        return harm


@dataclass
class Web:
    """One web process on the database in force, started again on its port after each end."""

    folder: Path
    stack: ExitStack
    port: int = field(default_factory=free_port)
    kills: int = 0

    def start(self) -> None:
        environment = plain_environment() | {"NURSERY_DATA": str(self.folder)}
        log = self.folder / f"web-{self.kills}.log"
        told = running(environment, log, "web", "--port", str(self.port))
        self._process: Process = self.stack.enter_context(told)
        address = f"http://127.0.0.1:{self.port}/healthz"
        wait_until(lambda: answer(address)[0] == 200, why="the office answers")

    def kill(self) -> None:
        self.kills += 1
        self._process.kill()


@dataclass
class There(Book):
    """The web process as people run it, over sockets, behind a link that does harm by the seed."""

    web: Web
    link: WorseLink
    now: datetime = BEGUN
    _again: threading.Thread | None = None

    def join(self, name: str, beside: Server | None = None) -> Server:
        if beside is not None:
            return beside
        door = self.enrolled(name, clock.now())
        return Wire(self.link.port, door.client.cookies[COOKIE].value)

    def back_up(self) -> None:
        """Do nothing: what is tried here is the link, and the end of the process."""

    def restore(self) -> None:
        """End the process at any moment of what the phones do next, and start it again."""
        self.settled()
        after = random.Random(self.link.done.total()).random() * LATEST_KILL_S

        def end() -> None:
            sleep(after)
            self.web.kill()
            self.web.start()

        self._again = threading.Thread(target=end)
        self._again.start()

    def settled(self) -> None:
        """Wait until the process answers again."""
        if self._again is not None:
            self._again.join()


@contextmanager
def behind_a_bad_link(ident: str, seed: int, web: Web) -> Iterator[There]:
    clock.start_at(None)
    link = WorseLink(web.port, seed, most=1_000_000, late_s=(0.0, 0.02))
    with link.running():
        # The phones' hours lie below the office's own clock, so that it sets none of them aside.
        begun = clock.now().replace(microsecond=0) - timedelta(days=60)
        office = There(ident, web, link, begun)
        yield office
        office.settled()
