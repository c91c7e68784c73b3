"""Texts in the cells of a table: none of them is a formula to the program that opens it."""

# So a sheet program begins a formula (OWASP, CSV injection); the mark itself, so that it is undone.
BEGINS = ("=", "+", "-", "@", "\t", "\r", "\n", "'", "＝", "＋", "－", "＠")


def kept(text: str) -> str:
    """Return a text as a cell, with one apostrophe before what would be a formula.

    >>> kept("=1+1"), kept("'t"), kept("plain")
    ("'=1+1", "''t", 'plain')
    """
    return f"'{text}" if text.startswith(BEGINS) else text


def undone(text: str) -> str:
    """Return a text as it was before it became a cell; an apostrophe before anything else stays.

    >>> undone(kept("=1+1")), undone(kept("'t")), undone(kept("plain")), undone("'t")
    ('=1+1', "'t", 'plain', "'t")
    """
    return text[1:] if text.startswith("'") and text[1:].startswith(BEGINS) else text
