"""How many plants of a batch or a consignment to look at, and what that looking is worth."""

from dataclasses import asdict, dataclass
from datetime import date
from typing import Any

from nursery.domain.book import Book
from nursery.domain.history import of_book
from nursery.domain.notices import Account
from nursery.domain.reason import Reason
from nursery.domain.terms import SampleLevel, in_force
from nursery.science import sampling


@dataclass(frozen=True, slots=True)
class Plan:
    """So many plants of `lot` to look at; `why` says by which level, and what fewer would do.

    `to_notice` is how many would do for the level alone, by ISPM 31; None where it names none, or
    lies below one plant of so few, so that only looking at all of them says anything.
    """

    lot: int
    number: int
    to_notice: int | None
    why: Reason

    def as_json(self) -> dict[str, Any]:
        return {**asdict(self), "why": self.why.as_json()}


def plan(lot: int, level: SampleLevel) -> Plan:
    """Return the plan that a level gives for so many plants (rule C-10)."""
    about: dict[str, Any] = {"lot": lot}
    if level.prevalence is None or level.confidence is None:
        return Plan(lot, lot, None, Reason("sample_all", about))
    about |= {
        "percent": round(100 * level.prevalence, 2),
        "confidence": round(100 * level.confidence, 2),
    }
    wanted = sampling.sample_size(lot, level.prevalence, level.confidence, level.efficacy)
    if wanted is None:
        return Plan(lot, lot, None, Reason("sample_cannot_reach", about))
    about["seen"] = wanted
    if level.all_plants:
        return Plan(lot, lot, wanted, Reason("sample_all_though", about))
    return Plan(lot, wanted, wanted, Reason("sample_some", about))


def of_account(account: Account, book: Book) -> dict[str, Plan]:
    """Return the plan for all living plants of a consignment, by the look that it is for."""
    lot = account.ledger.alive
    found: dict[str, Plan] = {}
    for name in account.batches:
        for origin in book.once(of_book)[name].origins:
            started = origin.started_on or date.max
            terms = in_force(book.terms_of(origin.permit), SampleLevel, started, started)
            found |= {rule.at.value: plan(max(lot, 0), rule) for _, rule in terms}
    return found


def enough(lot: int | None, seen: int, level: SampleLevel) -> bool:
    """Return whether so many plants seen are as many as the level asks for."""
    return lot is not None and seen >= plan(lot, level).number
