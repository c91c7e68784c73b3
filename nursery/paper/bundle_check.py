"""Checking a bundle with nothing but its own bytes; says which part of it is not what was signed.

The parts are checked in this order: `shell` (the page around them), `key`, `seal`, `manifest`, and
then all that the manifest names: `shell` again, `checkpoint`, `proof`, `file`, `record N`, `photo
NAME`. Below the manifest all faults are told; above it the first, since nothing can be said of the
rest. A part must also be written exactly as the product writes it, so that no byte is free.
"""

from base64 import b64decode
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from hashlib import sha256
from typing import Any

import orjson

from nursery.domain import merkle
from nursery.domain.chain import link, text_hash
from nursery.paper import shell
from nursery.paper.bundle import CHECKPOINT, SEAL, picture, written
from nursery.services.signing import fingerprint, signed_by

STARTS = b'<script type="application/json" id="bundle">'
ENDS = b"</script>"
MOST_TOLD = 20
# The parts before the records and photos, in their order, and how many values each has.
FIRST = (("key", 2), ("seal", 3), ("manifest", 2), ("checkpoint", 3), ("proof", 2), ("file", 2))
Part = list[Any]


@dataclass(frozen=True, slots=True)
class Checked:
    """`faults` are the parts that do not hold; without any, the file is what the key signed.

    `own_shell` says whether the page is the one that this version of the product makes.
    """

    faults: tuple[str, ...]
    fingerprint: str = ""
    seal: Mapping[str, Any] | None = None
    size: int = 0
    records: int = 0
    photos: int = 0
    at: str = ""
    own_shell: bool = False

    @property
    def holds(self) -> bool:
        return not self.faults


def check(content: bytes, expected: str | None = None) -> Checked:
    """Check every byte of a bundle; `expected` is the fingerprint of the key that must have signed.

    Never raises, whatever the bytes are.
    """
    start = content.find(STARTS) + len(STARTS)
    end = content.find(ENDS, start)
    if start < len(STARTS) or end < 0:
        return Checked(("shell",))
    around = sha256(content[:start] + content[end:]).hexdigest()
    parts = [_part(line) for line in content[start:end].split(b"\n")]
    first = []
    for at, (name, length) in enumerate(FIRST):
        part = parts[at] if at < len(parts) else None
        if part is None or part[0] != name or len(part) != length:
            return Checked((name,))
        first.append(part)
    return _checked(first, parts[len(FIRST) :], around, expected)


def same_key(one: str, other: str) -> bool:
    """Whether two fingerprints are the same, however they are written down."""
    kept = ["".join(filter(str.isalnum, text)).upper() for text in (one, other)]
    return kept[0] == kept[1]


def _part(line: bytes) -> Part | None:
    """Return what a line says, or None where it is not written as the product writes."""
    try:
        part = orjson.loads(line)
        as_it_should = isinstance(part, list) and part and written(part) == line
    except (ValueError, TypeError):
        return None
    return part if as_it_should else None


def _checked(
    first: Sequence[Part], rest: Sequence[Part | None], around: str, expected: str | None
) -> Checked:
    (_, public), seal, (_, manifest), checkpoint, (_, proof), (_, file) = first
    key = _bytes(public)
    if key is None:
        return Checked(("key",))
    name = fingerprint(key)
    fault = _upper(key, seal, manifest, checkpoint)
    if fault is None and expected is not None and not same_key(expected, name):
        fault = "key"
    if fault is not None:
        return Checked((fault,), name)
    sealed, listed = orjson.loads(seal[1]), orjson.loads(manifest)
    faults = [] if around == listed["shell"] else ["shell"]
    stands = text_hash(checkpoint[1]) == listed["checkpoint"] and _signed(key, checkpoint)
    faults += [] if stands else ["checkpoint"]
    whole = text_hash("\n".join(map(str, proof))) == listed["proof"]
    if not whole or (stands and not _leads(proof, listed["records"], checkpoint[1])):
        faults.append("proof")
    faults += [] if text_hash(str(file)) == listed["file"] else ["file"]
    faults += [*_records(rest, listed["records"]), *_photos(rest, listed["photos"])]
    faults += [] if faults or _in_order(rest, listed) else ["form"]
    told: dict[str, Any] = orjson.loads(checkpoint[1]) if stands else {"size": 0, "at": ""}
    return Checked(
        tuple(faults[:MOST_TOLD]),
        name,
        sealed,
        told["size"],
        len(listed["records"]),
        len(listed["photos"]),
        told["at"],
        own_shell=around == shell.digest(),
    )


