"""Labels as people read them: which are one label written twice, and which are taken for another.

A label stands for a batch and is never a key: two phones may write the same one. A label is read by
its letters and its number (rules G-12, G-13).
"""

import re
from collections.abc import Iterable, Mapping
from itertools import combinations
from unicodedata import normalize

from nursery.domain.batch import Batch
from nursery.domain.doubts import Doubt

PIECES = re.compile(r"[0-9]+|[^\W\d_]+")
# Signs that are read for one another on wet paper. (Common practice, no source.)
TWINS = str.maketrans("OQILSZB", "0011528")


def canonical(label: str) -> str:
    """Return the one way to write a label: capitals, no spaces, no leading zeros.

    >>> canonical(" t 03 ")
    'T3'
    """
    return "".join(
        piece.lstrip("0") or "0" if piece.isdecimal() else piece for piece in pieces(label)
    )


def pieces(label: str) -> tuple[str, ...]:
    """Return the letters and numbers of a label, apart.

    >>> pieces("TR3")
    ('TR', '3')
    """
    return tuple(PIECES.findall(normalize("NFKC", label).upper()))


def spoken(label: str) -> str:
    """Return a label as it is read aloud: letter by letter, numbers whole.

    >>> spoken("TR13")
    'T R 13'
    """
    return " ".join(" ".join(piece) if piece.isalpha() else piece for piece in pieces(label))


def alike(one: str, other: str) -> bool:
    """Return whether two labels are easily taken for one another.

    The number is the same and the letters differ by one at most; or the digits are turned round;
    or the signs look the same.

    >>> alike("T3", "TR3"), alike("T3", "T4"), alike("T13", "T31"), alike("B8", "88")
    (True, False, True, True)
    """
    first, second = canonical(one), canonical(other)
    if first == second:
        return True
    if first.translate(TWINS) == second.translate(TWINS):
        return True
    letters, digits = _apart(first)
    other_letters, other_digits = _apart(second)
    if letters == other_letters:
        return len(digits) > 1 and sorted(digits) == sorted(other_digits)
    return digits == other_digits != "" and _one_letter_apart(letters, other_letters)


def _apart(label: str) -> tuple[str, str]:
    letters = "".join(sign for sign in label if not sign.isdecimal())
    return letters, "".join(sign for sign in label if sign.isdecimal())


def _one_letter_apart(one: str, other: str) -> bool:
    short, long = sorted((one, other), key=len)
    if len(long) == len(short):
        return sum(a != b for a, b in zip(one, other, strict=True)) == 1
    return len(long) - len(short) == 1 and any(
        long[:i] + long[i + 1 :] == short for i in range(len(long))
    )


def look_alikes(labels: Iterable[str]) -> tuple[tuple[str, str], ...]:
    """Return the pairs of labels that are easily taken for one another, each once.

    Only labels that share a trait which such pairs share are compared, so thousands are quick.
    """
    shelves: dict[tuple[str, ...], list[str]] = {}
    for label in sorted(set(labels)):
        for trait in set(_traits(canonical(label))):
            shelves.setdefault(trait, []).append(label)
    pairs = {
        (one, other)
        for shelf in shelves.values()
        for one, other in combinations(shelf, 2)
        if alike(one, other)
    }
    return tuple(sorted(pairs))


def _traits(label: str) -> Iterable[tuple[str, ...]]:
    letters, digits = _apart(label)
    yield "looks", label.translate(TWINS)
    if len(digits) > 1:
        yield "turned", letters, "".join(sorted(digits))
    if digits:
        yield "near", digits, letters
        for index in range(len(letters)):
            yield "near", digits, letters[:index] + letters[index + 1 :]


def twice(batches: Mapping[str, Batch]) -> tuple[tuple[str, Doubt], ...]:
    """Return a doubt for each label that stands on several living batches, for each of them.

    A label is free again once its batch is closed. It is settled by an entry about any of them.
    """
    worn: dict[str, list[str]] = {}
    for name in sorted(batches):
        batch = batches[name]
        if batch.label is not None and batch.began_at is not None and not batch.closed:
            worn.setdefault(canonical(batch.label), []).append(name)
    found = []
    for names in worn.values():
        if len(names) > 1:
            labels = [batches[name].label for name in names]
            doubt = Doubt("label_twice", tuple(names), {"label": labels[0], "batches": names})
            settled = (batches[name].settled.get(doubt.id) for name in names)
            by = next((entry for entry in settled if entry is not None), None)
            closed = Doubt(doubt.code, doubt.entries, doubt.params, by)
            found += [(name, closed) for name in names]
    return tuple(found)
