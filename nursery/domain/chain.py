"""The chain that makes any change, removal or swap of a line of the feed visible.

The hash of a line is SHA-256 of its exact text; its link rests on the link before it. A text that
was blanked for privacy leaves both standing.
"""

from hashlib import sha256

# The link before the first line of a nursery's feed.
START = "0" * 64


def text_hash(text: str) -> str:
    """Return the SHA-256 of the exact UTF-8 text, in hex."""
    return sha256(text.encode()).hexdigest()


def link(previous: str, seq: int, ident: str, hashed: str) -> str:
    """Return the link of line `seq`, which bears `ident` and whose text hashes to `hashed`.

    >>> link(START, 1, "a", text_hash("{}"))[:8]
    '12f5210e'
    """
    return sha256(f"{previous}\n{seq}\n{ident}\n{hashed}".encode()).hexdigest()
