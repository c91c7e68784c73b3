"""When a reminder falls: wall time, changes of the clock, quiet hours, digests."""

from collections import Counter
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nursery.domain.reminders import steps
from nursery.domain.reminders.figures import Timing, Waits
from nursery.domain.reminders.occurrence import before, right_at
from nursery.domain.reminders.quiet import Quiet
from nursery.domain.reminders.steps import Attempt, Due
from nursery.domain.reminders.wall import MINUTE, instant_of, wall_of

BERLIN = ZoneInfo("Europe/Berlin")
LORD_HOWE = ZoneInfo("Australia/Lord_Howe")
CASABLANCA = ZoneInfo("Africa/Casablanca")
SANTIAGO = ZoneInfo("America/Santiago")

# Days of change as the IANA database has them (tz 2025: europe, australasia, africa, southamerica).
# Wall time, and the instant at which it falls by rule M-2.
CHANGES = {
    "an hour skipped": (BERLIN, "2026-03-29T02:30", "2026-03-29T01:00"),
    "an hour twice": (BERLIN, "2026-10-25T02:30", "2026-10-25T00:30"),
    "after the change": (BERLIN, "2026-03-29T07:00", "2026-03-29T05:00"),
    "before the change": (BERLIN, "2026-03-28T07:00", "2026-03-28T06:00"),
    "half an hour skipped": (LORD_HOWE, "2026-10-04T02:10", "2026-10-03T15:30"),
    "half an hour twice": (LORD_HOWE, "2026-04-05T01:45", "2026-04-04T14:45"),
    "a month of fasting begins": (CASABLANCA, "2026-02-15T02:30", "2026-02-15T01:30"),
    "a month of fasting ends": (CASABLANCA, "2026-03-22T02:30", "2026-03-22T02:00"),
    "midnight skipped": (SANTIAGO, "2026-09-06T00:15", "2026-09-06T04:00"),
}
ZONES = (BERLIN, LORD_HOWE, CASABLANCA, SANTIAGO)


@pytest.mark.parametrize(("zone", "wall", "utc"), CHANGES.values(), ids=CHANGES.keys())
def test_a_wall_time_falls_once_when_the_clock_changes(zone: ZoneInfo, wall: str, utc: str) -> None:
    """Rule M-2."""
    fell = instant_of(datetime.fromisoformat(wall), zone)
    assert fell == datetime.fromisoformat(utc).replace(tzinfo=UTC)


minutes = st.integers(0, 366 * 24 * 60 - 1)
hours = st.builds(time, st.integers(0, 23), st.sampled_from([0, 15, 30, 45]))


@given(st.sampled_from(ZONES), minutes)
def test_no_clock_has_shown_as_much_a_minute_before(zone: ZoneInfo, n: int) -> None:
    """M-2: the first instant at which the clock shows the wall time, or has leapt past it."""
    wall = datetime(2026, 1, 1) + n * MINUTE  # noqa: DTZ001
    fell = instant_of(wall, zone)
    assert wall_of(fell, zone) >= wall
    assert wall_of(fell - MINUTE, zone) < wall


@given(st.sampled_from(ZONES), minutes, hours, hours)
def test_quiet_hours_move_a_reminder_and_never_lose_it(
    zone: ZoneInfo, n: int, begins: time, ends: time
) -> None:
    """M-4: never earlier, not more than a day and a changed hour later, nor in quiet hours."""
    at = datetime(2026, 1, 1, tzinfo=UTC) + n * MINUTE
    quiet = Quiet(begins, ends)
    moved = quiet.moved(at, zone)
    assert at <= moved <= at + timedelta(hours=26)
    if quiet.covers(wall_of(at, zone)):
        assert wall_of(moved, zone).time() >= ends or not quiet.covers(wall_of(moved, zone))
    else:
        assert moved == at


due = st.lists(
    st.builds(
        Due, st.integers(), st.sampled_from("ab"), st.sampled_from(steps.CHANNELS), st.booleans()
    )
)


@given(due, st.integers(2, 6), st.integers(2, 6))
def test_a_digest_loses_nothing_and_doubles_nothing(some: list[Due], a: int, b: int) -> None:
    """M-8."""
    found = steps.bundles(some, {"a": a, "b": b})
    assert Counter(one for bundle in found for one in bundle) == Counter(some)
    for bundle in found:
        assert len({(one.person, one.channel, one.urgent) for one in bundle}) == 1
        assert len(bundle) == 1 or len(bundle) >= {"a": a, "b": b}[bundle[0].person]


