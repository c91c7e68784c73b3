"""Three phones and a server, in every order that Hypothesis can think of.

The rules are what may happen on a bad day; `teardown` is the peace after it: everybody sends and
pulls until nothing is left, and then all must hold the same set, each entry once, and fold to the
same bytes. A `Plan` says who the server is, and may plant a bug that the machine must find.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any, Protocol

import orjson
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, precondition, rule

from nursery.domain import fold
from nursery.domain.entry import Entry, read
from tests.phone import Phone, Server, Silence, Writer

MORNING = datetime(2031, 3, 3, 2, tzinfo=UTC)
BATCHES = ("b-1", "b-2")
PLACE = "room-1"
PHONES = st.integers(0, 2)
SOME = st.integers(1, 4)


class Backed(Server, Protocol):
    """A server that can be backed up and restored, and says at the end what it holds."""

    now: datetime

    def back_up(self) -> Any: ...

    def restore(self, backup: Any) -> None: ...

    def entries(self) -> Iterable[Entry]: ...

    def ids(self) -> list[str]: ...


class Link(Server):
    """The air between a phone and the server: it may lose what is sent, or the answer to it."""

    def __init__(self, server: Backed) -> None:
        self.server = server
        self.loses = ""

    def push(self, body: dict[str, Any]) -> dict[str, Any]:
        if self.loses == "request":
            raise Silence
        answer = self.server.push(body)
        if self.loses == "answer":
            raise Silence
        if self.loses == "twice":
            answer = self.server.push(body)
        return answer

    def pull(self, after: str, limit: int) -> Iterable[bytes]:
        return self.server.pull(after, limit)

    def check(self, ids: list[str]) -> list[str]:
        return self.server.check(ids)


@dataclass(frozen=True)
class Plan:
    """Who the server is, and who the phones are."""

    server: Callable[[datetime], Any]
    phone: type[Phone] = Phone


class Nursery(RuleBasedStateMachine):
    """The state: the server, three phones each behind its link, all that was ever written."""

    plan: Plan

    def __init__(self) -> None:
        super().__init__()
        self.server = self.plan.server(MORNING)
        self.links = [Link(self.server) for _ in range(3)]
        self.phones = [
            self.plan.phone(Writer(name, author=f"p-{name}", number=number), link)
            for number, (name, link) in enumerate(zip("abc", self.links, strict=True), 1)
        ]
        self.clocks = [timedelta(), timedelta(), timedelta()]
        self.backups = [self.server.back_up()]

    @initialize()
    def begin(self) -> None:
        for phone in self.phones:
            phone.pull_all()

    def _now(self, who: int) -> datetime:
        self.server.now += timedelta(seconds=1)
        now: datetime = self.server.now
        return now + self.clocks[who]

    @rule(who=PHONES, batch=st.sampled_from(BATCHES))
    def receive(self, who: int, batch: str) -> None:
        body = {"consignment": "c-1", "place": PLACE, "batches": [{"id": batch, "stated": 2000}]}
        self.phones[who].write("received", [batch], body, self._now(who))

    @rule(who=PHONES, batch=st.sampled_from(BATCHES), alive=st.integers(1900, 1910))
    def count(self, who: int, batch: str, alive: int) -> None:
        phone = self.phones[who]
        counts = [e for e in phone.known() if e["kind"] == "counted" and batch in e["about"]]
        saw = max((e["id"] for e in counts), default=None)
        body = {"method": "full", "alive": alive, "saw": saw}
        phone.write("counted", [batch], body, self._now(who))

    @rule(who=PHONES, batch=st.sampled_from(BATCHES), lost=st.integers(1, 3))
    def lose(self, who: int, batch: str, lost: int) -> None:
        body = {"count": lost, "fate": "died"}
        self.phones[who].write("lost", [batch], body, self._now(who))

    @rule(who=PHONES, to=st.sampled_from(("room-1", "shade-1")))
    def move_both(self, who: int, to: str) -> None:
        self.phones[who].write("moved", [*BATCHES, PLACE], {"to": to}, self._now(who))

    @rule(who=PHONES, pick=st.integers(0, 50), withdraw=st.booleans())
    def correct(self, who: int, pick: int, withdraw: bool) -> None:
        """Correct a line as this phone shows it: `saw` names the head that was on its screen."""
        phone = self.phones[who]
        known = sorted(phone.known(), key=lambda e: str(e["id"]))
        firsts = [e for e in known if e["corrects"] is None and e["kind"] in ("lost", "counted")]
        if not firsts:
            return
        first = firsts[pick % len(firsts)]
        saw = max([first["id"], *(e["id"] for e in known if e["corrects"] == first["id"])])
        body = {"saw": saw} if withdraw else {**first["body"], "saw": saw}
        if not withdraw:
            body |= {"alive": 1890} if "alive" in body else {"count": 1 + pick % 5}
        kind = "withdrawn" if withdraw else first["kind"]
        phone.write(kind, first["about"], body, self._now(who), corrects=first["id"])

    @rule(who=PHONES, most=st.one_of(SOME, st.just(200)))
    def push(self, who: int, most: int) -> None:
        self.phones[who].push(most)

    @rule(who=PHONES, loses=st.sampled_from(("request", "answer", "twice")), most=SOME)
    def push_over_a_bad_link(self, who: int, loses: str, most: int) -> None:
        self.links[who].loses = loses
        try:
            self.phones[who].push(most)
        except Silence:
            self.silence(self.phones[who])
        finally:
            self.links[who].loses = ""

    def silence(self, phone: Phone) -> None:
        """Nothing follows from silence: what was sent is still in the outbox."""

    @rule(who=PHONES, limit=SOME, cut=st.one_of(st.none(), st.integers(0, 3)))
    def pull(self, who: int, limit: int, cut: int | None) -> None:
        self.phones[who].pull(limit, cut=cut)

    @rule(who=PHONES, days=st.sampled_from((-1095, -1, 0, 1, 3, 1095)), seconds=st.integers(-9, 9))
    def set_clock(self, who: int, days: int, seconds: int) -> None:
        self.clocks[who] = timedelta(days=days, seconds=seconds)

    @rule()
    def back_up(self) -> None:
        self.backups.append(self.server.back_up())

    @precondition(lambda self: self.server.ids())
    @rule()
    def restore(self) -> None:
        """Bring the latest backup back: only that one holds all that phones may have forgotten."""
        self.server.restore(self.backups[-1])

    def teardown(self) -> None:
        for _ in range(3):
            for phone in self.phones:
                phone.push_all()
                phone.pull_all()
        written = {
            e["id"] for phone in self.phones for e in map(orjson.loads, phone.writer.written)
        }
        held = self.server.ids()
        assert len(held) == len(set(held)), "an entry is in the book twice"
        assert written == set(held), "an entry was lost"
        for phone in self.phones:
            assert phone.holds() == written, "a phone lacks an entry"
            assert folded(counting(phone)) == folded(self.server.entries())


def counting(phone: Phone) -> list[Entry]:
    """Return the entries of a phone's copy that count."""
    return [
        read(orjson.loads(content.text))
        for content in phone.copy.values()
        if content.type == "entry" and not content.set_aside
    ]


def folded(entries: Iterable[Entry]) -> bytes:
    """Return the bytes of all states that these entries make."""
    entries = list(entries)
    states = [fold.batch(batch, entries).as_json() for batch in BATCHES]
    return orjson.dumps([*states, fold.place(PLACE, entries).as_json()])
