"""A nursery with the rows and trays that labels speak of."""

from datetime import UTC, datetime
from typing import Any

import pytest

from nursery.services import log, nurseries, rows
from nursery.services.installs import Outbox
from nursery.services.rows import Row
from tests.phone import Writer

NOW = datetime(2031, 3, 3, 2, tzinfo=UTC)
T3, T5 = "0199f2c4-abcd-7000-8000-0000000000f3", "0199f2c4-abcd-7000-8000-0000000000f5"

ROWS: dict[tuple[str, str], dict[str, Any]] = {
    ("nursery", "veshmere"): {"name": "Veshmere Terraces", "zone": "Etc/GMT-10"},
    ("place", "site"): {"name": "Veshmere Terraces", "kind": "nursery"},
    ("place", "q-room"): {
        "name": "Quarantine room",
        "kind": "room",
        "short": "Q",
        "parent": "site",
    },
    ("place", "q-bench-1"): {"name": "Bench 1", "kind": "bench", "parent": "q-room"},
    ("place", "q-trap-a"): {"name": "Trap A", "kind": "trap", "short": "A", "parent": "q-room"},
    ("place", "terrace-3"): {"name": "Terrace 3", "kind": "terrace", "short": "TR3"},
    ("crop", "finger-lime"): {"name": "Finger-lime", "cultivar": "Ember Pearl"},
    ("permit", "cq-118"): {"reference": "CQ-118", "holder": "Veshmere Terraces"},
    ("consignment", "con-1"): {"name": "March 2031", "permit": "cq-118"},
}


class Desk:
    """The nursery of a test: rows are put and entries written as the office and a phone would."""

    def __init__(self) -> None:
        nurseries.begin("veshmere", "Veshmere Terraces", "Etc/GMT-10")
        self.writer = Writer("a")
        for (kind, ident), body in ROWS.items():
            self.put(kind, ident, body)

    def put(self, kind: str, ident: str, body: dict[str, Any]) -> None:
        rows.put("veshmere", Row(kind, ident, None, body), NOW)

    def write(self, kind: str, about: list[str], body: dict[str, Any]) -> None:
        text = self.writer.write(kind, about, body, NOW)
        log.receive("veshmere", Outbox("i-a", "d-a"), [text], NOW)


@pytest.fixture
def desk(db: None) -> Desk:
    """Two trays of a consignment stand on a bench of the quarantine room."""
    desk = Desk()
    batches = [
        {"id": ident, "label": label, "crop": "finger-lime", "place": "q-bench-1", "cells": 54}
        for ident, label in ((T3, "T3"), (T5, "T5"))
    ]
    desk.write("received", [T3, T5], {"consignment": "con-1", "batches": batches})
    return desk
