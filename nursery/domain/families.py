"""Batches that gave plants to each other: the group whose account must balance.

Of a mixed batch nobody can say which parent gave how many, so no single tray is asserted; the group
of its possible parents is (rule L-4).
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from nursery.domain.batch import Batch
from nursery.domain.doubts import Doubt, settle
from nursery.domain.ledger import WAYS, Ledger, of_group, of_whole_group


@dataclass(frozen=True, slots=True)
class Family:
    """Batches joined by split, joined and mixed, with their account together."""

    batches: tuple[str, ...]
    ledger: Ledger
    doubts: tuple[Doubt, ...]


def families(batches: Mapping[str, Batch]) -> list[Family]:
    """Return the groups of two batches or more, in order of their first id.

    A group of which a parent is not among `batches` cannot be asserted and is left out.
    """
    groups: dict[str, list[str]] = {}
    leaders: dict[str, str] = {}
    for ident in sorted(batches):
        for parent in batches[ident].parents:
            ours, theirs = sorted((_leader(leaders, ident), _leader(leaders, parent)))
            leaders[theirs] = ours
    for ident in sorted({*batches, *leaders}):
        groups.setdefault(_leader(leaders, ident), []).append(ident)
    return [
        _family([batches[ident] for ident in group])
        for _, group in sorted(groups.items())
        if len(group) > 1 and all(ident in batches for ident in group)
    ]


def _leader(leaders: dict[str, str], ident: str) -> str:
    """Return the least id of the group of `ident`, and shorten the way there."""
    leader = ident
    while leaders.get(leader, leader) != leader:
        leader = leaders[leader]
    while ident != leader:
        leaders[ident], ident = leader, leaders.get(ident, leader)
    leaders[leader] = leader
    return leader


def _family(group: list[Batch]) -> Family:
    names = tuple(batch.id for batch in group)
    settled = {doubt: by for batch in group for doubt, by in batch.settled.items()}
    ledger = of_whole_group(batch.ledger for batch in group)
    left_over = of_group(batch.ledger for batch in group)
    if any(batch.gave_uncounted for batch in group):
        # What a parent gave before anybody counted it came in with it.
        ledger.came_in -= sum(getattr(left_over, way) for way in WAYS)
    return Family(names, ledger, settle(list(_odd(names, left_over, ledger)), settled))


def _odd(names: tuple[str, ...], left_over: Ledger, ledger: Ledger) -> Iterator[Doubt]:
    """Yield the doubt of what got lost between the batches; each batch tells its own."""
    lost = ledger.difference - left_over.difference
    if lost:
        yield Doubt("group_difference", names, {"plants": lost, "batches": list(names)})
