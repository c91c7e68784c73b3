"""Writes entries for tests of the folds: short where a test does not care, exact where it does."""

from datetime import UTC, datetime
from typing import Any

from nursery.domain import entry
from nursery.domain.entry import Entry

DAY = "2031-03-03"
EVENING = "20:00"


class Pen:
    """Keeps what it wrote in `entries`; `write` returns the id of the new entry."""

    def __init__(self) -> None:
        self.entries: list[Entry] = []

    def write(
        self,
        kind: str,
        body: dict[str, Any],
        at: str = "08:00",
        *,
        about: tuple[str, ...] = ("t5",),
        phone: int = 1,
        typed: str | None = None,
        **envelope: Any,
    ) -> str:
        """Write one entry of `DAY` at the hour `at` (UTC), or at a whole instant.

        Its id is made when it was typed: when it happened, but a correction in the evening.
        """
        if typed is None and envelope.get("corrects") is not None:
            typed = EVENING
        raw = self.raw(kind, body, at, about=about, phone=phone, typed=typed) | envelope
        self.entries.append(entry.read(raw))
        return str(raw["id"])

    def raw(
        self,
        kind: str,
        body: dict[str, Any],
        at: str = "08:00",
        *,
        about: tuple[str, ...] = ("t5",),
        phone: int = 1,
        typed: str | None = None,
    ) -> dict[str, Any]:
        serial = len(self.entries) + 1
        ms = int(_moment(typed or at).timestamp() * 1000)
        return {
            "id": f"{ms >> 16:08x}-{ms & 0xFFFF:04x}-7{serial:03x}-8{phone:03x}-{serial:012x}",
            "v": 1,
            "kind": kind,
            "about": list(about),
            "occurred_at": entry.write_instant(_moment(at)),
            "offset_min": 600,
            "by_hand": False,
            "author": f"w{phone}",
            "confirmed": True,
            "device": f"d-{phone}",
            "install": f"i-{phone}",
            "n": serial,
            "based_on": 0,
            "skew_ms": 0,
            "corrects": None,
            "salt": "6f0c",
            "body": body,
        }

    def arrive(self, batch: str = "t5", *, alive: int | None = 54, at: str = "07:30") -> str:
        """Let a tray come in, and be counted at 08:00; return the id of the last entry."""
        new = {"id": batch, "label": batch.upper(), "cells": 54, "stated": 54}
        body = {"consignment": "c-1", "place": "room-1", "batches": [new]}
        last = self.write("received", body, at, about=(batch,))
        if alive is not None:
            last = self.count(alive, "08:00", about=(batch,))
        return last

    def count(self, alive: int, at: str, saw: str | None = None, **more: Any) -> str:
        return self.write("counted", {"method": "full", "alive": alive, "saw": saw}, at, **more)

    def lose(self, plants: int, at: str, fate: str = "died", **more: Any) -> str:
        return self.write("lost", {"count": plants, "fate": fate}, at, **more)


def _moment(text: str) -> datetime:
    return datetime.fromisoformat(text if "T" in text else f"{DAY}T{text}").replace(tzinfo=UTC)
