"""What a day of the story is made of, and how a step becomes the text that a phone stores.

Every id is worked out from the step itself, so that telling the story twice says the same twice.
"""

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from hashlib import sha256
from typing import Any
from zoneinfo import ZoneInfo

from nursery.domain.entry import write_instant
from nursery.services import demo

ZONE = ZoneInfo(demo.ZONE)
MS = 1000


@dataclass(frozen=True, slots=True)
class Named:
    """The id of the record that an earlier act was given a name for; `form` may put more around."""

    name: str
    form: str = "{}"


@dataclass(frozen=True, slots=True)
class Act:
    """Somebody writes one record on a phone. `name` lets later acts speak of it."""

    at: str
    phone: str
    by: str
    kind: str
    about: tuple[str, ...]
    body: Mapping[str, Any]
    name: str = ""
    corrects: Named | None = None
    by_hand: bool = False


@dataclass(frozen=True, slots=True)
class Typed:
    """The grower types a row of reference data at the office."""

    at: str
    type: str
    id: str
    body: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Brought:
    """The grower brings in years of daily weather that nobody measured, from a seed."""

    at: str
    id: str
    name: str
    seed: int
    first_year: int
    years: int


@dataclass(frozen=True, slots=True)
class Joined:
    """A phone joins the nursery by a one-time code."""

    at: str
    phone: str


@dataclass(frozen=True, slots=True)
class Synced:
    """A phone has signal: it sends what it holds and takes in what it lacks."""

    at: str
    phone: str


Step = Act | Typed | Brought | Joined | Synced


@dataclass(frozen=True, slots=True)
class Day:
    """One day of the nursery's zone; `number` is the day of the story that it leads to."""

    number: float
    on: date
    steps: tuple[Step, ...]

    def instant(self, step: Step) -> datetime:
        return datetime.combine(self.on, time.fromisoformat(step.at), ZONE)


@dataclass(slots=True)
class Notebook:
    """What one installation of the app writes, numbered from 1."""

    install: str
    device: str
    number: int
    n: int = 0

    def write(self, act: Act, at: datetime, names: Mapping[str, str]) -> tuple[str, str]:
        """Return id and text of the record that `act` makes at an instant."""
        self.n += 1
        ident = self._ident(at)
        entry = {
            "id": ident,
            "v": 1,
            "kind": act.kind,
            "about": list(act.about),
            "occurred_at": write_instant(at.astimezone(UTC)),
            "offset_min": round(at.utcoffset().total_seconds() / 60),  # type: ignore[union-attr]
            "by_hand": act.by_hand,
            "author": act.by,
            "confirmed": True,
            "device": self.device,
            "install": self.install,
            "n": self.n,
            "based_on": None,
            "skew_ms": 0,
            "corrects": None if act.corrects is None else _filled(act.corrects, names),
            "salt": sha256(f"salt {ident}".encode()).hexdigest()[:16],
            "body": _filled(act.body, names),
        }
        return ident, json.dumps(entry, ensure_ascii=False, separators=(",", ":"))

    def _ident(self, at: datetime) -> str:
        """Return a UUIDv7 of the instant; its random part is worked out from install and number."""
        ms = round(at.timestamp() * MS)
        tail = sha256(f"{self.install} {self.n}".encode()).hexdigest()
        return (
            f"{ms >> 16:08x}-{ms & 0xFFFF:04x}-7{self.n & 0xFFF:03x}-"
            f"8{self.number:x}{tail[:2]}-{tail[2:14]}"
        )


def _filled(value: Any, names: Mapping[str, str]) -> Any:
    match value:
        case Named(name=name, form=form):
            return form.format(names[name])
        case Mapping():
            return {key: _filled(inner, names) for key, inner in value.items()}
        case list() | tuple():
            return [_filled(inner, names) for inner in value]
        case _:
            return value


@dataclass(slots=True)
class Hand:
    """Short for acts of one person on one phone, as the lists of the days are written."""

    phone: str
    by: str

    def __call__(
        self, at: str, kind: str, about: str | Iterable[str], name: str = "", /, **body: Any
    ) -> Act:
        subjects = (about,) if isinstance(about, str) else tuple(about)
        return Act(at, self.phone, self.by, kind, subjects, body, name)
