"""Where every plant of a batch, or of a group of batches, went.

    in = alive + died + culled + sampled + destroyed + stolen + planted + sent
         ± split, joined, mixed + open difference

A count is an observation: it sets what is alive, and what it cannot explain stays visible as the
open difference. "In" is the first count after arrival, never the paper's figure (rules L-1 to L-3).
"""

from collections.abc import Iterable
from dataclasses import dataclass, fields


@dataclass(slots=True)
class Ledger:
    """Plants, by where they are. Ways between batches are positive when plants leave by them."""

    came_in: int = 0
    alive: int = 0
    died: int = 0
    culled: int = 0
    sampled: int = 0
    destroyed: int = 0
    stolen: int = 0
    planted: int = 0
    sent: int = 0
    split: int = 0
    joined: int = 0
    mixed: int = 0
    settled: int = 0

    @property
    def out(self) -> int:
        """Plants that are no longer in the living count of this subject."""
        return (
            self.died
            + self.culled
            + self.sampled
            + self.destroyed
            + self.stolen
            + self.planted
            + self.sent
            + self.split
            + self.joined
            + self.mixed
            + self.settled
        )

    @property
    def difference(self) -> int:
        """Plants that nobody can account for; negative where there are too many."""
        return self.came_in - self.alive - self.out

    def as_json(self) -> dict[str, int]:
        named = {f.name: getattr(self, f.name) for f in fields(self)}
        named["in"] = named.pop("came_in")
        return {**named, "difference": self.difference}


WAYS = ("split", "joined", "mixed")


def of_group(ledgers: Iterable[Ledger]) -> Ledger:
    """Return the ledger of several batches together.

    Plants that went from one of the group to another cancel out, so a group that holds every
    possible parent of a mixed batch balances though no single tray can be asserted (rule L-4).
    """
    total = Ledger()
    for ledger in ledgers:
        for f in fields(Ledger):
            setattr(total, f.name, getattr(total, f.name) + getattr(ledger, f.name))
    return total


def of_whole_group(ledgers: Iterable[Ledger]) -> Ledger:
    """Return the ledger of a group that no way leads out of.

    What its ways do not cancel out left a parent and came into no child: it is a difference.
    """
    total = of_group(ledgers)
    for way in WAYS:
        setattr(total, way, 0)
    return total
