"""What is written of a row: records like any others, of the days that the row names (rule I-8)."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from nursery.domain.stock_file.fields import Wording
from nursery.domain.stock_file.row import Incoming


@dataclass(frozen=True, slots=True)
class Draft:
    """A record to be written; `first` ones are of a moment before the others of their day."""

    kind: str
    about: str
    on: date
    body: Mapping[str, Any]
    first: bool = False


def drafts(
    one: Incoming, crop: str, goods: str | None, file: Mapping[str, Any], wording: Wording
) -> Iterator[Draft]:
    """Yield the records of one row: goods arrived and were counted, other stock is taken on.

    What has no field of its own stands in a note: the lot, and the day of arrival of plants that
    came with no goods and under no permit.
    """
    method = "estimate" if one.estimate else "full"
    came: dict[str, Any] = {"file": {**file, "row": one.row}}
    if goods is not None and one.arrived_on is not None:
        body: dict[str, Any] = {"consignment": goods, "batches": [_batch(one, crop)], **came}
        yield Draft("received", one.id, one.arrived_on, body, first=True)
        yield Draft("counted", one.id, one.counted_on, {"method": method, "alive": one.plants})
    else:
        body = {"batch": _batch(one, crop), "alive": one.plants, "method": method, **came}
        if one.permit is not None and one.arrived_on is not None:
            body |= {"permit": one.permit, "clock_started_on": one.arrived_on.isoformat()}
        yield Draft("taken_on", one.id, one.counted_on, body, first=True)
    if note := _note(one, goods, wording):
        yield Draft("noted", one.id, one.counted_on, {"text": note})


def _batch(one: Incoming, crop: str) -> dict[str, Any]:
    told = {
        "id": one.id,
        "label": one.label,
        "crop": crop,
        "place": one.place,
        "stage": one.stage,
        "cells": one.cells,
        "container": one.container or None,
    }
    return {name: value for name, value in told.items() if value is not None}


def _note(one: Incoming, goods: str | None, wording: Wording) -> str:
    lines = [one.notes] if one.notes else []
    if one.lot:
        lines.append(f"{wording.lot}: {one.lot}")
    if one.arrived_on is not None and goods is None and one.permit is None:
        lines.append(f"{wording.arrived}: {one.arrived_on.isoformat()}")
    return "\n".join(lines)
