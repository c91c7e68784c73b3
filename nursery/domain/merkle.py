"""The tree over a nursery's feed: one root for all its lines, and a short proof of any of them.

Hashing is that of RFC 6962 section 2.1 and RFC 9162: a leaf is hashed after a zero byte, a node
after a one, and a tree of several leaves splits at the largest power of two below their number. A
proof is for any number of leaves at once: the roots of the largest subtrees that hold none of
them, from left to right. For one leaf these are the hashes of the RFC's audit path.
"""

from collections.abc import Iterator, Mapping, Sequence
from hashlib import sha256

EMPTY = sha256(b"").digest()


class Unproven(ValueError):
    """The proof does not fit the number of leaves: it is too short, or too long."""


def leaf(data: bytes) -> bytes:
    return sha256(b"\x00" + data).digest()


def node(left: bytes, right: bytes) -> bytes:
    return sha256(b"\x01" + left + right).digest()


def split(size: int) -> int:
    """Return how many of `size` leaves, two or more, stand in the left subtree.

    >>> [split(size) for size in (2, 3, 4, 5, 8, 9)]
    [1, 2, 2, 4, 4, 8]
    """
    return 1 << (size - 1).bit_length() - 1


def root(leaves: Sequence[bytes]) -> bytes:
    """Return the root of a tree, given the hashes of its leaves."""
    level = list(leaves)
    if not level:
        return EMPTY
    # Pairing level by level, an odd last one going up as it is, gives the tree that splits so.
    while len(level) > 1:
        paired = [
            sha256(b"\x01" + left + right).digest()
            for left, right in zip(level[::2], level[1::2], strict=False)
        ]
        level = paired + level[len(level) - len(level) % 2 :]
    return level[0]


def prove(leaves: Sequence[bytes], wanted: Sequence[int]) -> list[bytes]:
    """Return the proof that the leaves at the places `wanted`, in rising order, are in the tree."""
    return [root(leaves[start:end]) for start, end in _others(0, len(leaves), sorted(wanted))]


def _others(start: int, end: int, wanted: Sequence[int]) -> Iterator[tuple[int, int]]:
    """Yield the largest subtrees of [start, end) that hold no wanted leaf, from left to right."""
    if start == end:
        return
    if not wanted:
        yield start, end
    elif len(wanted) < end - start:
        middle = start + split(end - start)
        yield from _others(start, middle, [at for at in wanted if at < middle])
        yield from _others(middle, end, [at for at in wanted if at >= middle])


def root_of(size: int, known: Mapping[int, bytes], proof: Sequence[bytes]) -> bytes:
    """Return the root that the known leaves and a proof give for a tree of `size` leaves.

    `known` leads from the place of each leaf to its hash.

    Raises:
        Unproven: the proof has too few hashes or too many.
    """
    places = sorted(known)
    if places and not 0 <= places[0] <= places[-1] < size:
        raise Unproven
    left = iter(proof)
    found = _rebuilt(0, size, [(at, known[at]) for at in places], left)
    if next(left, None) is not None:
        raise Unproven
    return found


def _rebuilt(
    start: int, end: int, known: Sequence[tuple[int, bytes]], proof: Iterator[bytes]
) -> bytes:
    if start == end:
        return EMPTY
    if not known:
        found = next(proof, None)
        if found is None:
            raise Unproven
        return found
    if len(known) == end - start:
        return root([hashed for _, hashed in known])
    middle = start + split(end - start)
    first = [one for one in known if one[0] < middle]
    left = _rebuilt(start, middle, first, proof)
    return node(left, _rebuilt(middle, end, known[len(first) :], proof))
