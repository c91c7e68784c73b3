"""What phones are told of the planting days to come: figures, checks, signatures, verdicts."""

from collections.abc import Iterable
from dataclasses import asdict
from datetime import date
from typing import Any

from nursery.domain.book import Book
from nursery.domain.planting import ahead, facts
from nursery.domain.planting.day import Check
from nursery.domain.planting.dry_spell import Risks
from nursery.domain.planting.facts import Facts
from nursery.domain.record import Signature


def of_book(book: Book, today: date, risks: Risks | None = None) -> list[dict[str, Any]]:
    return [
        {**of_group(one, book), "ahead": ahead.of_group(one.group, book, today, risks)}
        for one in facts.of_book(book, today, risks)
    ]


def of_group(found: Facts, book: Book) -> dict[str, Any]:
    """Return in JSON all of it: the figures, so that others may replace them, and what follows."""
    group, advice = found.group, found.plants.toughened
    toughened = None
    if advice is not None:
        toughened = {
            "doing": advice.doing.value,
            "step": advice.to.id,
            "shade": advice.to.shade_percent,
            "reasons": [one.as_json() for one in advice.reasons],
        }
    return {
        "id": group.id,
        "name": group.name,
        "on": group.on.isoformat(),
        "batches": [one.id for one in group.batches],
        "plants": {**_plain(found.plants), "toughened": toughened},
        "day": _plain(found.day),
        "blocks": [_plain(block) for block in found.blocks],
        "levels": _plain(found.levels),
        "checks": [_check(one, found.signed) for one in found.checks],
        "signed": {key: _signature(one, book) for key, one in sorted(found.signed.items())},
        "verdicts": {block.id: found.verdict(block.id) for block in found.blocks},
        "verdict": found.verdict(),
        "waiting": found.waiting,
        "spares": found.spares,
    }


def _plain(value: Any) -> dict[str, Any]:
    return {name: one for name, one in asdict(value).items() if name != "toughened"}


def _check(one: Check, signed: Iterable[str]) -> dict[str, Any]:
    return {
        "what": one.what,
        "block": one.block,
        "key": one.key,
        "colour": one.colour.value,
        "params": one.params,
        "may_be_signed": one.may_be_signed,
        "signed": one.may_be_signed and one.key in signed,
    }


def _signature(one: Signature, book: Book) -> dict[str, Any]:
    row = book.row("person", one.by)
    return {
        "by": one.by if row is None else row.name,
        "reason": one.reason,
        "on": book.day(one.at).isoformat(),
    }
