"""How an attempt to reach somebody ended, as far as the channel can say."""

from enum import StrEnum


class Outcome(StrEnum):
    """`sent`: the next hand took it, which proves nothing about a person.

    `gone` says that there is nobody at the other end any more, `failed` anything else.
    """

    SENT = "sent"
    GONE = "gone"
    FAILED = "failed"
