"""One term: a rule with its date and its source, read from JSON and written to it."""

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from datetime import date
from typing import Any

from nursery.domain.kinds.shape import Misfit, Name, reader_of
from nursery.domain.terms.possible import possible
from nursery.domain.terms.rules import CODES, RULES, Rule

_READERS = {code: reader_of(cls) for code, cls in RULES.items()}


@dataclass(frozen=True, slots=True)
class Term:
    """One rule with its date and its source.

    `id` is unique in the nursery and stays with the term: due checks are named after it.
    """

    id: str
    rule: Rule
    since: date
    source: str
    reaches_running: bool = False

    @property
    def code(self) -> str:
        return CODES[type(self.rule)]

    def as_json(self) -> dict[str, Any]:
        says = {name: value for name, value in asdict(self.rule).items() if value is not None}
        return {
            "id": self.id,
            "rule": self.code,
            "says": {k: _many(v) if isinstance(v, tuple) else v for k, v in says.items()},
            "since": self.since.isoformat(),
            "source": self.source,
            "reaches_running": self.reaches_running,
        }


def _many(values: tuple[Any, ...]) -> list[Any]:
    return [value.isoformat() if isinstance(value, date) else value for value in values]


@dataclass(frozen=True, slots=True)
class _Frame:
    """The outside of a term, as it is written."""

    id: Name
    rule: Name
    since: date
    source: str
    reaches_running: bool = False


_frame = reader_of(_Frame)


def read(raw: object) -> Term:
    """Return the term that decoded JSON `raw` holds, in the form of `Term.as_json`.

    Raises:
        Misfit: a field is missing or is not what it should be, or nothing can meet it; names the
            field by its path.
    """
    if not isinstance(raw, Mapping):
        raise Misfit("term")
    frame: _Frame = _frame(raw)
    reader, says = _READERS.get(frame.rule), raw.get("says", {})
    if reader is None:
        raise Misfit("rule")
    if not isinstance(says, Mapping):
        raise Misfit("says")
    try:
        rule = possible(reader(says))
    except Misfit as misfit:
        raise Misfit(f"says.{misfit}") from None
    return Term(frame.id, rule, frame.since, frame.source, frame.reaches_running)
