"""The kin of some batches, read by their names: a book of a million entries is not gone through.

Children are found by the entries that make them, parents by the states.
"""

from collections.abc import Collection, Iterable, Iterator, Mapping

from nursery.domain.batch import Batch
from nursery.domain.kinds.field import Planted, Refilled, seat
from nursery.services import states
from nursery.store import kin
from nursery.store.scope import Scope


def forward(rows: Scope, began: Mapping[str, Batch], shelves: Collection[str]) -> dict[str, Batch]:
    """Return some batches and all that was made of them."""
    found, ahead = dict(began), set(began)
    while ahead:
        births = kin.told_of(rows, ahead, kin.BIRTHS)
        named = {name for some in births.values() for one in some for name in one.about}
        some = states.some_batches(rows, named - set(found), shelves)
        made = {name: one for name, one in some.items() if ahead & set(one.parents)}
        found |= made
        ahead = set(made)
    return found


def back(rows: Scope, family: Mapping[str, Batch], shelves: Collection[str]) -> dict[str, Batch]:
    """Return the batches that some came of, and those that these came of."""
    found: dict[str, Batch] = {}
    ahead = {name for one in family.values() for name in one.parents} - set(family)
    while ahead:
        some = states.some_batches(rows, ahead, shelves)
        found |= some
        ahead = {name for one in some.values() for name in one.parents} - {*found, *family}
    return found


def whole(rows: Scope, names: Collection[str], shelves: Collection[str]) -> dict[str, Batch]:
    """Return the batches of these names with all that was made of them, and what each came of."""
    family = forward(rows, states.some_batches(rows, names, shelves), shelves)
    return {**back(rows, family, shelves), **family}


def line(name: str, batches: Mapping[str, Batch]) -> Iterator[Batch]:
    """Yield a batch and all that it came of, as far as they are among these."""
    seen: set[str] = set()
    waiting = [name]
    while waiting:
        one = waiting.pop()
        if one in batches and one not in seen:
            seen.add(one)
            yield batches[one]
            waiting += batches[one].parents


def seats(family: Iterable[Batch]) -> set[str]:
    """Return the rows of the field in which some batches were planted."""
    return {
        seat(one.body.block, one.body.row)
        for batch in family
        for one in batch.record.told(Planted, Refilled)
    }
