"""Reminders from the book to the channel: planned, sent once, seen, escalated, dropped."""

from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any

import pytest

from nursery.services import channels, clock, jobs, outlook, periods, reminder_send, reminders
from nursery.services.errors import ReminderSettingUnusable
from nursery.services.outcome import Outcome
from nursery.store.models import JobRow
from nursery.store.scope import scope
from nursery.tasks import run
from tests.phone import Writer
from tests.services import remind_scene as scene
from tests.services.remind_scene import ANA, BO, DOV, NOON, Ways, at

pytestmark = pytest.mark.django_db

SEVEN = at("2031-03-04T07:00")


class Standing:
    """A clock that stands where it is put."""

    def __init__(self) -> None:
        self.now = NOON


@pytest.fixture
def time(monkeypatch: pytest.MonkeyPatch) -> Standing:
    standing = Standing()
    monkeypatch.setattr(clock, "now", lambda: standing.now)
    return standing


@pytest.fixture
def ways(monkeypatch: pytest.MonkeyPatch) -> Ways:
    made = Ways()
    monkeypatch.setattr(channels, "WAYS", made.channels())
    return made


@pytest.fixture
def works(time: Standing, ways: Ways) -> Callable[[datetime], None]:
    """Let a worker look at an instant what is due."""
    scene.begin()
    scene.put("due_rule", "temp", scene.rule("temp", "r-1"))

    def work(now: datetime) -> None:
        time.now = now
        reminder_send.run(scene.NURSERY)

    return work


Works = Callable[[datetime], None]


def test_a_reading_that_is_due_is_told_once_to_each_worker_by_push(
    works: Works, ways: Ways
) -> None:
    scene.plan(NOON)
    works(SEVEN - timedelta(minutes=1))
    before = len(ways.said)
    works(SEVEN)
    works(SEVEN)
    works(SEVEN + timedelta(minutes=1))
    assert sorted(ways.counted[before:]) == [("push", ANA, 1), ("push", BO, 1)]


def test_what_nobody_has_seen_for_two_hours_comes_by_mail_and_after_four_more_to_the_grower(
    works: Works, ways: Ways
) -> None:
    works(SEVEN)
    ways.said.clear()
    works(SEVEN + scene.TWO_HOURS - timedelta(minutes=1))
    assert ways.said == []
    works(SEVEN + scene.TWO_HOURS)
    mails = [one for one in ways.counted if one[0] == "mail"]
    assert sorted({person for _, person, _ in mails}) == [ANA, BO]
    ways.said.clear()
    works(SEVEN + scene.TWO_HOURS + scene.FOUR_HOURS)
    assert {person for _, person, _, _ in ways.said} == {DOV}
    [more] = {(row.rule, row.escalated) for row in scene.kept(person=DOV, escalated=True)}
    assert more == ("due_reading", True)


def test_without_a_live_phone_the_letter_goes_at_once(works: Works, ways: Ways) -> None:
    ways.live["push"] = False
    works(SEVEN)
    assert {channel for channel, *_ in ways.said} == {"mail"}


@pytest.mark.parametrize("end", [Outcome.GONE, Outcome.FAILED, OSError("no")])
def test_a_push_that_is_not_taken_is_followed_by_a_letter_at_once(
    works: Works, ways: Ways, end: Any
) -> None:
    ways.answers["push"] = end
    works(SEVEN)
    by = [(channel, person) for channel, person, *_ in ways.said if person == ANA]
    assert by == [("push", ANA), ("mail", ANA)]
    works(SEVEN + timedelta(hours=1))
    assert len([one for one in ways.said if one[1] == ANA]) == 2


