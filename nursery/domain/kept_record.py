"""Records read back from kept states: a shelf when it is asked for, and a body when its kind is.

A book of some years keeps hundreds of thousands of things, and each rule asks for a few of them. No
value differs from what `Record.as_json` was told.
"""

from collections.abc import Collection, Mapping
from datetime import datetime
from operator import itemgetter
from typing import Any

from nursery.domain.kinds import KINDS, kept
from nursery.domain.record import DAY, SHELVES, Happening, Presence, Record

_READERS = {shelf: kept.reader_of(cls) for shelf, cls in SHELVES.items() if shelf != "happenings"}
_KINDS = {cls: kind for kind, cls in KINDS.items()}


def read(raw: Mapping[str, Any]) -> Record:
    """Return the record that `Record.as_json` wrote."""
    record = _Kept.__new__(_Kept)
    record.waiting = dict(raw)
    by_kind: dict[str, list[tuple[int, Mapping[str, Any]]]] = {}
    record.by_kind = by_kind
    record.known = {}
    for at, one in enumerate(record.waiting.pop("happenings", ())):
        by_kind.setdefault(one["kind"], []).append((at, one))
    return record


class _Kept(Record):
    """A record of which `waiting` are the shelves that nobody has asked for yet.

    Of happenings nobody need ask for all: `by_kind` are those that wait, with their places in the
    order, and `known` are those of the kinds that somebody asked for.
    """

    __slots__ = ("by_kind", "known", "waiting")

    waiting: dict[str, Any]
    by_kind: dict[str, list[tuple[int, Mapping[str, Any]]]] | None
    known: dict[str, list[tuple[int, Happening]]]

    def __init__(self, **shelves: Any) -> None:
        # What is made of a record by `replace` is told whole.
        super().__init__(**shelves)
        self.by_kind = None
        self.waiting = {}

    def __getattr__(self, name: str) -> Any:
        """Return a shelf that was not asked for before."""
        if name == "_told":
            self._told = {}
            return self._told
        if name not in SHELVES:
            raise AttributeError(name)
        if name == "happenings":
            waiting = self.by_kind or {}
            shelf = self._of({*waiting, *self.known}, waiting)
        else:
            shelf = [*map(_READERS[name], self.waiting.pop(name, ()))]
        setattr(self, name, shelf)
        return shelf

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Record) and all(
            getattr(self, shelf) == getattr(other, shelf) for shelf in SHELVES
        )

    __hash__ = None  # type: ignore[assignment]

    def told(self, *classes: type) -> list[Happening]:
        if self.by_kind is None:
            return super().told(*classes)
        kinds = {_KINDS[cls] for cls in classes}
        return [one for one in self._of(kinds, self.by_kind) if type(one.body) in classes]

    def present(self, days: Collection[str]) -> list[Presence]:
        if "presence" not in self.waiting:
            return super().present(days)
        read = _READERS["presence"]
        return [
            read(raw)
            for raw in self.waiting["presence"]
            if raw["since"][:DAY] in days or raw["until"][:DAY] in days
        ]

    def _of(
        self, kinds: Collection[str], waiting: dict[str, list[tuple[int, Mapping[str, Any]]]]
    ) -> list[Happening]:
        found: list[tuple[int, Happening]] = []
        for kind in kinds:
            if kind not in self.known:
                some = waiting.pop(kind, ())
                self.known[kind] = [(at, _happening(raw)) for at, raw in some]
            found += self.known[kind]
        if len(kinds) > 1:
            found.sort(key=itemgetter(0))
        return [one for _, one in found]


def _happening(raw: Mapping[str, Any]) -> Happening:
    kind = raw["kind"]
    at = datetime.fromisoformat(raw["at"])
    return Happening(raw["entry"], at, raw["by"], kind, kept.read(kind, raw["body"]))
