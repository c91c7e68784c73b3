"""How the terraces are laid out, and which batch is meant for which of their positions."""

from collections.abc import Iterator, Mapping
from typing import Any

from nursery.ops.demo import names as n

SPACING = {"crop": n.FINGER_LIME, "in_row_m": 3.0, "between_m": 2.0, "fill": "clusters"}
# Rows from the painted end, so many positions each; pigeon pea stands above the first row.
HOLES = {
    n.TERRACES[0]: (12,) * 6,
    n.TERRACES[1]: (12,) * 6,
    n.TERRACES[2]: (15, 15, 15, 15, 10),
}
SHELTER = {"stands": "shelter", "species": "pigeon pea", "goes": 3, "first": 1, "holes": 30}
# What is to stand where: batch, first and last position.
MEANT: Mapping[str, tuple[tuple[str, int, int], ...]] = {
    n.TERRACES[0]: ((n.T1, 1, 43), (n.T5, 44, 72)),
    n.TERRACES[1]: ((n.T3, 1, 16), (n.T2, 17, 66), (n.T5, 67, 72)),
    n.TERRACES[2]: ((n.T3, 1, 29), (n.T5, 30, 35), (n.MIXED, 36, 43), (n.T6, 44, 70)),
}


def layout(terrace: str, *, meant: bool = False) -> dict[str, Any]:
    """Return the row of a terrace's layout, once it is known what is to stand where."""
    told = [{"batch": b, "first": first, "last": last} for b, first, last in MEANT[terrace]]
    return {
        **SPACING,
        "rows": list(_rows(HOLES[terrace])),
        "thinnings": [{"year": 2, "percent": 50}, {"year": 3, "percent": 100}],
        **({"meant": told} if meant else {}),
    }


def _rows(holes: tuple[int, ...]) -> Iterator[dict[str, Any]]:
    first = 1
    for number, some in enumerate(holes, start=1):
        yield {"number": number, "first": first, "holes": some}
        first += some
    yield {"number": len(holes) + 1, **SHELTER}


LAYOUTS: Mapping[str, dict[str, Any]] = {terrace: layout(terrace) for terrace in n.TERRACES}
