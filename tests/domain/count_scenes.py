"""Three terraces as they were planted on day 9 of the story, and what day 10 found in them."""

from collections.abc import Iterator, Mapping
from typing import Any

# Terrace -> holes of its rows, from the painted end.
HOLES: Mapping[str, tuple[int, ...]] = {
    "tr3": (12,) * 6,
    "tr4": (12,) * 6,
    "tr5": (15, 15, 15, 15, 10),
}
# What was planted: batch, first and last position. Two T1 stand for two T3 that were broken.
PLANTED: Mapping[str, tuple[tuple[str, int, int], ...]] = {
    "tr3": (("t1", 1, 43), ("t5", 44, 72)),
    "tr4": (("t1", 1, 2), ("t3", 3, 16), ("t2", 17, 66), ("t5", 67, 72)),
    "tr5": (("t3", 1, 29), ("t5", 30, 35), ("u", 36, 43), ("t6", 44, 70)),
}
MEANT: Mapping[str, tuple[tuple[str, int, int], ...]] = {
    **PLANTED,
    "tr4": (("t3", 1, 16), ("t2", 17, 66), ("t5", 67, 72)),
}
# How many of each batch there were, and how many waited in the shade house on day 10.
PLANTS = {"t1": 48, "t2": 52, "t3": 43, "t5": 43, "t6": 31, "u": 8}
RESERVE = {"t1": 3, "t2": 2, "t5": 2, "t6": 4}

DEAD, MISSING, ROOTSTOCK = ("dead", "drought"), ("missing", "unknown"), ("rootstock_only", None)
GONE: Mapping[str, Mapping[str, tuple[str, str | None]]] = {
    "tr3": {"5": DEAD, "50": DEAD, "58": MISSING, "66": DEAD},
    "tr4": {"3": DEAD, "20": DEAD, "30": MISSING, "45": DEAD, "60": ROOTSTOCK},
    "tr5": {
        **dict.fromkeys(("61", "62", "63", "64", "67", "68"), DEAD),
        **dict.fromkeys(("65", "69"), MISSING),
        "70": ROOTSTOCK,
    },
}


def rows(terrace: str) -> Iterator[tuple[int, range]]:
    """Yield each row's number and its positions."""
    first = 1
    for number, holes in enumerate(HOLES[terrace], start=1):
        yield number, range(first, first + holes)
        first += holes


def layout(terrace: str, **more: Any) -> dict[str, Any]:
    """Return the row of a terrace's layout."""
    return {
        "rows": [
            {"number": number, "first": holes[0], "holes": len(holes)}
            for number, holes in rows(terrace)
        ],
        "meant": [{"batch": b, "first": first, "last": last} for b, first, last in MEANT[terrace]],
        "fill": "clusters",
        **more,
    }


def planted(terrace: str) -> Iterator[tuple[str, dict[str, Any]]]:
    """Yield what was planted, a body for each batch of each row."""
    for number, holes in rows(terrace):
        for batch, first, last in PLANTED[terrace]:
            some = [str(hole) for hole in holes if first <= hole <= last]
            if some:
                yield batch, {"block": terrace, "row": str(number), "positions": some}


def surveyed(terrace: str) -> Iterator[dict[str, Any]]:
    """Yield what the count found, a body for each row."""
    for number, holes in rows(terrace):
        some = [_seen(terrace, str(hole)) for hole in holes]
        yield {"block": terrace, "row": str(number), "seen": some}


def _seen(terrace: str, position: str) -> dict[str, Any]:
    state, cause = GONE[terrace].get(position, ("alive", None))
    return {"position": position, "state": state, "cause": cause}
