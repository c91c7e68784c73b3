"""Some bad days of a few phones and their office, played from a seed, and the peace after them.

Calls are lost on their way or on the way back, come twice or days late, and phones end in the
middle of them; clocks jump; one phone may have the app open as two installs; the book is backed up
and brought back as it was. Whatever a phone was told is stored stands in a ledger that no phone and
no office can change. `peace` is a good link and as many rounds as a phone may need, and then the
`verdict`: everything that was written is there once, for everybody, and nothing else.

The phones are `tests.phone`: written anew in Python by the rules of the protocol, and not the
program that people carry. That one is played from seeds by `tests/phone_sync/test_the_engine.py`.
"""

import copy
import json
import random
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any, Protocol, TypeVar

from nursery.domain.entry import Entry
from tests.phone import Answered, Phone, Server, Silence, Writer
from tests.sync.machine import BATCHES, PLACE, counting, folded

STEPS = 60
ROUNDS_OF_PEACE = 3
FATES = ("lost", "unanswered", "twice", "late", "copied", "died before", "died after")
# What of a phone outlives its end.
DISK = ("epoch", "queue", "kept", "copy", "cursor", "durable", "holes")

T = TypeVar("T")


class Died(Exception):
    """The phone ended in the middle of a call."""


class Office(Protocol):
    """What the bad days happen to. Its clock is set by whoever directs them."""

    now: datetime

    def join(self, name: str, beside: Server | None = None) -> Server:
        """Let a phone join; `beside` is the way in of a phone that opens the app once more."""

    def back_up(self) -> None: ...

    def restore(self) -> None:
        """Bring the latest backup back: only that one holds all that phones may have forgotten."""

    def texts(self) -> list[str]:
        """Return the texts of all entries in the book, by their numbers."""

    def entries(self) -> Iterable[Entry]:
        """Return the entries that count."""

    def head(self) -> tuple[str, int]: ...

    def faults(self) -> list[str]:
        """Return what is wrong with numbers, chain, kept states, or what was kept raw."""


@dataclass
class Air(Server):
    """The way between one phone and its office."""

    office: Server
    fates: list[str] = field(default_factory=list)
    late: list[dict[str, Any]] = field(default_factory=list)
    told: set[str] = field(default_factory=set)
    """The ledger: the ids of which this phone was told that they are stored."""

    def push(self, body: dict[str, Any]) -> dict[str, Any]:
        answer = self._call(lambda: self.office.push(body), body)
        self.told |= {json.loads(text)["id"] for text in body["entries"]}
        return answer

    def pull(self, after: str, limit: int) -> Iterable[bytes]:
        return self._call(lambda: self.office.pull(after, limit))

    def check(self, ids: list[str]) -> list[str]:
        return self._call(lambda: self.office.check(ids))

    def _call(self, ask: Callable[[], T], body: dict[str, Any] | None = None) -> T:
        fate = self.fates.pop(0) if self.fates else ""
        if fate in ("late", "copied") and body is not None:
            self.late.append(body)
        if fate in ("lost", "late"):
            raise Silence
        if fate == "died before":
            raise Died
        answer = ask()
        if fate == "twice":
            return ask()
        if fate == "unanswered":
            raise Silence
        if fate == "died after":
            raise Died
        return answer

    def deliver(self) -> None:
        """Bring to the office what was on its way all the time; nobody waits for the answer."""
        waiting, self.late = self.late, []
        for body in waiting:
            try:
                self.office.push(body)
            except Answered as no:
                if no.code != "epoch_changed":
                    raise
            except Silence:
                pass


