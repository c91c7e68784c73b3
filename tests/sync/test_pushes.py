"""Pushes as wholes: those of every app that was ever released, and the one transaction of each."""

import json
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from django.db import connection

from nursery.api import wire
from nursery.domain.entry import read
from nursery.domain.kinds import VERSIONS
from nursery.domain.kinds.common import Unread
from tests.phone import Phone
from tests.sync.doors import enrol, open_nursery

NOW = datetime(2040, 1, 1, tzinfo=UTC)  # after all that happens in the kept pushes
KEPT = sorted((Path(__file__).parent.parent / "vectors" / "pushes").glob("*.json"))


@pytest.fixture
def phone(shifted_clock: Callable[[Any], None], sound_books: None) -> Phone:
    shifted_clock(NOW)
    open_nursery()
    return enrol("a", NOW)


@pytest.mark.django_db
@pytest.mark.parametrize("file", KEPT, ids=lambda file: str(file.stem))
def test_requirement_36_a_push_of_every_released_app_is_taken(phone: Phone, file: Path) -> None:
    """Kept in the words of that app, and never changed; another is added whenever the words grow.

    A name is the app's version; what one version sent at several times is told apart by a `+`.
    """
    kept = json.loads(file.read_text())
    answer = phone.server.push({**kept["push"], "epoch": phone.epoch})
    statuses = [result["status"] for result in answer["results"]]
    assert statuses == kept["statuses"]
    assert kept["push"]["app"] == file.stem.partition("+")[0]
    phone.pull_all()
    sent = zip(kept["push"]["entries"], statuses, strict=True)
    texts = [content.text for content in phone.copy.values()]
    assert texts == [text for text, status in sent if status == "stored"]
    unread = [text for text in texts if type(read(json.loads(text)).body) is Unread]
    assert unread == [], "today's rules read whatever an app wrote that was ever released"


def test_requirement_36_every_kind_and_version_stands_in_a_kept_push() -> None:
    """So that nothing is added to the vocabulary without a push that must be taken for ever."""
    pushes = [json.loads(file.read_text())["push"] for file in KEPT]
    entries = [json.loads(text) for push in pushes for text in push["entries"] if text[-1] == "}"]
    sent = {(entry["kind"], entry["v"]) for entry in entries}
    known = {(kind, v) for kind, newest in VERSIONS.items() for v in range(1, newest + 1)}
    assert known - sent == set()


def ends_before_the_answer(phone: Phone, monkeypatch: pytest.MonkeyPatch) -> bool:
    """Push once, and say whether the transaction was over when the answer was put together."""
    inside: list[bool] = []
    receipt = wire.receipt

    def look(*args: Any) -> Any:
        inside.append(connection.in_atomic_block)
        return receipt(*args)

    monkeypatch.setattr(wire, "receipt", look)
    phone.write("noted", ["b-1"], {"text": "x"}, NOW)
    phone.push()
    return inside == [False]


@pytest.mark.django_db(transaction=True)
def test_requirement_35_the_transaction_of_a_push_ends_before_its_answer(
    phone: Phone, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert ends_before_the_answer(phone, monkeypatch)


@pytest.mark.django_db(transaction=True)
def test_requirement_35_a_transaction_around_the_request_is_found(
    phone: Phone, monkeypatch: pytest.MonkeyPatch
) -> None:
    """`ATOMIC_REQUESTS` would hold the lock while the answer is put together and sent."""
    monkeypatch.setitem(connection.settings_dict, "ATOMIC_REQUESTS", True)
    assert not ends_before_the_answer(phone, monkeypatch)
