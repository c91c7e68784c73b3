"""The call of day 10, through the API: T2 and T5 are suspect, and the pots U may hold plants of T5.

T2 gives 50, T5 41 and U 8 to terrace 4; 7 of them are gone after six months, one of T1 as well.
"""

import json
from datetime import UTC, datetime, timedelta
from typing import Any

from tests.api.conftest import Cast
from tests.phone import Writer

CAME = datetime(2031, 3, 3, 2, tzinfo=UTC)
PLANTED = datetime(2032, 3, 12, 2, tzinfo=UTC)
COUNTED = datetime(2032, 9, 13, 2, tzinfo=UTC)
CALLED = datetime(2032, 9, 13, 4, tzinfo=UTC)
ROWS: dict[tuple[str, str], dict[str, Any]] = {
    ("place", "veshmere-site"): {"name": "Veshmere", "kind": "nursery"},
    ("place", "room"): {
        "name": "Quarantine", "kind": "room", "parent": "veshmere-site", "shares": ["pruner 1"],
    },
    ("place", "bench"): {"name": "Bench 1", "kind": "bench", "parent": "room"},
    ("place", "terrace-4"): {
        "name": "Terrace 4", "kind": "terrace", "parent": "veshmere-site", "short": "TR4",
    },
    ("person", "p-g"): {"name": "Ana", "role": "grower"},
    ("person", "p-w"): {"name": "Worker one", "role": "worker"},
    ("consignment", "c-1"): {
        "name": "Liners of 3 March", "supplier": "Sarrow Budworks", "without_conditions": True,
    },
}  # fmt: skip
CAME_IN = {"b-t1": 54, "b-t2": 52 + 2, "b-t5": 54}
STOOD = (("b-t2", 50), ("b-t5", 41), ("b-u", 8), ("b-t1", 5))
GONE = ("3", "7", "20", "55", "60", "91", "99", "101")


def fill(cast: Cast) -> None:
    for (kind, ident), body in ROWS.items():
        path, told = f"/api/v1/rows/{kind}/{ident}", json.dumps({"rev": 0, "body": body})
        answer = cast.grower.put(path, told, content_type="application/json")
        assert answer.status_code == 200, answer.content
    writer = Writer("a")
    receipt = cast.phone.push(*_nursery(writer), *_field(writer))
    assert receipt.status_code == 200, receipt.content
    assert {one["status"] for one in receipt.json()["results"]} == {"stored"}


def _nursery(writer: Writer) -> list[str]:
    def wrote(kind: str, about: list[str], days: int, **body: Any) -> str:
        return writer.write(kind, about, body, CAME + timedelta(days=days), author="p-w")

    new = [{"id": one, "label": one[2:].upper(), "place": "bench"} for one in CAME_IN]
    mixed = {
        "parents": [{"id": "b-t1", "left": 49}, {"id": "b-t5", "left": 43}],
        "children": [{"id": "b-u", "label": "U", "count": 8, "place": "bench"}],
    }
    return [
        wrote("received", list(CAME_IN), 0, consignment="c-1", batches=new),
        *(wrote("counted", [one], 0, method="full", alive=n) for one, n in CAME_IN.items()),
        wrote("lost", ["b-t2"], 60, count=1, fate="sampled"),
        wrote("lost", ["b-t2"], 90, count=1, fate="died", cause="wilted"),
        wrote("lost", ["b-t5"], 90, count=8, fate="died", cause="wilted"),
        wrote("mixed", ["b-t1", "b-t5", "b-u"], 140, **mixed),
    ]


def _field(writer: Writer) -> list[str]:
    told, at = [], 0
    for batch, plants in STOOD:
        for n in range(at + 1, at + plants + 1):
            body = {"block": "terrace-4", "row": str((n - 1) // 20 + 1), "positions": [str(n)]}
            seat = f"terrace-4.{body['row']}"
            told.append(
                writer.write("planted", [batch, seat], body, PLANTED + timedelta(minutes=n))
            )
        at += plants
    for row in range(1, 7):
        seen = [
            {"position": str(n), "state": "dead" if str(n) in GONE else "alive"}
            for n in range(20 * row - 19, min(20 * row, at) + 1)
        ]
        count = {"block": "terrace-4", "row": str(row), "seen": seen}
        told.append(writer.write("surveyed", [f"terrace-4.{row}"], count, COUNTED))
    return told
