"""Phones whose clocks are wrong: nothing is lost by it, and what they wrote finds its place."""

import json
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from nursery.domain.entry import instant
from tests.examples import examples
from tests.phone import Phone, Writer
from tests.sync.doors import Door, Office, enrol, open_nursery
from tests.sync.real import Real

pytestmark = pytest.mark.django_db

NOW = datetime(2031, 3, 3, 2, tzinfo=UTC)
YEARS = timedelta(days=3 * 365)


def lose(phone: Phone, at: datetime, **more: Any) -> str:
    return phone.write("lost", ["b-1"], {"count": 1, "fate": "died"}, at, **more)


def test_requirement_12_no_clock_of_a_phone_decides_what_is_sent_or_pulled(server: Real) -> None:
    """One three years behind, one three years ahead, one that jumps with each step."""
    phones = [Phone(Writer(name, number=number), server) for number, name in enumerate("abc", 1)]
    jumps = [timedelta(days=days) for days in (0, 900, -900, 2, -1, 3000, -9000, 1)]
    written = set()
    for phone in phones:
        phone.pull_all()
    for step, jump in enumerate(jumps):
        server.now = NOW + timedelta(minutes=step)
        for phone, error in zip(phones, (-YEARS, YEARS, jump), strict=True):
            written.add(lose(phone, server.now + error))
            phone.push(most=1 + step % 3)
            phone.pull(limit=2)
    for phone in phones:
        phone.push_all()
    for phone in phones:
        phone.pull_all()
        assert phone.holds() == written
    assert len(written) == len(server.ids()) == 3 * len(jumps)


def test_requirement_12_what_is_dated_years_ahead_waits_and_is_shown(
    shifted_clock: Callable[[Any], None],
) -> None:
    shifted_clock(NOW)
    open_nursery()
    phone = enrol("a", NOW)
    ident = lose(phone, NOW + YEARS)
    phone.push()
    assert phone.results[ident]["status"] == "set_aside"
    [waiting] = Office().sign_in().needs_a_look()["set_aside"]
    assert waiting["id"] == ident


OFF = st.one_of(
    st.sampled_from([timedelta(hours=2), -timedelta(hours=2), timedelta(days=5 * 365)]),
    st.timedeltas(-timedelta(days=5 * 365), timedelta(days=5 * 365)),
)


@given(off=OFF, before=st.integers(0, 3600), after=st.integers(0, 3600))
@settings(
    max_examples=examples(25, long=1000),
    suppress_health_check=[HealthCheck.function_scoped_fixture],
    deadline=None,
)
def test_requirement_13_a_wrong_clock_that_has_pinged_sorts_by_true_time(
    shifted_clock: Callable[[Any], None], off: timedelta, before: int, after: int
) -> None:
    """The phone adds what the ping taught it; the server flags that much, by name."""
    shifted_clock(NOW)
    server = Real(NOW)
    right, wrong = (Phone(Writer(name, number=n), server) for n, name in ((1, "a"), (2, "b")))
    right.pull_all()
    wrong.pull_all()
    offset = ping() - (NOW + off)
    true = NOW - timedelta(hours=2)
    first = lose(right, true)
    at = true + timedelta(seconds=before)
    reading = at + off
    middle = lose(wrong, reading + offset, skew_ms=round(-offset / timedelta(milliseconds=1)))
    last = lose(right, at + timedelta(seconds=after))
    for phone in (wrong, right):
        phone.push()
    told = json.loads(wrong.kept[middle].text)
    assert abs(instant(told["occurred_at"], "occurred_at") - at) <= timedelta(seconds=2)
    order = [e.id for e in sorted(server.entries(), key=lambda e: (e.occurred_at, e.id))]
    if min(before, after) > 2:
        assert order == [first, middle, last]
    flagged = [e.id for e in server.entries() if "clock_off" in doubts_of(server, e.id)]
    assert flagged == ([middle] if abs(off) > timedelta(minutes=5, seconds=2) else flagged)


def ping() -> datetime:
    return datetime.fromisoformat(Door().ask("get", "ping")["server_time"])


def doubts_of(server: Real, ident: str) -> set[str]:
    return {
        doubt["code"]
        for state in server.states()
        for doubt in state["doubts"]
        if ident in doubt["entries"]
    }


def test_requirement_13_a_moment_typed_by_hand_is_left_as_it_was_typed(server: Real) -> None:
    phone = Phone(Writer("a"), server)
    phone.pull_all()
    typed = NOW - timedelta(days=3)
    ident = lose(phone, typed, by_hand=True, skew_ms=7_200_000)
    phone.push()
    [entry] = server.entries()
    assert (entry.id, entry.occurred_at, entry.by_hand) == (ident, typed, True)
    assert "clock_off" in doubts_of(server, ident)
