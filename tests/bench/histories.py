"""Long invented histories of one batch, for measuring."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any

START = datetime(2031, 3, 3, tzinfo=UTC)

# What a round writes about a tray, by turns: of twenty entries, so many of each.
ROUND: tuple[tuple[str, Callable[[int], dict[str, Any]]], ...] = (
    *[
        (
            "looked",
            lambda i: {
                "answer": "nothing",
                "plants": 20,
                "minutes": 6.5,
                "checklist": "weekly",
                "version": 2,
                "items": [
                    {"item": "underside", "answer": "nothing", "plants": 20},
                    {"item": "stem_base", "answer": "nothing", "plants": 8},
                ],
                "check": f"look-t5-{i}",
            },
        )
    ]
    * 7,
    *[("counted", lambda i: {"method": "cells_less_gaps", "alive": 20_000 - i, "saw": None})] * 3,
    *[("lost", lambda i: {"count": 1, "fate": "died", "cause": "stem_rot", "kept": i % 2 == 0})]
    * 3,
    *[
        (
            "photographed",
            lambda i: {"photo": f"f-{i}", "sha256": "9f" * 32, "width": 1600, "height": 1200},
        )
    ]
    * 2,
    ("noted", lambda i: {"text": "two leaves curled at the edge by the drip line", "to": "g"}),
    ("moved", lambda i: {"to": f"bench-{i % 9}"}),
    ("fed", lambda i: {"product": "npk_8_2_6", "litres": 2.5, "ec_ms_cm": 1.2}),
    ("measured", lambda i: {"plants": [{"tag": f"T5-{k}", "height_cm": 31.5} for k in range(5)]}),
    ("told", lambda i: {"who": "g", "how": "spoken", "what": "curled leaves"}),
)


def batch(entries: int) -> list[dict[str, Any]]:
    """Return raw entries about batch `t5`: an arrival, a count, and rounds of three phones.

    Every fortieth corrects the one before it.
    """
    arrival = {
        "consignment": "c-1",
        "place": "room-1",
        "batches": [{"id": "t5", "label": "T5", "crop": "finger-lime", "stated": 20_000}],
    }
    raw = [_entry(0, "received", arrival)]
    for i in range(1, entries):
        kind, body = ROUND[i % len(ROUND)]
        if i % 40 == 39:
            before = raw[i - 1]
            raw.append(_entry(i, before["kind"], {**before["body"], "saw": before["id"]}))
            raw[i]["corrects"] = before["corrects"] or before["id"]
        else:
            raw.append(_entry(i, kind, body(i)))
    return raw


def _entry(i: int, kind: str, body: dict[str, Any]) -> dict[str, Any]:
    moment = START + timedelta(minutes=37 * i)
    ms = int(moment.timestamp() * 1000)
    return {
        "id": f"{ms >> 16:08x}-{ms & 0xFFFF:04x}-7000-8{i % 3:03x}-{i:012x}",
        "v": 1,
        "kind": kind,
        "about": ["t5"],
        "occurred_at": moment.strftime("%Y-%m-%dT%H:%M:%S.000Z"),
        "offset_min": 600,
        "by_hand": False,
        "author": f"w{i % 3}",
        "confirmed": True,
        "device": f"d-{i % 3}",
        "install": f"i-{i % 3}",
        "n": i // 3 + 1,
        "based_on": i * 7,
        "skew_ms": 120,
        "corrects": None,
        "salt": f"{i * 2654435761 % 2**64:016x}",
        "body": body,
    }
