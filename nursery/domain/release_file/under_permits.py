"""The permits of a consignment: which conditions reach it, and every plant under each of them."""

from collections.abc import Iterable, Mapping
from datetime import date
from typing import Any

from nursery.domain import reach, retention, sample_plans
from nursery.domain.batch import Batch
from nursery.domain.book import Book, gone
from nursery.domain.ledger import of_group
from nursery.domain.notices import Account
from nursery.domain.terms import MostPlants, in_force


def of_permits(
    rows: Iterable[Mapping[str, Any]], account: Account, book: Book, on: date
) -> list[dict[str, Any]]:
    """Return the permits as typed, each with what it came to here and in the whole nursery."""
    reached = {term.id: why.as_json() for term, why in reach.of_account(account, book, on)}
    return [
        {
            **row,
            "reach": {
                term.id: reached[term.id] for term in book.terms_of(row["id"]) if term.id in reached
            },
            "most_plants": _most(row["id"], book),
            "consignments": _consignments(row["id"], account.consignment, book),
        }
        for row in rows
    ]


def asked_of(account: Account, book: Book) -> dict[str, Any]:
    """Return how many plants to look at, and until when every record is kept."""
    plans = sample_plans.of_account(account, book)
    kept = retention.kept_until(account, book)
    return {
        "plans": {at: plan.as_json() for at, plan in sorted(plans.items())},
        "kept_until": None if kept is None else kept.isoformat(),
    }


def _most(permit: str, book: Book) -> int | None:
    """Return the quantity as of the first arrival under the permit (rule G-11)."""
    days = [book.day(one.began_at) for one in _came_under(permit, book) if one.began_at is not None]
    terms = [
        rule
        for day in sorted(days)[:1]
        for _, rule in in_force(book.terms_of(permit), MostPlants, day, day)
    ]
    return terms[0].plants if terms else None


def _consignments(permit: str, here: str, book: Book) -> list[dict[str, Any]]:
    """Return what came under the permit, by consignment; of others also where each plant is now."""
    found: dict[str, list[str]] = {}
    for batch in _came_under(permit, book):
        found.setdefault(batch.consignment or "", []).append(batch.id)
    return [_of_consignment(name, found[name], here, book) for name in sorted(found)]


def _of_consignment(name: str, came: Iterable[str], here: str, book: Book) -> dict[str, Any]:
    """Return the sums of what came and of what was made of it; what came by itself has no name."""
    every = sorted({one for first in came for one in (first, *book.descendants(first))})
    batches = [book.batches[one] for one in every]
    whole = of_group(one.ledger for one in batches)
    elsewhere = [] if name == here else [_now(one) for one in batches if not gone(one)]
    sums = {"in": whole.came_in, "alive": whole.alive}
    return {"consignment": name or None, **sums, "batches": elsewhere}


def _came_under(permit: str, book: Book) -> list[Batch]:
    return [batch for _, batch in sorted(book.batches.items()) if book.permit_of(batch) == permit]


def _now(batch: Batch) -> dict[str, Any]:
    return {"batch": batch.id, "place": batch.place, "alive": batch.alive}
