"""What came of telling somebody by one channel."""

from enum import StrEnum


class Outcome(StrEnum):
    """`gone`: there is nothing left to tell by; `failed`: anything else that is not `sent`."""

    SENT = "sent"
    GONE = "gone"
    FAILED = "failed"
