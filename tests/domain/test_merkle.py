"""The tree over the feed: published values of RFC 6962's test log, and laws of its proofs.

The eight leaves and the roots of their trees are those of the reference log of RFC 6962, written
here from memory; its first four values can be worked out on paper.
"""

from hashlib import sha256

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nursery.domain import merkle

LEAVES = [
    bytes.fromhex(text)
    for text in (
        "",
        "00",
        "10",
        "2021",
        "3031",
        "40414243",
        "5051525354555657",
        "606162636465666768696a6b6c6d6e6f",
    )
]
HASHES = [merkle.leaf(data) for data in LEAVES]
ROOTS = (
    "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d",
    "fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125",
    "aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77",
    "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7",
    "4e3bbb1f7b478dcfe71fb631631519a3bca12c9aefca1612bfce4c13a86264d4",
    "76e67dadbcdf1e10e1b74ddc608abd2f98dfb16fbce75277b5232a127f2087ef",
    "ddb89be403809e325750d3d263cd78929c2942b7942a34b77e122c9594a74c8c",
    "5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328",
)
# The audit paths of RFC 6962 section 2.1.3: tree size, leaf, and the subtrees whose roots are told.
PATHS: tuple[tuple[int, int, list[tuple[int, int]]], ...] = (
    (1, 0, []),
    (8, 0, [(1, 2), (2, 4), (4, 8)]),
    (8, 5, [(0, 4), (4, 5), (6, 8)]),
    (3, 2, [(0, 2)]),
    (5, 1, [(0, 1), (2, 4), (4, 5)]),
    # The RFC's own tree of seven.
    (7, 0, [(1, 2), (2, 4), (4, 7)]),
    (7, 3, [(0, 2), (2, 3), (4, 7)]),
    (7, 4, [(0, 4), (5, 6), (6, 7)]),
    (7, 6, [(0, 4), (4, 6)]),
)


def test_an_empty_tree_has_the_hash_of_nothing() -> None:
    assert merkle.root([]) == sha256(b"").digest() == merkle.root_of(0, {}, [])
    assert merkle.prove([], []) == []


@pytest.mark.parametrize("size", range(1, 9))
def test_roots_are_the_published_ones(size: int) -> None:
    assert merkle.root(HASHES[:size]).hex() == ROOTS[size - 1]


@pytest.mark.parametrize(("size", "at", "subtrees"), PATHS)
def test_a_proof_of_one_leaf_holds_the_hashes_of_its_audit_path(
    size: int, at: int, subtrees: list[tuple[int, int]]
) -> None:
    proof = merkle.prove(HASHES[:size], [at])
    assert proof == [merkle.root(HASHES[start:end]) for start, end in subtrees]
    assert merkle.root_of(size, {at: HASHES[at]}, proof).hex() == ROOTS[size - 1]


@pytest.mark.parametrize(
    ("size", "known", "proof"),
    [
        (8, {0: HASHES[0]}, []),
        (8, {}, []),
        (1, {0: HASHES[0]}, [HASHES[1]]),
        (0, {0: HASHES[0]}, []),
        (2, {-1: HASHES[0], 0: HASHES[0]}, []),
    ],
)
def test_a_proof_that_does_not_fit_is_refused(
    size: int, known: dict[int, bytes], proof: list[bytes]
) -> None:
    with pytest.raises(merkle.Unproven):
        merkle.root_of(size, known, proof)


trees = st.integers(1, 70).flatmap(
    lambda size: st.tuples(st.just(size), st.sets(st.integers(0, size - 1)))
)


def recursive_root(leaves: list[bytes]) -> bytes:
    """The definition of RFC 6962, word for word."""
    if len(leaves) == 1:
        return leaves[0]
    k = 1
    while k * 2 < len(leaves):
        k *= 2
    left, right = recursive_root(leaves[:k]), recursive_root(leaves[k:])
    return sha256(b"\x01" + left + right).digest()


@given(trees)
def test_any_leaves_are_proven_by_a_proof_and_none_in_their_stead(
    tree: tuple[int, set[int]],
) -> None:
    size, wanted = tree
    leaves = [merkle.leaf(bytes([at])) for at in range(size)]
    proof = merkle.prove(leaves, sorted(wanted))
    known = {at: leaves[at] for at in wanted}
    whole = recursive_root(leaves)
    assert merkle.root(leaves) == whole == merkle.root_of(size, known, proof)
    for at in wanted:
        assert merkle.root_of(size, {**known, at: merkle.leaf(b"another")}, proof) != whole
    for at, one in enumerate(proof):
        bent = [*proof[:at], bytes([one[0] ^ 1]) + one[1:], *proof[at + 1 :]]
        assert merkle.root_of(size, known, bent) != whole


@given(trees)
def test_a_proof_is_never_longer_than_one_path_for_each_leaf(tree: tuple[int, set[int]]) -> None:
    size, wanted = tree
    leaves = [merkle.leaf(bytes([at])) for at in range(size)]
    depth = (size - 1).bit_length()
    assert len(merkle.prove(leaves, sorted(wanted))) <= max(1, len(wanted) * depth)
