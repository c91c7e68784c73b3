"""How a body of JSON is read: strictly, so that nothing comes in that no row can hold.

It is UTF-8 (RFC 8259). Endless numbers, halves of a surrogate pair and texts nested without end are
nothing that anybody means; a lenient reader lets them through to whoever writes them down.
"""

from typing import Any

import orjson
from rest_framework.exceptions import ParseError
from rest_framework.parsers import JSONParser

from nursery.api.problems import BodyTooLarge

# The largest honest body is the layout of a block of 20 000 positions, some 400 KB.
MOST = 4 << 20
# The deepest honest body, a handover's file, has six levels.
DEEPEST = 64


class StrictJson(JSONParser):
    """Reads one body, whatever character set it says that it has."""

    def parse(self, stream: Any, *_: Any, **__: Any) -> Any:
        """Return what the body says.

        Raises:
            BodyTooLarge: it is longer than anything that is asked by JSON.
            ParseError: it is no JSON, or none that can be kept.
        """
        text = stream.read(MOST + 1)
        if len(text) > MOST:
            raise BodyTooLarge(MOST)
        try:
            return strictly(text)
        except ValueError:
            raise ParseError from None


def strictly(text: bytes | str) -> Any:
    """Return what a text of JSON says.

    Raises:
        ValueError: it is none, or none that can be kept.
    """
    told = orjson.loads(text)
    if not is_shallow(told):
        raise ValueError("nested too deep")
    return told


def is_shallow(told: Any) -> bool:
    """Whether lists and objects are nested no deeper than `DEEPEST`.

    >>> is_shallow({"a": [1, {"b": []}]}), is_shallow([[[[]]]] * 3), is_shallow(7)
    (True, True, True)
    """
    level = [told]
    for _ in range(DEEPEST + 1):
        level = [
            inner
            for one in level
            if isinstance(one, dict | list)
            for inner in (one.values() if isinstance(one, dict) else one)
        ]
        if not level:
            return True
    return False
