"""How the terraces are laid out, which batch is meant for which position, and what stands there."""

from collections.abc import Iterator, Mapping
from datetime import date
from itertools import accumulate, groupby
from typing import Any

from nursery.ops.demo import names as n

SPACING = {
    "crop": n.FINGER_LIME,
    "in_row_m": 3.0,
    "between_m": 2.0,
    "fill": "clusters",
    "count_months": [6, 12],
}
# Rows from the painted end, so many positions each; pigeon pea stands above the first row.
HOLES = {
    n.TERRACES[0]: (12,) * 6,
    n.TERRACES[1]: (12,) * 6,
    n.TERRACES[2]: (15, 15, 15, 15, 10),
}
SHELTER = {"stands": "shelter", "species": "pigeon pea", "goes": 3, "first": 1, "holes": 30}

# The batch of each position of a terrace.
Batches = dict[int, str]


def _all(*runs: tuple[str, int, int]) -> Batches:
    return {at: batch for batch, first, last in runs for at in range(first, last + 1)}


MEANT: Mapping[str, Batches] = {
    n.TERRACES[0]: _all((n.T1, 1, 43), (n.T5, 44, 72)),
    n.TERRACES[1]: _all((n.T3, 1, 16), (n.T2, 17, 66), (n.T5, 67, 72)),
    n.TERRACES[2]: _all((n.T3, 1, 29), (n.T5, 30, 35), (n.MIXED, 36, 43), (n.T6, 44, 70)),
}
# Two of T3 broke on the way, and spares of T1 stand for them. Three of T3 that were meant for
# terrace 5 stand on terrace 4, and three of T2 in their places.
AS_PLANTED: Mapping[str, Batches] = {
    n.TERRACES[0]: MEANT[n.TERRACES[0]],
    n.TERRACES[1]: MEANT[n.TERRACES[1]]
    | dict.fromkeys((15, 16), n.T1)
    | dict.fromkeys((31, 32, 40), n.T3),
    n.TERRACES[2]: MEANT[n.TERRACES[2]] | dict.fromkeys((27, 28, 29), n.T2),
}


# Two sticky traps of terrace 5, by the position at which each hangs.
TRAPS_HANG: Mapping[str, int] = dict(zip(n.FIELD_TRAPS, (8, 52), strict=True))
TRAPS_SINCE = date(2032, 8, 11)


def trap(name: str) -> dict[str, Any]:
    """Return the row of a trap that hangs in terrace 5."""
    at = TRAPS_HANG[name]
    return {
        "name": f"Terrace trap {at}",
        "kind": "trap",
        "parent": n.TERRACES[2],
        "short": f"TR5-{at}",
        "hangs_at": str(at),
        "walk": at,
        "since": TRAPS_SINCE.isoformat(),
    }


def row_of(terrace: str, position: int) -> int:
    """Return the row of the crop in which a position lies.

    >>> row_of("terrace-5", 60), row_of("terrace-5", 61)
    (4, 5)
    """
    ends = accumulate(HOLES[terrace])
    return next(row for row, end in enumerate(ends, start=1) if position <= end)


def layout(terrace: str, meant: Batches | None = None) -> dict[str, Any]:
    """Return the row of a terrace's layout, once it is known what is to stand where."""
    return {
        **SPACING,
        "rows": list(_rows(HOLES[terrace])),
        "thinnings": [{"year": 2, "percent": 50}, {"year": 3, "percent": 100}],
        **({"meant": list(_runs(meant))} if meant else {}),
    }


def _runs(meant: Batches) -> Iterator[dict[str, Any]]:
    for batch, some in groupby(sorted(meant), key=meant.__getitem__):
        run = list(some)
        yield {"batch": batch, "first": run[0], "last": run[-1]}


def _rows(holes: tuple[int, ...]) -> Iterator[dict[str, Any]]:
    first = 1
    for number, some in enumerate(holes, start=1):
        yield {"number": number, "first": first, "holes": some}
        first += some
    yield {"number": len(holes) + 1, **SHELTER}


LAYOUTS: Mapping[str, dict[str, Any]] = {terrace: layout(terrace) for terrace in n.TERRACES}