def test_who_has_seen_it_hears_no_more_and_nor_do_the_others(works: Works, ways: Ways) -> None:
    works(SEVEN)
    ways.said.clear()
    row = scene.kept(person=ANA, state="sent")[-1]
    told = reminders.see(scene.NURSERY, [row.ident], ANA, SEVEN)
    assert [(one["state"], one["seen_by"]) for one in told] == [("seen", ANA)]
    again = reminders.see(scene.NURSERY, [row.ident], BO, SEVEN + timedelta(minutes=5))
    assert [(one["seen_by"], one["seen_at"]) for one in again] == [(ANA, SEVEN)]
    same = scene.kept(occurrence=row.occurrence)
    assert {(one.person, one.state) for one in same} == {(ANA, "seen"), (BO, "seen")}


def test_a_check_that_is_answered_needs_nobody_to_say_so(works: Works, ways: Ways) -> None:
    works(SEVEN)
    ways.said.clear()
    scene.reads(Writer("a"), SEVEN + timedelta(minutes=20))
    works(SEVEN + scene.TWO_HOURS)
    today = scene.kept(on="2031-03-04")
    assert {(row.state, row.why) for row in today} == {("done", "answered")}
    assert ways.said == []


def test_a_check_that_was_answered_before_it_fell_is_dropped_and_says_so(
    works: Works, ways: Ways
) -> None:
    scene.plan(NOON)
    scene.reads(Writer("a"), at("2031-03-04T06:50"))
    works(SEVEN)
    dropped = scene.kept(on="2031-03-04")
    assert {(row.state, row.why) for row in dropped} == {("dropped", "answered")}
    assert [one for one in ways.said if one[0] == "push" and one[1] == ANA] == []


def test_a_rule_that_is_taken_back_drops_what_it_asked_for(works: Works, ways: Ways) -> None:
    scene.plan(NOON)
    with scope(scene.NURSERY) as book:
        assert book.reminders.filter(state="waiting").count() > 50
    scene.put("due_rule", "temp", scene.rule("temp", "r-none"))
    scene.plan(NOON)
    assert {(row.state, row.why) for row in scene.kept()} == {("dropped", "over")}


def test_what_falls_in_quiet_hours_waits_until_they_are_over(works: Works, ways: Ways) -> None:
    scene.wish(ANA, quiet_from="06:00", quiet_to="09:30")
    scene.plan(NOON)
    works(SEVEN)
    assert {person for _, person, *_ in ways.said} == {BO}
    works(at("2031-03-04T09:29"))
    assert {person for channel, person, *_ in ways.said if channel == "push"} == {BO}
    works(at("2031-03-04T09:30"))
    assert ("push", ANA, 1) in ways.counted


def test_many_at_once_are_one_message(works: Works, ways: Ways) -> None:
    for n in range(4):
        place = f"h-{n}"
        scene.put("place", place, {"name": f"House {n}", "kind": "house"})
        scene.put(
            "permit", f"p-{n}", {"reference": f"P-{n}", "holder": "D", "valid_to": "2031-03-20"}
        )
    works(SEVEN)
    grower = [(channel, n) for channel, person, n, _ in ways.said if person == DOV]
    assert grower == [("push", 4)]


def test_two_are_two_messages(works: Works, ways: Ways) -> None:
    for ident in ("p-1", "p-2"):
        scene.put("permit", ident, {"reference": ident, "holder": "D", "valid_to": "2031-03-20"})
    works(SEVEN)
    grower = [(channel, n) for channel, person, n, _ in ways.said if person == DOV]
    assert grower == [("push", 1), ("push", 1)]


def permit(ident: str) -> None:
    scene.put("permit", ident, {"reference": ident, "holder": "D", "valid_to": "2031-03-20"})


def rings(ways: Ways) -> list[tuple[str, int]]:
    return [(channel, n) for channel, person, n, _ in ways.said if person == DOV]


