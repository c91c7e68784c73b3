"""Every way a request can be turned down by the rules. An entry never is.

* Refusal
  - RowLacks         a row of reference data without a field that it must have
  - RowUnreadable    a field of a row that is not what such a field holds
  - RowImpossible    a field of a row that contradicts another, or that nothing can meet
  - RowUnknown       a type of row that the book does not keep
  - TermUnreadable   a condition of a permit or a rule that cannot be met, or is none
  - GroundUnreadable, GroundSwapped, GroundFar, GroundCrosses, GroundEmpty, GroundCrowded,
    GroundHoldsNone  the ground or the rows of a block that cannot be laid out
  - SupposedUnreadable  a supposition that lacks a field, or names one that cannot be

Each carries a code and what it is about; the sentence, with its remedy, stands in the catalogue.
"""

from typing import Any, ClassVar


class Refusal(Exception):
    """A request that cannot be done as asked: thing and value in `params`, remedy by `code`."""

    code: ClassVar[str]

    def __init__(self, **params: Any) -> None:
        super().__init__(self.code, params)
        self.params = params


class RowLacks(Refusal):
    code = "row_lacks"

    def __init__(self, what: str, ident: str, field: str) -> None:
        super().__init__(what=what, id=ident, field=field)


class RowUnreadable(Refusal):
    code = "row_unreadable"

    def __init__(self, what: str, ident: str, field: str, value: str) -> None:
        super().__init__(what=what, id=ident, field=field, value=value)


class RowImpossible(Refusal):
    code = "row_impossible"

    def __init__(self, what: str, ident: str, field: str, value: str) -> None:
        super().__init__(what=what, id=ident, field=field, value=value)


class RowUnknown(Refusal):
    code = "row_unknown"

    def __init__(self, what: str) -> None:
        super().__init__(what=what)


class TermUnreadable(Refusal):
    code = "term_unreadable"

    def __init__(self, at: tuple[str, str], term: str, field: str, value: str) -> None:
        super().__init__(what=at[0], id=at[1], term=term, field=field, value=value)


class SupposedUnreadable(Refusal):
    code = "supposed_unreadable"

    def __init__(self, field: str, value: object) -> None:
        super().__init__(field=field, value=str(value)[:60])


class GroundUnreadable(Refusal):
    code = "ground_unreadable"

    def __init__(self, field: str, value: str) -> None:
        super().__init__(field=field, value=value)


class GroundSwapped(Refusal):
    """Latitude stands where longitude belongs."""

    code = "ground_swapped"

    def __init__(self, value: str) -> None:
        super().__init__(value=value)


class GroundFar(Refusal):
    """A block that lies far from the site."""

    code = "ground_far"

    def __init__(self, latitude: float, site: float) -> None:
        super().__init__(value=round(latitude, 4), site=round(site, 4))


class GroundCrosses(Refusal):
    """An outline that crosses itself."""

    code = "ground_crosses"


class GroundEmpty(Refusal):
    """An outline of no area, or whose set-back leaves no room."""

    code = "ground_empty"


class GroundCrowded(Refusal):
    """Distances that give more positions than anybody plants."""

    code = "ground_crowded"


class GroundHoldsNone(Refusal):
    """Rows without a single position."""

    code = "ground_none"
