"""Every address that is read, asked by everybody of one nursery while another has the same ids.

What the other one wrote bears a mark; no answer may hold it. The same pass over the same addresses
by somebody of the other nursery finds the mark, so what is looked for can be found.
"""

from functools import reduce

import pytest
from django.test import Client

from nursery.services import rows
from tests.api.conftest import NOW, Cast, Phone
from tests.api.test_access import DOORS
from tests.phone import Writer

pytestmark = pytest.mark.usefixtures("everybody")

OURS, THEIRS = "Tamsweir", "Quillreed"
# What the table of doors asks for in vain, and what both nurseries have.
IDS = {"r-none": "r-1", "r-9": "r-1", "c-9": "c-1", "p-none": "p-1", "p-g": "p-1"}


def fill(nursery: str, phone: Phone, mark: str) -> None:
    """Write the same rows and records for a nursery, each with its mark wherever words are free."""
    for kind, ident, body in (
        ("place", "r-1", {"name": f"{mark} room", "kind": "room"}),
        ("person", "p-1", {"name": f"{mark} Ana", "role": "grower", "language": "en"}),
        ("consignment", "c-1", {"name": f"{mark} C-1", "supplier": f"{mark} growers"}),
    ):
        rows.put(nursery, rows.Row(kind, ident, None, body), NOW)
    writer = Writer("a")
    batch = {"id": "b-1", "label": f"{mark} T1", "stated": 54}
    answer = phone.push(
        writer.write("received", ["b-1"], {"consignment": "c-1", "batches": [batch]}, NOW),
        writer.write("counted", ["b-1"], {"method": "full", "alive": 54, "saw": None}, NOW),
        writer.write("noted", ["b-1"], {"text": f"{mark} looks well"}, NOW),
    )
    assert answer.status_code == 200, answer.content


def read(callers: list[Client]) -> dict[str, list[bytes]]:
    """Ask every address that is read, with ids that both nurseries have."""
    found: dict[str, list[bytes]] = {}
    for method, address, *_ in DOORS:
        if method == "GET":
            asked = reduce(lambda so_far, pair: so_far.replace(*pair), IDS.items(), address)
            answers = [caller.get(f"/api/v1/{asked}") for caller in callers]
            found[asked] = [b"".join(one) for one in answers]
    return found


@pytest.fixture
def two(cast: Cast) -> Cast:
    fill("veshmere", cast.phone, OURS)
    fill("elsewhere", cast.other_phone, THEIRS)
    return cast


def test_no_address_answers_with_what_another_nursery_wrote(two: Cast) -> None:
    ours = read([two.grower, two.phone, two.inspector])
    theirs = read([two.stranger, two.other_phone])
    assert [address for address, told in ours.items() if THEIRS.encode() in b"".join(told)] == []
    assert [address for address, told in theirs.items() if OURS.encode() in b"".join(told)] == []
    marked = [address for address, told in theirs.items() if THEIRS.encode() in b"".join(told)]
    assert len(marked) >= 8, marked
