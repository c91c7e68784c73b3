"""What the three phones of the story hold in the end: all of it, once, and without a hole."""

import json
from itertools import pairwise

import pytest

from nursery.ops.demo import days, frame, law
from nursery.ops.demo import names as n
from nursery.ops.demo.play import Teller, ids_of
from tests.story.reading import Reading

pytestmark = pytest.mark.django_db

Story = tuple[dict[str, Reading], Teller]


def test_every_record_was_stored_and_came_back_to_every_phone(story: Story) -> None:
    written = set(ids_of(days.DAYS))
    for phone in story[1].phones.values():
        assert {line["id"] for line in phone.feed if line["t"] == "entry"} == written
        assert phone.outbox == []
    statuses = [r["status"] for phone in story[1].phones.values() for r in phone.results]
    assert statuses == ["stored"] * len(written)


def test_the_numbers_that_each_phone_was_sent_rise_without_a_hole(story: Story) -> None:
    for phone in story[1].phones.values():
        seqs = [line["seq"] for line in phone.feed]
        assert all(later == earlier + 1 for earlier, later in pairwise(seqs)), phone.notebook


def test_a_record_comes_back_as_it_was_written(story: Story) -> None:
    phone = story[1].phones[n.OFFICE_PHONE]
    find = next(line for line in phone.feed if line["id"] == story[1].told["black bodies"])
    assert find["e"]["body"]["tag"] == "T4-17"
    assert find["e"]["body"]["per_leaf"] == 9
    assert len(find["e"]["body"]["photos"]) == 3
    assert find["e"]["install"] == "i-second"


def test_the_rows_reach_the_phones_with_the_permit_typed_on_the_day(three: Reading) -> None:
    put = {kind: set(rows) for kind, rows in frame.rows().items()}
    put |= {"permit": {law.PERMIT}, "consignment": {law.CONSIGNMENT}}
    assert {kind: set(rows) for kind, rows in three.rows.items()} == put


def test_no_pin_leaves_the_server(three: Reading) -> None:
    people = json.dumps(three.rows["person"])
    assert "pin_hash" in people
    assert not any(f'"{pin}"' in people for pin in ("2714", "5093", "8160"))
