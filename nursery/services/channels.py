"""The ways to reach somebody, in the order in which they are tried."""

import logging
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol

from nursery.services import mail, push, reminder_words
from nursery.services.outcome import Banner, Outcome
from nursery.services.reminder_people import Somebody
from nursery.services.reminder_words import Said
from nursery.services.word_forms import House

log = logging.getLogger("nursery.reminders")

# How long a push service keeps what a sleeping phone does not fetch.
TTL_SECONDS = 24 * 3600
URGENT_TTL_SECONDS = 4 * 3600


@dataclass(frozen=True, slots=True)
class Message:
    """What goes out at once: one reminder, or a digest of some."""

    nursery: str
    name: str
    to: Somebody
    some: Sequence[Said]
    house: House
    url: str
    topic: str
    urgent: bool


class Channel(Protocol):
    """One way to reach people. `send` is called once for a message, whatever comes of it."""

    def live(self, nursery: str, who: Somebody) -> bool:
        """Return whether it reaches somebody now, and they want it."""

    def send(self, message: Message) -> Outcome:
        """Hand a message over."""


class Push:
    """A banner on the person's phones."""

    def live(self, nursery: str, who: Somebody) -> bool:
        return who.wishes.push and push.has_live(nursery, who.person)

    def send(self, message: Message) -> Outcome:
        said = reminder_words.banner(message.to.language, message.some, message.house)
        ttl, urgency = (URGENT_TTL_SECONDS, "high") if message.urgent else (TTL_SECONDS, "normal")
        return push.send(
            Banner(
                message.nursery,
                message.to.person,
                said.title,
                said.body,
                message.url,
                message.topic,
                ttl,
                urgency,
            )
        )


class Mail:
    """An e-mail to the person's address."""

    def live(self, _nursery: str, who: Somebody) -> bool:
        return who.wishes.mail and bool(who.address)

    def send(self, message: Message) -> Outcome:
        said = reminder_words.mail(message.to.language, message.name, message.some, message.house)
        return mail.send(message.to.address, said.title, said.body)


WAYS: Mapping[str, Channel] = {"push": Push(), "mail": Mail()}


def live(nursery: str, who: Somebody) -> frozenset[str]:
    """Return the channels that reach somebody now."""
    return frozenset(name for name, way in WAYS.items() if way.live(nursery, who))


def send(channel: str, message: Message) -> Outcome:
    """Hand a message to a channel; whatever breaks in there, nobody knows what went out."""
    try:
        return WAYS[channel].send(message)
    except Exception as error:  # the next channel is used, whatever it was
        log.warning("a reminder was not sent by %s: %s", channel, type(error).__name__)
        return Outcome.FAILED