NOW = datetime(2031, 3, 3, tzinfo=UTC)
BOTH = ("push", "mail")
SENT, FAILED, UNKNOWN = Attempt.SENT, Attempt.FAILED, Attempt.UNKNOWN
AFTER = {
    "a letter two hours after the push": ({"push": SENT}, BOTH, True, timedelta(hours=2)),
    "a letter at once": ({"push": FAILED}, BOTH, True, timedelta()),
    "a letter at once after a death": ({"push": UNKNOWN}, BOTH, False, timedelta()),
    "the grower after four more": ({"push": SENT, "mail": SENT}, BOTH, True, timedelta(hours=4)),
    "the grower at once": ({"push": FAILED, "mail": FAILED}, BOTH, True, timedelta()),
    "nothing more for a grower": ({"push": SENT, "mail": SENT}, BOTH, False, None),
    "nobody is left": ({"mail": FAILED}, ("mail",), False, None),
}


@pytest.mark.parametrize(("tried", "live", "grower", "wait"), AFTER.values(), ids=AFTER.keys())
def test_what_follows(
    tried: dict[str, Attempt], live: tuple[str, ...], *, grower: bool, wait: timedelta | None
) -> None:
    """M-7 and M-9: no channel twice."""
    expected = None if wait is None else NOW + wait
    assert steps.after(NOW, tried, live, to_grower=grower) == expected


def test_days_of_lead_are_a_nurserys_own_and_stay_in_the_calendar() -> None:
    """M-3."""
    day = date(2031, 3, 9)
    assert before("due_look_over", day, Timing()) == datetime(2031, 3, 8, 7)  # noqa: DTZ001
    own = Timing(time(6, 15), {"due_look_over": 3})
    assert before("due_look_over", day, own) == datetime(2031, 3, 6, 6, 15)  # noqa: DTZ001
    assert before("result_overdue", day, Timing()) == datetime(2031, 3, 10, 7)  # noqa: DTZ001
    assert before("permit_ends", date.min, Timing()).date() == date.min


def test_what_has_an_instant_keeps_it_in_an_hour_that_comes_twice() -> None:
    """M-2: the end of a re-entry time is never told an hour early."""
    second_pass = datetime(2026, 10, 25, 1, 30, tzinfo=UTC)
    wall, at = right_at(second_pass, BERLIN)
    assert at == second_pass
    assert wall == datetime(2026, 10, 25, 2, 30)  # noqa: DTZ001


def test_a_letter_that_a_server_takes_later_is_written_again_in_half_an_hour() -> None:
    """M-12: its channel is not used up, and nobody else is asked meanwhile."""
    tried = {"push": FAILED, "mail": Attempt.LATER}
    assert steps.after(NOW, tried, BOTH, to_grower=True) == NOW + timedelta(minutes=30)
    assert steps.used(tried) == {"push"}


def test_the_waits_are_a_nurserys_own() -> None:
    """M-7."""
    own = Waits(1, 7)
    one = steps.after(NOW, {"push": SENT}, BOTH, to_grower=True, waits=own)
    assert one == NOW + timedelta(hours=1)
    both = steps.after(NOW, {"push": SENT, "mail": SENT}, BOTH, to_grower=True, waits=own)
    assert both == NOW + timedelta(hours=7)


GAPS = {
    "nothing went out yet": (None, 15, None),
    "a minute ago": (-1, 15, 14),
    "just now": (0, 15, 15),
    "as long ago as the gap": (-15, 15, None),
    "no gap is wanted": (0, 0, None),
    "the clock was set back": (1, 15, None),
}


@pytest.mark.parametrize(("last", "gap", "wait"), GAPS.values(), ids=GAPS.keys())
def test_nobody_is_rung_at_again_within_the_gap(
    last: int | None, gap: int, wait: int | None
) -> None:
    """M-11."""
    before = None if last is None else NOW + last * MINUTE
    expected = None if wait is None else NOW + wait * MINUTE
    assert steps.not_before(before, gap, NOW) == expected
