"""A trace reads a part of the book, and says of every batch the same holds as the whole book."""

from typing import Any

import pytest

from nursery.domain import holds
from nursery.domain.trace_start import Start
from nursery.ops.demo import names as n
from nursery.ops.demo.play import API
from nursery.services import outlook, trace
from nursery.services.demo import NURSERY
from nursery.store.scope import scope
from tests.story.reading import telling, there

pytestmark = pytest.mark.django_db

# When something is held, and by what; and when nothing is.
HELD = {
    "2031-03-24T18:00": set(),
    "2031-05-04T07:47": {"find"},
    "2031-05-17T18:00": {"find", "order", "place_order"},
    "2031-06-06T18:00": set(),
    "2031-08-13T06:58": {"breach"},
    "2031-08-13T18:00": set(),
    "2032-09-13T18:00": {"order"},
    "2032-10-01T18:00": {"order"},
}


def of_traces(*batches: str) -> dict[str, list[dict[str, Any]]]:
    told = trace.of(NURSERY, [Start.read(f"batch:{one}") for one in batches], there("2032-10-02"))
    plain: dict[str, list[dict[str, Any]]] = {
        name: [{key: one[key] for key in one if key != "paper"} for one in some]
        for name, some in told["held"].items()
    }
    return plain


def of_the_book() -> tuple[list[str], dict[str, list[dict[str, Any]]]]:
    with scope(NURSERY) as rows:
        book = outlook.read_book(rows)
    held = holds.of_book(book)
    return list(book.batches), {name: [one.as_json() for one in held[name]] for name in held}


def agree() -> set[str]:
    """Compare what holds each batch, traced alone; return by what anything is held."""
    batches, whole = of_the_book()
    for batch in batches:
        alone = of_traces(batch)
        assert alone == {name: whole[name] for name in alone}
        assert alone.get(batch) == whole.get(batch)
    return {one["by"] for some in whole.values() for one in some}


def test_every_batch_is_held_as_the_whole_book_holds_it() -> None:
    """Rules E-5, E-7, G-3, F-29: told once through, since each day rests on those before it."""
    with telling() as teller:
        found = {}
        for moment in HELD:
            teller.tell(there(moment))
            found[moment] = agree()
        assert found == HELD
        for about in (n.SHADE_HOUSE, f"{n.TERRACES[1]}.2", n.TERRACES[2]):
            order = {"act": "hold", "reference": "Q-44"}
            body = {"kind": "ordered", "about": [about], "body": order}
            teller.office.ask("POST", f"{API}/records", body, expect=(201,))
        assert agree() == {"order", "place_order", "ground_order"}