def _upper(key: bytes, seal: Part, manifest: str, checkpoint: Part) -> str | None:
    """Return the part that breaks the way from the key to the manifest, if one does."""
    sealed, pointed = _signed(key, seal), _signed(key, checkpoint)
    if not sealed:
        return "seal" if pointed else "key"
    said = orjson.loads(seal[1])
    if said["type"] != SEAL or said["key"] != fingerprint(key):
        return "seal"
    return None if text_hash(str(manifest)) == said["manifest"] else "manifest"


def _signed(key: bytes, part: Part) -> bool:
    """Whether the key signed what a part says."""
    _, text, signature = part
    signed = _bytes(signature)
    return isinstance(text, str) and signed is not None and signed_by(key, text, signed)


def _records(parts: Sequence[Part | None], listed: Sequence[Any]) -> Iterator[str]:
    """Yield the records that the manifest lists and that are not there word by word."""
    told = {_as_listed(part) for part in parts if part is not None}
    for seq, hashed, linked in listed:
        if (seq, hashed, linked) not in told:
            yield f"record {seq}"


def _as_listed(part: Part) -> tuple[int, str, str] | None:
    """Return a record as a manifest lists it; None of what is no record."""
    if len(part) != 5 or part[0] != "record" or type(part[1]) is not int:
        return None
    _, seq, ident, previous, text = part
    hashed = text_hash(str(text))
    return seq, hashed, link(previous, seq, ident, hashed)


def _photos(parts: Sequence[Part | None], listed: Sequence[Any]) -> Iterator[str]:
    told = {_picture_as_listed(part) for part in parts if part is not None}
    for name, hashed in listed:
        if (name, hashed) not in told:
            yield f"photo {name}"


def _picture_as_listed(part: Part) -> tuple[str, str] | None:
    """Return a photo as a manifest lists it; None where it is not written as the product writes."""
    if len(part) != 3 or part[0] != "photo":
        return None
    try:
        content = b64decode(part[2], validate=True)
    except (ValueError, TypeError):
        return None
    name = str(part[1])
    return (name, sha256(content).hexdigest()) if picture(name, content) == part else None


def _in_order(parts: Sequence[Part | None], manifest: Mapping[str, Any]) -> bool:
    """Whether the lines are those that are listed, no more, and in their order."""
    named = [["record", seq] for seq, *_ in manifest["records"]]
    named += [["photo", name] for name, _ in manifest["photos"]]
    return [part[:2] if part else None for part in parts] == named


def _leads(proof: Any, listed: Sequence[Any], checkpoint: str) -> bool:
    """Whether the records and the proof lead to the root that the checkpoint names."""
    said = orjson.loads(checkpoint)
    known = {seq - 1: merkle.leaf(bytes.fromhex(linked)) for seq, _, linked in listed}
    try:
        root = merkle.root_of(said["size"], known, [bytes.fromhex(one) for one in proof])
    except (merkle.Unproven, ValueError, TypeError):
        return False
    return bool(said["type"] == CHECKPOINT and root.hex() == said["root"])


def _bytes(text: Any) -> bytes | None:
    """Return what lower-case hex stands for; None for anything else."""
    try:
        content = bytes.fromhex(text)
    except (ValueError, TypeError):
        return None
    return content if content.hex() == text else None