def test_what_comes_up_within_the_gap_waits_and_goes_out_together(works: Works, ways: Ways) -> None:
    """Rule M-11: thirty things in an hour do not ring thirty times."""
    permit("p-0")
    works(SEVEN)
    for n in range(1, 4):
        permit(f"p-{n}")
        works(SEVEN + timedelta(minutes=4 * n))
    assert rings(ways) == [("push", 1)]
    works(SEVEN + timedelta(minutes=14))
    assert rings(ways) == [("push", 1)]
    works(SEVEN + timedelta(minutes=15))
    assert rings(ways) == [("push", 1), ("push", 3)]
    assert {row.state for row in scene.kept(person=DOV, rule="permit_ends")} == {"sent"}


def test_a_gap_of_none_waits_for_nothing_and_a_channel_that_failed_begins_none(
    works: Works, ways: Ways
) -> None:
    scene.wish(DOV, gap_minutes=0)
    for n in range(2):
        permit(f"p-{n}")
        works(SEVEN + timedelta(minutes=n))
    assert rings(ways) == [("push", 1), ("push", 1)]


def test_the_hours_of_waiting_are_the_nurserys_own(works: Works, ways: Ways) -> None:
    """Rule M-7."""
    scene.wish("", mail_after_hours=1, grower_after_hours=1)
    works(SEVEN)
    works(SEVEN + timedelta(minutes=59))
    assert {channel for channel, *_ in ways.said} == {"push"}
    works(SEVEN + timedelta(hours=1))
    assert {channel for channel, person, *_ in ways.said if person == ANA} == {"push", "mail"}
    assert DOV not in {person for _, person, *_ in ways.said}
    works(SEVEN + timedelta(hours=2))
    assert DOV in {person for _, person, *_ in ways.said}


@pytest.mark.parametrize(
    ("person", "wanted"),
    [
        ("", {"mail_after_hours": 0}),
        ("", {"grower_after_hours": 73}),
        ("", {"mail_after_hours": "2"}),
        (ANA, {"mail_after_hours": 2}),
        (ANA, {"gap_minutes": -1}),
        (ANA, {"gap_minutes": 241}),
        (ANA, {"gap_minutes": True}),
    ],
)
def test_waits_that_cannot_be_are_told(works: Works, person: str, wanted: dict[str, Any]) -> None:
    [(field, value)] = wanted.items()
    with pytest.raises(ReminderSettingUnusable) as told:
        scene.wish(person, **wanted)
    assert told.value.params == {"field": field, "value": str(value)}


def test_papers_are_told_as_many_days_ahead_as_they_are_listed(works: Works) -> None:
    paper = {"what": "Spraying", "until": "2031-05-01"}
    scene.put("person", ANA, {"name": "Ana", "role": "worker", "licences": [paper]})
    nursery = {"name": "V", "zone": scene.ZONE, "ends_days": 20}
    scene.put("nursery", scene.NURSERY, nursery)
    scene.plan(NOON)
    assert [row.wall for row in scene.kept(rule="paper_ends")] == ["2031-04-11T07:00"]
    scene.wish("", lead_days={"paper_ends": 3})
    scene.plan(NOON)
    assert [row.wall for row in scene.kept(rule="paper_ends")] == ["2031-04-28T07:00"]
    assert [row.person for row in scene.kept(rule="paper_ends")] == [DOV]


def test_what_reaches_nobody_is_told_to_the_grower_at_once_and_tried_again_with_a_new_channel(
    works: Works, ways: Ways
) -> None:
    scene.wish(ANA, push=False, mail=False)
    scene.wish(BO, push=False, mail=False)
    works(SEVEN)
    assert {row.state for row in scene.kept(person=ANA, on="2031-03-04")} == {"unreached"}
    assert {person for _, person, *_ in ways.said} == {DOV}
    ways.said.clear()
    scene.wish(ANA, push=True)
    works(SEVEN + timedelta(minutes=10))
    assert {(channel, person) for channel, person, *_ in ways.said} == {("push", ANA)}


