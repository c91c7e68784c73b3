"""The word of the grower that a suspicion was a mis-tap: it alone answers one from within (E-8).

Others may say so as well; what they say is kept and noted, and answers nothing.
"""

import re
from collections.abc import Collection

from nursery.domain.entry import Entry
from nursery.domain.kinds.count import Settled

SUSPICION = "suspicion:"
# Named one by one, so that the phone's twin takes the same signs for none.
NO_SIGN = re.compile("[ \t\r\n\u00a0]*")


def find_of(entry: Entry) -> str | None:
    """Return the find that a record calls a mis-tap, by the id that it names; else None."""
    if isinstance(entry.body, Settled) and entry.body.doubt.startswith(SUSPICION):
        return entry.body.doubt.removeprefix(SUSPICION)
    return None


def counts(entry: Entry, growers: Collection[str]) -> bool:
    """Return whether such a record is a grower's: with a PIN, with a reason, by their own tile."""
    given = isinstance(entry.body, Settled) and not NO_SIGN.fullmatch(entry.body.reason)
    return given and entry.confirmed and entry.author in growers
