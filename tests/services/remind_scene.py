"""A nursery with a rule of its own, two workers and a grower, and a clock that stands still."""

from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Any

from nursery.domain.reminders.steps import Attempt
from nursery.services import channels, log, nurseries, people, reminder_people, reminder_plan, rows
from nursery.services.channels import Message
from nursery.services.installs import Outbox
from nursery.services.outcome import Outcome
from nursery.services.reminder_people import Somebody
from nursery.store.models import ReminderRow
from nursery.store.scope import scope
from tests.phone import Writer

NURSERY = "veshmere"
# Monday, 12:00 there.
NOON = datetime(2031, 3, 3, 2, tzinfo=UTC)
ZONE = "Etc/GMT-10"
ANA, BO, DOV = "p-a", "p-b", "p-g"


def at(text: str) -> datetime:
    """Return the instant of a local time there."""
    return datetime.fromisoformat(f"{text}+10:00").astimezone(UTC)


def rule(ident: str, *places: str, every_days: int = 1) -> dict[str, Any]:
    says = {"what": ident, "every_days": every_days}
    term = {
        "id": ident, "rule": "reading", "says": says, "since": "2031-03-04", "source": "own"
    }  # fmt: skip
    return {"term": term, "places": list(places)}


def begin(zone: str = ZONE) -> None:
    """Make the nursery: a room, two workers with addresses, a grower with an account."""
    nurseries.begin(NURSERY, "Veshmere Terraces", zone)
    put("nursery", NURSERY, {"name": "Veshmere Terraces", "zone": zone})
    put("place", "r-1", {"name": "Mist house", "kind": "house"})
    for who, name, role in ((ANA, "Ana", "worker"), (BO, "Bo", "worker"), (DOV, "Dov", "grower")):
        put("person", who, {"name": name, "role": role})
    nurseries.add_account(
        NURSERY,
        nurseries.Newcomer("dov@own.invalid", "three tall kettles", "Dov", people.GROWER, DOV),
    )
    for who in (ANA, BO):
        wish(who, address=f"{who}@own.invalid")


def put(kind: str, ident: str, body: dict[str, Any], now: datetime = NOON) -> None:
    rows.put(NURSERY, rows.Row(kind, ident, None, body), now)


def wish(person: str, **wanted: Any) -> None:
    with scope(NURSERY, write=True) as book:
        said = {**reminder_people.said(book, person), **wanted}
        reminder_people.put(book, person, said)


def plan(now: datetime) -> None:
    reminder_plan.refresh(NURSERY, now)


def kept(**which: Any) -> list[ReminderRow]:
    with scope(NURSERY) as book:
        return list(book.reminders.filter(**which).order_by("due_at", "person"))


def attempts() -> list[tuple[str, str, str]]:
    """Return person, channel and state of each attempt, in order."""
    with scope(NURSERY) as book:
        found = book.reminder_attempts.select_related("reminder").order_by("pk")
        return [(one.reminder.person, one.channel, one.state) for one in found]


def reads(phone: Writer, when: datetime, what: str = "temp") -> None:
    """Write down that the instrument was read."""
    body = {"readings": [{"what": what, "value": 21.0, "unit": "C"}]}
    text = phone.write("read", ["r-1"], body, when)
    log.receive(NURSERY, Outbox(install="i-a", device="d-a"), [text], when)


@dataclass
class Ways:
    """Channels that note what they are handed, and answer as they are told."""

    said: list[tuple[str, str, int, bool]] = field(default_factory=list)
    answers: dict[str, Outcome | Exception] = field(default_factory=dict)
    live: dict[str, bool] = field(default_factory=lambda: {"push": True, "mail": True})

    def channels(self) -> dict[str, channels.Channel]:
        return {name: Way(name, self) for name in channels.WAYS}

    @property
    def counted(self) -> list[tuple[str, str, int]]:
        return [(channel, person, n) for channel, person, n, _ in self.said]


@dataclass
class Way:
    """One of them."""

    name: str
    ways: Ways

    def live(self, _nursery: str, who: Somebody) -> bool:
        wished = who.wishes.push if self.name == "push" else who.wishes.mail
        return wished and self.ways.live[self.name]

    def send(self, message: Message) -> Outcome:
        self.ways.said.append((self.name, message.to.person, len(message.some), message.urgent))
        answer = self.ways.answers.get(self.name, Outcome.SENT)
        if isinstance(answer, Exception):
            raise answer
        return answer


TRYING, SENT, UNKNOWN = Attempt.TRYING, Attempt.SENT, Attempt.UNKNOWN
TWO_HOURS, FOUR_HOURS = timedelta(hours=2), timedelta(hours=4)
