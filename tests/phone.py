"""A phone for tests: it writes entries as the app does, and keeps them until they are acknowledged."""

import json
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any

from nursery.domain.entry import write_instant


def make_id(moment: datetime, serial: int, device: int = 0) -> str:
    """Return a UUIDv7 of `moment`; `serial` orders what one phone writes in one millisecond."""
    ms = round(moment.timestamp() * 1000)
    return f"{ms >> 16:08x}-{ms & 0xFFFF:04x}-7{serial & 0xFFF:03x}-8{device & 0xFFF:03x}-{serial:012x}"


@dataclass
class Writer:
    """Writes entries of one install, numbered from 1."""

    name: str
    author: str = "p-w1"
    number: int = 1
    n: int = 0
    skew: timedelta = timedelta()
    written: list[str] = field(default_factory=list)

    def write(
        self,
        kind: str,
        about: Sequence[str],
        body: dict[str, Any],
        at: datetime,
        **more: Any,
    ) -> str:
        """Return the text of a new entry, exactly as a phone would store it."""
        self.n += 1
        entry = {
            "id": make_id(at, self.n, self.number),
            "v": 1,
            "kind": kind,
            "about": list(about),
            "occurred_at": write_instant(at),
            "offset_min": 600,
            "by_hand": False,
            "author": self.author,
            "confirmed": True,
            "device": f"d-{self.name}",
            "install": f"i-{self.name}",
            "n": self.n,
            "based_on": None,
            "skew_ms": 0,
            "corrects": None,
            "salt": f"{self.n:08x}",
            "body": body,
        }
        text = json.dumps({**entry, **more}, ensure_ascii=False)
        self.written.append(text)
        return text
