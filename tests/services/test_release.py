"""The release file read from the book: its facts, the lines behind them, and what stays out."""

import json
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from nursery.domain import chain
from nursery.services import log, nurseries, outlook, release, rows, signing
from nursery.services.errors import NothingToSignWith, Unknown
from nursery.services.installs import Outbox
from nursery.services.rows import Row
from nursery.store.scope import scope
from tests.phone import Writer

NOW = datetime(2031, 3, 3, 2, tzinfo=UTC)
ROWS: tuple[tuple[str, str, dict[str, Any]], ...] = (
    ("place", "room", {"name": "Quarantine room", "kind": "room"}),
    ("place", "shade", {"name": "Shade house", "kind": "house"}),
    (
        "person",
        "p-w1",
        {"name": "Nela", "role": "worker", "pin_hash": "f" * 64, "pin_salt": "secret-salt"},
    ),
    ("permit", "pm", {"reference": "CQ-118", "holder": "Veshmere", "terms": []}),
    ("consignment", "c-1", {"name": "March", "permit": "pm"}),
)


class Phone:
    """Writes for the nursery of a test."""

    def __init__(self) -> None:
        nurseries.begin("veshmere", "Veshmere Terraces", "Etc/GMT-10")
        self.writer = Writer("a")
        for kind, ident, body in ROWS:
            rows.put("veshmere", Row(kind, ident, None, body), NOW)
        new = [{"id": "b-1", "label": "T1", "place": "room"}]
        self.write("received", ["b-1"], {"consignment": "c-1", "batches": new})
        self.write("counted", ["b-1"], {"method": "full", "alive": 54})

    def write(self, kind: str, about: list[str], body: dict[str, Any]) -> None:
        text = self.writer.write(kind, about, body, NOW)
        log.receive("veshmere", Outbox("i-a", "d-a"), [text], NOW)


@pytest.fixture
def phone(db: None) -> Phone:
    return Phone()


def test_it_holds_the_facts_and_every_line_behind_them(phone: Phone) -> None:
    read = release.read("veshmere", "c-1", NOW)
    assert read.facts["account"]["ledger"]["alive"] == 54
    assert read.facts["as_of_seq"] == read.size == len(read.links)
    kinds = [json.loads(line.text).get("kind") for line in read.lines]
    assert kinds.count("received") == kinds.count("counted") == 1
    for line in read.lines:
        hashed = chain.text_hash(line.text)
        made = chain.link(line.previous, line.seq, line.ident, hashed)
        assert made == read.links[line.seq - 1]


def test_every_revision_of_its_permit_and_consignment_is_evidence(phone: Phone) -> None:
    body = {"reference": "CQ-118", "holder": "Veshmere Terraces", "terms": []}
    rows.put("veshmere", Row("permit", "pm", None, body), NOW)
    read = release.read("veshmere", "c-1", NOW)
    named = [line.ident for line in read.lines]
    assert named.count("pm") == 2
    assert named.count("c-1") == named.count("room") == 1
    assert "shade" not in named


def test_no_hash_of_a_pin_and_no_free_words_are_handed_over(phone: Phone) -> None:
    phone.write("noted", ["b-1"], {"text": "free words"})
    read = release.read("veshmere", "c-1", NOW)
    whole = json.dumps(read.facts) + "".join(line.text for line in read.lines)
    assert "secret-salt" not in whole
    assert "f" * 64 not in whole
    assert "free words" not in whole
    assert read.facts["names"]["person"]["p-w1"] == {"name": "Nela", "role": "worker"}


def test_what_is_written_while_it_is_read_has_it_read_again(
    phone: Phone, monkeypatch: pytest.MonkeyPatch
) -> None:
    true_read, late = outlook.read_book, [True]

    def written_meanwhile(book: Any) -> Any:
        found = true_read(book)
        if late:
            late.clear()
            phone.write("lost", ["b-1"], {"count": 4, "fate": "died"})
        return found

    monkeypatch.setattr(outlook, "read_book", written_meanwhile)
    read = release.read("veshmere", "c-1", NOW)
    assert read.facts["account"]["ledger"]["alive"] == 50
    with scope("veshmere") as book:
        assert book.head.last_seq == read.size


def test_somebody_who_writes_all_the_while_is_not_waited_for(
    phone: Phone, monkeypatch: pytest.MonkeyPatch
) -> None:
    true_read = outlook.read_book

    def written_meanwhile(book: Any) -> Any:
        found = true_read(book)
        phone.write("lost", ["b-1"], {"count": 1, "fate": "died"})
        return found

    monkeypatch.setattr(outlook, "read_book", written_meanwhile)
    read = release.read("veshmere", "c-1", NOW)
    assert len(read.links) == read.size == read.facts["as_of_seq"]
    assert all(line.seq <= read.size for line in read.lines)


def test_a_consignment_that_is_only_typed_has_a_file_and_an_unknown_one_has_none(
    phone: Phone,
) -> None:
    rows.put("veshmere", Row("consignment", "c-2", None, {"name": "April"}), NOW)
    assert release.facts("veshmere", "c-2", NOW)["batches"] == []
    with pytest.raises(Unknown):
        release.read("veshmere", "c-9", NOW)


# Keys


def test_each_nursery_has_a_key_of_its_own_and_the_first_secret_signs(settings: Any) -> None:
    settings.SIGNING_KEYS = ["first secret", "older secret"]
    ours, theirs = signing.of("veshmere"), signing.of("elsewhere")
    assert ours.public != theirs.public
    assert signing.fingerprints("veshmere")[0] == ours.fingerprint
    settings.SIGNING_KEYS = ["older secret"]
    older = signing.of("veshmere").fingerprint
    settings.SIGNING_KEYS = ["first secret", "older secret"]
    assert signing.fingerprints("veshmere") == [ours.fingerprint, older]


def test_without_the_environment_the_file_s_secrets_sign(settings: Any, tmp_path: Path) -> None:
    settings.SIGNING_KEYS, settings.SIGNING_FILE = [], tmp_path / "signing_key"
    with pytest.raises(NothingToSignWith):
        signing.of("veshmere")
    settings.SIGNING_FILE.write_text("of the file\n")
    made = signing.of("veshmere").fingerprint
    settings.SIGNING_KEYS = ["of the file"]
    assert signing.of("veshmere").fingerprint == made


def test_a_signature_is_of_one_text_and_one_key(settings: Any) -> None:
    settings.SIGNING_KEYS = ["a secret"]
    ours, theirs = signing.of("veshmere"), signing.of("elsewhere")
    signature = bytes.fromhex(ours.sign("a text"))
    public = bytes.fromhex(ours.public)
    assert signing.signed_by(public, "a text", signature)
    assert not signing.signed_by(public, "another", signature)
    assert not signing.signed_by(bytes.fromhex(theirs.public), "a text", signature)
    assert not signing.signed_by(public[:5], "a text", signature)
    assert not signing.signed_by(public, "a text", b"")