@dataclass
class BadDays:
    """One seed: its office, its phones each behind its air."""

    office: Office
    seed: int
    phone: type[Phone] = Phone

    def __post_init__(self) -> None:
        self.chance = random.Random(self.seed)
        self.airs: list[Air] = []
        self.phones: list[Phone] = []
        self.skews: list[timedelta] = []
        self.done: dict[str, int] = {}

    def play(self, steps: int = STEPS) -> None:
        self.begin()
        for _ in range(steps):
            self.step()
        self.peace()
        self.verdict()

    def begin(self) -> None:
        names = "abc" if self.chance.random() < 0.7 else "ab"
        for name in names:
            self._join(name, self.office.join(name))
        if self.chance.random() < 0.5:
            self._join("a2", self.office.join("a2", self.airs[0].office))
        self.office.back_up()

    def _join(self, name: str, way_in: Server) -> None:
        number = len(self.phones) + 1
        air = Air(way_in)
        phone = self.phone(Writer(name, author=f"p-{name}", number=number), air)
        phone.snapshot()
        self.airs.append(air)
        self.phones.append(phone)
        self.skews.append(timedelta())

    def step(self) -> None:
        """Let one thing happen."""
        chance = self.chance
        self.office.now += timedelta(seconds=chance.randint(1, 6 * 3600))
        who, roll = chance.randrange(len(self.phones)), chance.random()
        if roll < 0.40:
            self._write(who)
        elif roll < 0.68:
            most = chance.choice((1, 2, 3, 5, 200))
            self._badly(who, lambda phone: phone.push(most))
        elif roll < 0.86:
            limit = chance.choice((1, 2, 5, 50, 2000))
            cut = chance.choice((None, None, 0, 1, 3))
            self._badly(who, lambda phone: phone.pull(limit, cut=cut))
        elif roll < 0.90:
            days = chance.choice((-1095, -1, 0, 0, 0, 1, 3, 1095))
            self.skews[who] = timedelta(days=days, seconds=chance.randint(-9, 9))
        elif roll < 0.95:
            self.airs[who].deliver()
        elif roll < 0.98:
            self.office.back_up()
        else:
            self._note("restored")
            self.office.restore()

    def _note(self, what: str) -> None:
        self.done[what] = self.done.get(what, 0) + 1

    def _badly(self, who: int, act: Callable[[Phone], object]) -> None:
        """Let a phone do something over a link that may be bad; from its end its disk is left."""
        air, phone = self.airs[who], self.phones[who]
        bad = self.chance.random() < 0.65
        air.fates = [
            self.chance.choice(FATES) if bad and self.chance.random() < 0.6 else ""
            for _ in range(5)
        ]
        before = {name: copy.copy(getattr(phone, name)) for name in DISK}
        planned = [*air.fates]
        try:
            act(phone)
        except Silence:
            pass
        except Died:
            self.phones[who] = self.phone(phone.writer, air, **before)
        finally:
            for fate in planned[: len(planned) - len(air.fates)]:
                self._note(fate or "well")
            air.fates = []

    def _write(self, who: int) -> None:
        """Write some records, most of them one or two, as somebody does who stands at a bench."""
        count = 25 if self.chance.random() < 0.06 else self.chance.randint(1, 3)
        for _ in range(count):
            self.office.now += timedelta(seconds=1)
            self._write_one(self.phones[who], self.office.now + self.skews[who])

    def _write_one(self, phone: Phone, at: datetime) -> None:
        chance = self.chance
        batch, roll = chance.choice(BATCHES), chance.random()
        if roll < 0.12:
            batches = [{"id": batch, "stated": 2000}]
            came = {"consignment": "c-1", "place": PLACE, "batches": batches}
            phone.write("received", [batch], came, at)
        elif roll < 0.32:
            counts = [e for e in phone.known() if e["kind"] == "counted" and batch in e["about"]]
            saw = max((e["id"] for e in counts), default=None)
            alive = chance.randint(1900, 1910)
            phone.write("counted", [batch], {"method": "full", "alive": alive, "saw": saw}, at)
        elif roll < 0.42:
            to = chance.choice((PLACE, "shade-1"))
            phone.write("moved", [*BATCHES, PLACE], {"to": to}, at)
        elif roll < 0.56:
            self._correct(phone, at)
        else:
            lost = {"count": chance.randint(1, 3), "fate": "died"}
            phone.write("lost", [batch], lost, at)

    def _correct(self, phone: Phone, at: datetime) -> None:
        """Correct or withdraw a line as this phone shows it; `saw` names what was on its screen."""
        known = sorted(phone.known(), key=lambda e: str(e["id"]))
        firsts = [e for e in known if e["corrects"] is None and e["kind"] in ("lost", "counted")]
        if not firsts:
            return
        first = self.chance.choice(firsts)
        saw = max([first["id"], *(e["id"] for e in known if e["corrects"] == first["id"])])
        if self.chance.random() < 0.4:
            phone.write("withdrawn", first["about"], {"saw": saw}, at, corrects=first["id"])
            return
        field_, least = ("alive", 1880) if "alive" in first["body"] else ("count", 1)
        body = {**first["body"], "saw": saw, field_: least + self.chance.randint(0, 4)}
        phone.write(first["kind"], first["about"], body, at, corrects=first["id"])

    def peace(self) -> None:
        """Every link is whole again. What was on its way arrives; then each sends and fetches."""
        for air in self.airs:
            air.deliver()
        for _ in range(ROUNDS_OF_PEACE):
            for phone in self.phones:
                phone.push_all()
                phone.pull_all()

    def verdict(self) -> None:
        written = {
            str(json.loads(text)["id"]): text
            for phone in self.phones
            for text in phone.writer.written
        }
        book = self.office.texts()
        ids = [str(json.loads(text)["id"]) for text in book]
        told = {ident for air in self.airs for ident in air.told}
        assert len(ids) == len({*ids}), "an entry is in the book twice"
        assert told - {*ids} == set(), "an acknowledged entry was lost"
        assert {*written} - {*ids} == set(), "an entry was lost"
        assert {*ids} - {*written} == set(), "an entry is in the book that nobody wrote"
        assert dict(zip(ids, book, strict=True)) == written, "an entry's text was changed"
        assert self.office.faults() == []
        states = folded(self.office.entries())
        for phone in self.phones:
            name = phone.writer.name
            assert phone.queue == {}, f"the outbox of {name} is not empty"
            assert phone.holes == [], f"{name} has holes in its numbers"
            assert (phone.epoch, phone.cursor) == self.office.head(), f"{name} is behind"
            assert phone.holds() == {*written}, f"{name} holds other entries"
            assert folded(counting(phone)) == states, f"{name} folds to something else"
