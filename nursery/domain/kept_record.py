"""Records read back from kept states: a shelf when it is asked for, and a body when its kind is.

A book of some years keeps hundreds of thousands of things, and each rule asks for a few of them. No
value differs from what `Record.as_json` was told.
"""

from collections.abc import Mapping
from datetime import datetime
from operator import itemgetter
from typing import Any

from nursery.domain.kinds import KINDS, kept
from nursery.domain.record import SHELVES, Happening, Record

_READERS = {shelf: kept.reader_of(cls) for shelf, cls in SHELVES.items() if shelf != "happenings"}
_KINDS = {cls: kind for kind, cls in KINDS.items()}


def read(raw: Mapping[str, Any]) -> Record:
    """Return the record that `Record.as_json` wrote."""
    record = _Kept.__new__(_Kept)
    record.waiting = dict(raw)
    record.by_kind = None
    record.known = {}
    return record


class _Kept(Record):
    """A record of which `waiting` are the shelves that nobody has asked for yet.

    Of happenings nobody need ask for all: `by_kind` are those that wait, with their places in the
    order, and `known` are those of the classes that somebody asked for.
    """

    __slots__ = ("by_kind", "known", "waiting")

    waiting: dict[str, Any]
    by_kind: dict[str, list[tuple[int, Mapping[str, Any]]]] | None
    known: dict[type, list[tuple[int, Happening]]]

    def __init__(self, **shelves: Any) -> None:
        # What is made of a record by `replace` is told whole.
        super().__init__(**shelves)
        self.waiting = {}

    def __getattr__(self, name: str) -> Any:
        """Return a shelf that was not asked for before."""
        if name == "_told":
            self._told = {}
            return self._told
        if name not in SHELVES:
            raise AttributeError(name)
        items = self.waiting.pop(name, ())
        read = _happening if name == "happenings" else _READERS[name]
        shelf = [*map(read, items)]
        setattr(self, name, shelf)
        return shelf

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Record) and all(
            getattr(self, shelf) == getattr(other, shelf) for shelf in SHELVES
        )

    __hash__ = None  # type: ignore[assignment]

    def told(self, *classes: type) -> list[Happening]:
        if "happenings" not in self.waiting:
            return super().told(*classes)
        found = [one for cls in classes for one in self._of(cls)]
        if len(classes) > 1:
            found.sort(key=itemgetter(0))
        return [one for _, one in found]

    def _of(self, cls: type) -> list[tuple[int, Happening]]:
        if cls not in self.known:
            if self.by_kind is None:
                self.by_kind = {}
                for at, raw in enumerate(self.waiting["happenings"]):
                    self.by_kind.setdefault(raw["kind"], []).append((at, raw))
            some = [(at, _happening(raw)) for at, raw in self.by_kind.pop(_KINDS[cls], ())]
            self.known[cls] = [one for one in some if type(one[1].body) is cls]
        return self.known[cls]


def _happening(raw: Mapping[str, Any]) -> Happening:
    kind = raw["kind"]
    at = datetime.fromisoformat(raw["at"])
    return Happening(raw["entry"], at, raw["by"], kind, kept.read(kind, raw["body"]))
