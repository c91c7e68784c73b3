"""The numbers that one install gave its entries, and which of them never came.

Each install numbers its entries 1, 2, 3 and so on, so a hole below the highest number that came is
an entry that was lost, and can be named.
"""

from collections.abc import Iterable, Sequence

Ranges = list[list[int]]


def take(highest: int, holes: Sequence[Sequence[int]], came: Iterable[int]) -> tuple[int, Ranges]:
    """Return the highest number and the holes below it after more numbers came.

    Args:
        highest: the highest number that came before, 0 for none.
        holes: closed ranges `[first, last]` of numbers below it that have not come.
        came: numbers that come now, in any order, repeated or not.

    >>> take(0, [], [1, 2, 5])
    (5, [[3, 4]])
    >>> take(5, [[3, 4]], [4, 6])
    (6, [[3, 3]])
    """
    missing: Ranges = [list(hole) for hole in holes]
    for number in sorted(set(came)):
        if number > highest:
            if number > highest + 1:
                missing.append([highest + 1, number - 1])
            highest = number
        else:
            missing = [part for hole in missing for part in _without(hole, number)]
    return highest, missing


def _without(hole: list[int], number: int) -> Ranges:
    first, last = hole
    if not first <= number <= last:
        return [hole]
    parts = [[first, number - 1], [number + 1, last]]
    return [part for part in parts if part[0] <= part[1]]