def test_a_worker_that_dies_before_the_answer_leaves_its_channel_unknown(
    works: Works, ways: Ways, time: Standing, monkeypatch: pytest.MonkeyPatch
) -> None:
    scene.plan(NOON)
    time.now = SEVEN
    found = reminder_send.claim(scene.NURSERY, SEVEN)
    assert found is not None
    [message] = found.messages
    assert message.channel == "push"
    dead = message.what.to.person
    works(SEVEN + timedelta(minutes=1))
    assert [one for one in ways.said if one[1] == dead] == []
    lease_over = clock.unshifted() + reminder_send.LEASE + timedelta(seconds=1)
    monkeypatch.setattr(clock, "unshifted", lambda: lease_over)
    works(SEVEN + timedelta(minutes=5))
    assert [(channel, person) for channel, person, *_ in ways.said if person == dead] == [
        ("mail", dead)
    ]
    states = [(channel, state) for person, channel, state in scene.attempts() if person == dead]
    assert states == [("push", "unknown"), ("mail", "sent")]
    # The dead one was only slow: what it says now changes nothing.
    reminder_send.answer(scene.NURSERY, message, Outcome.SENT, SEVEN)
    after = [(channel, state) for person, channel, state in scene.attempts() if person == dead]
    assert after == states


def told_although_a_worker_died(
    time: Standing, ways: Ways, monkeypatch: pytest.MonkeyPatch
) -> list[tuple[str, str, int]]:
    """Let the tick hand out what is due, its worker die before it begins, and another come.

    Return what was said: channel, person, how many reminders.
    """
    scene.plan(NOON)
    time.now = SEVEN
    ways.said.clear()
    periods.write_due()
    # Whoever took the message is gone with it; the row is told of anew.
    after = clock.unshifted() + reminder_send.LEASE + jobs.RESEND_AFTER
    monkeypatch.setattr(clock, "unshifted", lambda: after)
    periods.write_due()
    for number in JobRow.objects.filter(kind=reminders.SEND).values_list("pk", flat=True):
        run(number)
    return sorted(ways.counted)


BY_PUSH = [("push", ANA, 1), ("push", BO, 1)]


def test_a_worker_that_dies_before_it_begins_leaves_everything_to_the_next(
    works: Works, ways: Ways, time: Standing, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert told_although_a_worker_died(time, ways, monkeypatch) == BY_PUSH


def test_a_reminder_that_is_claimed_as_it_is_handed_out_is_found(
    works: Works, ways: Ways, time: Standing, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The same death: had the tick claimed them, their push would have gone with the worker."""
    is_waiting = reminder_send.is_waiting

    def claim_and_hand_out(nursery: str, now: datetime) -> bool:
        found = is_waiting(nursery, now)
        while reminder_send.claim(nursery, now):
            pass
        return found

    monkeypatch.setattr(reminder_send, "is_waiting", claim_and_hand_out)
    said = told_although_a_worker_died(time, ways, monkeypatch)
    assert [one for one in said if one[0] == "push"] == []


def test_what_waits_is_made_known_to_the_tick_and_to_nobody_else(
    works: Works, time: Standing
) -> None:
    scene.plan(NOON)
    assert not reminder_send.is_waiting(scene.NURSERY, SEVEN - timedelta(days=1))
    assert reminder_send.is_waiting(scene.NURSERY, SEVEN)


def test_planning_twice_keeps_everything_once(works: Works) -> None:
    scene.plan(NOON)
    first = [(row.ident, row.changed_at) for row in scene.kept()]
    scene.plan(NOON + timedelta(minutes=1))
    assert [(row.ident, row.changed_at) for row in scene.kept()] == first


def test_the_outlook_ships_what_a_phone_counts_down_by_itself(works: Works) -> None:
    """No push is needed for it: the days are data on the phone (rule M-10)."""
    body = outlook.latest(scene.NURSERY, NOON).body
    due = [check["due_by"] for check in body["checks"] if check["kind"] == "reading"]
    assert due == sorted(due)
    assert len(due) > 50
    assert "reentry_until" in body["places"]["r-1"]
