"""One file that proves itself: the release file as a page, with the records behind it.

The file is a page (the shell) around lines of JSON, each a part: the key, the seal, the manifest,
the checkpoint, the proof, the file's facts and words, then each record and each photo. Everything
hangs from two signed statements: the seal names the SHA-256 of the manifest, the manifest that of
every other part; the checkpoint names the root of the tree over the whole feed, and the proof leads
to it from the records. `bundle_check` and the page's own program walk the same way.
"""

from base64 import b64encode
from collections.abc import Mapping
from dataclasses import dataclass
from hashlib import sha256
from typing import Any

import orjson

from nursery.domain import merkle
from nursery.domain.chain import link, text_hash
from nursery.domain.entry import write_instant
from nursery.paper import shell
from nursery.services import signing
from nursery.services.release import Line, Release

SEAL, CHECKPOINT = "lathhouse release file 1", "lathhouse checkpoint 1"
# A script in a page ends at the first of these, wherever it stands.
OPENS, AS_WRITTEN = "<", "\\u003c"

NO_PHOTOS: Mapping[str, bytes] = {}


@dataclass(frozen=True, slots=True)
class Bundle:
    """The file's bytes; the digest by which paper names it, and the key that signed it."""

    content: bytes
    digest: str
    fingerprint: str


def make(
    release: Release, pages: Mapping[str, Any], photos: Mapping[str, bytes] = NO_PHOTOS
) -> Bundle:
    """Return the signed file of a release; `pages` are what it shows, by language.

    The same book on the same day gives the same bytes.

    Raises:
        NothingToSignWith: the installation has no signing key.
    """
    signer = signing.of(release.nursery)
    leaves = [merkle.leaf(bytes.fromhex(one)) for one in release.links]
    proof = [one.hex() for one in merkle.prove(leaves, [one.seq - 1 for one in release.lines])]
    checkpoint = canonical(_checkpoint(release, merkle.root(leaves), signer))
    file = canonical({"facts": release.facts, "pages": pages})
    named = sorted(photos)
    manifest = canonical(
        {
            "checkpoint": text_hash(checkpoint),
            "file": text_hash(file),
            "photos": [[name, sha256(photos[name]).hexdigest()] for name in named],
            "proof": text_hash("\n".join(proof)),
            "records": [_listed(line) for line in release.lines],
            "shell": shell.digest(),
        }
    )
    seal = canonical(_seal(release, manifest, signer))
    parts = [
        ["key", signer.public],
        ["seal", seal, signer.sign(seal)],
        ["manifest", manifest],
        ["checkpoint", checkpoint, signer.sign(checkpoint)],
        ["proof", proof],
        ["file", file],
        *(["record", one.seq, one.ident, one.previous, one.text] for one in release.lines),
        *(picture(name, photos[name]) for name in named),
    ]
    before, after = shell.halves()
    content = before + b"\n".join(map(written, parts)) + after
    return Bundle(content, text_hash(seal), signer.fingerprint)


def canonical(value: Any) -> str:
    return orjson.dumps(value, option=orjson.OPT_SORT_KEYS).decode()


def written(part: Any) -> bytes:
    """Return the one way in which a part is written inside the page."""
    return canonical(part).replace(OPENS, AS_WRITTEN).encode()


def picture(name: str, content: bytes) -> list[Any]:
    return ["photo", name, b64encode(content).decode()]


def _listed(line: Line) -> list[Any]:
    hashed = text_hash(line.text)
    return [line.seq, hashed, link(line.previous, line.seq, line.ident, hashed)]


def _checkpoint(release: Release, root: bytes, signer: signing.Signer) -> dict[str, Any]:
    return {
        "at": write_instant(release.at),
        "key": signer.fingerprint,
        "nursery": release.nursery,
        "root": root.hex(),
        "size": release.size,
        "type": CHECKPOINT,
    }


def _seal(release: Release, manifest: str, signer: signing.Signer) -> dict[str, Any]:
    return {
        "consignment": release.consignment,
        "key": signer.fingerprint,
        "manifest": text_hash(manifest),
        "nursery": release.nursery,
        "on": release.facts["on"],
        "type": SEAL,
    }
