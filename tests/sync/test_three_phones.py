"""Requirement 6: after any faults and a time of peace, all hold the same set, none twice."""

import os
from collections.abc import Callable, Iterable
from datetime import datetime
from typing import Any

import pytest
from hypothesis import Phase, Verbosity, settings
from hypothesis.stateful import run_state_machine_as_test

from tests.phone import Answered, Kept, Phone, Silence
from tests.sync.machine import Nursery, Plan
from tests.sync.real import Real
from tests.sync.twin import Book, Twin

# A smaller number lets planted bugs through: see the plants below.
EXAMPLES = {"dev": 1000, "ci": 1000, "long": 10_000}[os.environ.get("NURSERY_TEST_PROFILE", "dev")]
QUICK = settings(
    max_examples=EXAMPLES,
    stateful_step_count=30,
    deadline=None,
    suppress_health_check=settings().suppress_health_check,
    print_blob=True,
)


def machine(plan: Plan) -> type[Nursery]:
    return type("Nursery", (Nursery,), {"plan": plan})


def test_requirement_6_three_phones_and_a_server_end_with_the_same_book() -> None:
    run_state_machine_as_test(machine(Plan(Twin)), settings=QUICK)


class PushMovesThePullCursor(Phone):
    def take(self, sent: dict[str, str], answer: dict[str, Any]) -> None:
        super().take(sent, answer)
        self.cursor = answer["head"]["seq"]


class CursorBeforeRows(Phone):
    """Notes where the page ends before its rows are in, and is cut off meanwhile."""

    def apply(self, lines: Any, cut: int | None) -> bool:
        lines = list(lines)
        here = self.cursor + len(lines) - 2
        more = super().apply(lines, cut)
        self.cursor = here
        return more


class SilenceMeansSent(Phone):
    def push(self, most: int = 200) -> bool:
        some = dict(list(self.queue.items())[:most])
        try:
            return super().push(most)
        except Silence:
            for ident, text in some.items():
                self.kept[ident] = Kept(text, 0)
                del self.queue[ident]
            raise


class NoNewEpoch(Twin):
    def restore(self, backup: Book) -> None:
        epoch = self.epoch
        super().restore(backup)
        self.epoch = epoch


class NumbersAgain(Twin):
    """Numbers what it knows already."""

    def _take(self, item: Any, known: dict[str, int]) -> dict[str, Any]:
        return super()._take(item, {})


class ForgetsAtAnyBackup(Phone):
    """Drops what was acknowledged before a tested backup holds it."""

    def take(self, sent: dict[str, str], answer: dict[str, Any]) -> None:
        super().take(sent, answer)
        self.kept = {}


LOST, LACKS, TWICE = "an entry was lost", "a phone lacks an entry", "in the book twice"
PLANTS = {
    "push moves the pull cursor": (Plan(Twin, PushMovesThePullCursor), LACKS),
    "the cursor moves before the rows are in": (Plan(Twin, CursorBeforeRows), LACKS),
    "silence is taken for an answer": (Plan(Twin, SilenceMeansSent), LOST),
    "a restored book keeps its epoch": (Plan(NoNewEpoch), f"{LOST}|{LACKS}"),
    "a known entry is numbered again": (Plan(NumbersAgain), TWICE),
    "a phone forgets before a backup was tried": (Plan(Twin, ForgetsAtAnyBackup), LOST),
}


@pytest.mark.parametrize(("plan", "harm"), PLANTS.values(), ids=PLANTS.keys())
def test_requirement_6_a_planted_bug_is_found(plan: Plan, harm: str) -> None:
    """Without this, a green machine would prove nothing."""
    search = settings(
        QUICK, max_examples=1000, phases=[Phase.generate], database=None, derandomize=True,
        verbosity=Verbosity.quiet,
    )  # fmt: skip
    with pytest.raises(AssertionError, match=harm):
        run_state_machine_as_test(machine(plan), settings=search)


class Both(Twin):
    """The server in memory and the real one side by side: every answer must be the same."""

    def __init__(self, now: datetime) -> None:
        super().__init__(now)
        self.real = Real(now)
        self.epoch = self.real.epoch

    def push(self, body: dict[str, Any]) -> dict[str, Any]:
        self.real.now = self.now
        theirs = said(lambda: self.real.push(body))
        ours = said(lambda: super(Both, self).push(body))
        assert ours == {key: theirs[key] for key in ours}
        return answer(ours)

    def pull(self, after: str, limit: int) -> list[bytes]:
        theirs = said(lambda: {"lines": bare(self.real.pull(after, limit))})
        ours = said(lambda: {"lines": super(Both, self).pull(after, limit)})
        assert bare(ours.get("lines", [])) == theirs.get("lines", [])
        assert ours.keys() == theirs.keys()
        return list(answer(ours)["lines"])

    def check(self, ids: list[str]) -> list[str]:
        ours, theirs = super().check(ids), self.real.check(ids)
        assert ours == theirs
        return ours

    def back_up(self) -> Any:
        return super().back_up(), self.real.back_up()

    def restore(self, backup: Any) -> None:
        ours, theirs = backup
        super().restore(ours)
        self.real.restore(theirs)
        self.epoch = self.real.epoch

    def ids(self) -> list[str]:
        assert super().ids() == self.real.ids()
        return super().ids()

    def entries(self) -> Any:
        return self.real.entries()


def said(ask: Callable[[], dict[str, Any]]) -> dict[str, Any]:
    """Return an answer, or under one key what was answered instead."""
    try:
        return ask()
    except Answered as no:
        return {"no": (no.status, no.code, no.body["params"]["epoch"])}


def answer(told: dict[str, Any]) -> dict[str, Any]:
    if "no" in told:
        status, code, epoch = told["no"]
        raise Answered(status, {"code": code, "params": {"epoch": epoch}})
    return told


def bare(lines: Iterable[bytes]) -> list[bytes]:
    """Return the lines of a page that carry something, without their ends of line."""
    return [
        raw.rstrip(b"\n") for raw in lines if not raw.startswith((b'{"t":"begin"', b'{"t":"end"'))
    ]


@pytest.mark.django_db
def test_requirement_6_the_server_in_memory_answers_as_the_real_one_does() -> None:
    few = settings(QUICK, max_examples=EXAMPLES // 40, stateful_step_count=25)
    run_state_machine_as_test(machine(Plan(Both)), settings=few)
