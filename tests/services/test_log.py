import json
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta

import pytest

from nursery.services import log, nurseries, refold, verify
from nursery.services.installs import Outbox
from nursery.services.log import Receipt
from tests.phone import Writer

NOW = datetime(2031, 3, 3, 2, tzinfo=UTC)
BOX = Outbox(install="i-a", device="d-a")

pytestmark = pytest.mark.django_db


@pytest.fixture
def nursery() -> Iterator[str]:
    nurseries.begin("veshmere", "Veshmere Terraces", "Etc/GMT-10")
    yield "veshmere"
    assert refold.differences("veshmere") == []
    assert verify.chain("veshmere") == []


@pytest.fixture
def phone() -> Writer:
    return Writer("a")


def push(nursery: str, *texts: str, now: datetime = NOW) -> Receipt:
    return log.receive(nursery, BOX, texts, now)


def received(phone: Writer) -> str:
    batch = {"id": "b-1", "label": "T1", "stated": 54}
    return phone.write("received", ["b-1"], {"consignment": "c-1", "batches": [batch]}, NOW)


def counted(phone: Writer, alive: int) -> str:
    body = {"method": "full", "alive": alive, "saw": None}
    return phone.write("counted", ["b-1"], body, NOW + timedelta(minutes=phone.n))


def test_entries_are_stored_numbered_and_folded(nursery: str, phone: Writer) -> None:
    receipt = push(nursery, received(phone), counted(phone, 54))
    assert [(o.status, o.seq) for o in receipt.outcomes] == [("stored", 1), ("stored", 2)]
    assert receipt.last_seq == 2


def test_sending_again_is_known(nursery: str, phone: Writer) -> None:
    texts = [received(phone), counted(phone, 54)]
    push(nursery, *texts)
    again = push(nursery, *texts, texts[0])
    assert [(o.status, o.seq) for o in again.outcomes] == [("known", 1), ("known", 2), ("known", 1)]
    assert again.last_seq == 2


def test_an_id_with_other_content_is_kept_raw(nursery: str, phone: Writer) -> None:
    text = received(phone)
    push(nursery, text)
    other = json.dumps({**json.loads(text), "salt": "other"})
    [outcome] = push(nursery, other).outcomes
    assert (outcome.status, outcome.code) == ("kept_raw", "id_reused")


def test_an_entry_far_ahead_is_set_aside(nursery: str, phone: Writer) -> None:
    text = phone.write("noted", ["b-1"], {"text": "x"}, NOW + timedelta(days=2))
    [outcome] = push(nursery, text).outcomes
    assert (outcome.status, outcome.code, outcome.seq) == ("set_aside", "future", 1)


@pytest.mark.parametrize("bad", ["", "{", "[]", "null", "1", '{"id": 1}', "\x00", "{}" * 40_000])
def test_what_is_no_entry_is_kept_raw(nursery: str, phone: Writer, bad: str) -> None:
    receipt = push(nursery, received(phone), bad, counted(phone, 54))
    assert [o.status for o in receipt.outcomes] == ["stored", "kept_raw", "stored"]
