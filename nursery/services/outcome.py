"""What a channel is handed, and how an attempt to reach somebody ended as far as it can say."""

from enum import StrEnum
from typing import NamedTuple


class Outcome(StrEnum):
    """`sent`: the next hand took it, which proves nothing about a person.

    `gone` says that there is nobody at the other end any more, `later` that it was not taken now
    and may be in a while, `failed` anything else.
    """

    SENT = "sent"
    GONE = "gone"
    LATER = "later"
    FAILED = "failed"


class Banner(NamedTuple):
    """What a phone shows of one message.

    `url` is a path in the app; `topic` has at most 32 signs of base64url (RFC 8030, 5.4); `ttl` are
    seconds, never 0, since then a sleeping phone would never hear; `urgency` is normal or high.
    """

    nursery: str
    person: str
    title: str
    body: str
    url: str
    topic: str
    ttl: int
    urgency: str
