"""Which reminders a book has, for whom, and what becomes of them when the book changes."""

from datetime import UTC, date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from nursery.domain import reference
from nursery.domain.reminders import plan
from nursery.domain.reminders.figures import To
from nursery.domain.reminders.occurrence import Occurrence
from nursery.domain.reminders.plan import Kept, Name, Recipient, State, Why
from nursery.domain.reminders.told import Backup, Phone, Told

ZONE = ZoneInfo("Etc/GMT-10")
# Tuesday, noon.
NOW = datetime(2031, 3, 4, 2, tzinfo=UTC)


def check(kind: str, subject: str, opens: str, due: str, **more: Any) -> dict[str, Any]:
    """Return a check that is due by the end of a local day."""
    return {
        "id": f"{kind}-{subject}-{due}", "kind": kind, "subject": subject,
        "opens_at": f"{opens}:00+10:00", "due_by": f"{due}T23:59:59+10:00",
        "answered_by": None, "skipped_by": None, "params": {}, **more,
    }  # fmt: skip


def batch(label: str, clock: Any = None, doubts: Any = (), own: Any = ()) -> dict[str, Any]:
    return {"label": label, "clock": clock, "doubts": list(doubts), "own_doubts": list(own)}


def told(
    *checks: dict[str, Any],
    batches: dict[str, Any] | None = None,
    places: dict[str, Any] | None = None,
    rows: tuple[tuple[str, str, dict[str, Any]], ...] = (),
    **more: Any,
) -> Told:
    outlook = {"checks": checks, "batches": batches or {}, "places": places or {}}
    grouped: dict[str, dict[str, Any]] = {}
    for kind, ident, body in rows:
        grouped.setdefault(kind, {})[ident] = reference.read(kind, ident, body)
    return Told(outlook, grouped, ZONE, more.pop("now", NOW), **more)


def only(asked: Told) -> Occurrence:
    [found] = plan.occurrences(asked)
    return found


def falls(asked: Told) -> list[tuple[str, str]]:
    return [
        (one.rule, one.due_at(ZONE).astimezone(ZONE).strftime("%m-%dT%H:%M"))
        for one in plan.occurrences(asked)
    ]


# When it opens, the kind, its params, and the rule and the local time at which it falls.
OF_CHECKS = {
    "a look-over the day before": ("03T00:00", "look_over", {}, "due_look_over", "08T07:00"),
    "a check that opens on its last day": ("09T00:00", "trap", {}, "due_trap", "09T07:00"),
    "one that opens later that day": ("09T09:10", "trap", {}, "due_trap", "09T09:10"),
    "after a find at once": (
        "04T05:20",
        "look_elsewhere",
        {"incident": "e"},
        "due_look_elsewhere",
        "04T05:20",
    ),
    "toughening": ("04T00:00", "toughen_roots", {}, "due_toughen", "09T07:00"),
    "what a newer version asks for": ("04T00:00", "weighing", {}, "due_other", "08T07:00"),
    "the authority": (
        "04T08:00",
        "notify",
        {"event": "find", "whom": "P"},
        "due_notify",
        "04T08:00",
    ),
}


@pytest.mark.parametrize(
    ("opens", "kind", "params", "rule", "at"), OF_CHECKS.values(), ids=OF_CHECKS.keys()
)
def test_a_check_is_told(opens: str, kind: str, params: Any, rule: str, at: str) -> None:
    """M-3 and M-6."""
    asked = told(check(kind, "b-1", f"2031-03-{opens}", "2031-03-09", params=params))
    assert falls(asked) == [(rule, f"03-{at}")]
    assert only(asked).urgent == (rule in ("due_notify", "due_look_elsewhere"))


def test_trays_that_are_due_together_are_one_reminder_for_all_that_is_left() -> None:
    """M-5."""
    names = {f"b-{n}": batch(f"T{n}") for n in range(5)}
    some = [check("look_over", name, "2031-03-03T00:00", "2031-03-09") for name in names]
    one = only(told(*some, batches=names))
    assert (one.code, one.params["n"], one.answered) == ("due_look_over_many", 5, False)
    for done in some[:4]:
        done["answered_by"] = "e-1"
    left = only(told(*some, batches=names))
    assert (left.code, left.params["names"], left.key) == ("due_look_over", ["T4"], one.key)
    assert left.subject == ("batch", "b-4")
    some[4]["skipped_by"] = "e-2"
    assert only(told(*some, batches=names)).answered


def test_official_visits_are_asked_for_before_their_days_begin() -> None:
    """M-6."""
    seen = check("inspection", "b-1", "2031-03-20T00:00", "2031-03-27", params={"number": 2})
    assert falls(told(seen)) == [("visit_opens", "03-06T07:00"), ("visit_closes", "03-25T07:00")]


@pytest.mark.parametrize(
    ("laboratory", "code"), [("Lab", "result_overdue_at"), (None, "result_overdue")]
)
def test_a_result_is_late_the_day_after(laboratory: str | None, code: str) -> None:
    params = {"sample": "S-1", "laboratory": laboratory, "on": "2031-03-05"}
    asked = told(check("result", "b-1", "2031-03-05T00:00", "2031-03-05", params=params))
    assert falls(asked) == [("result_overdue", "03-06T07:00")]
    assert only(asked).code == code


LAPSE = {"number": 2, "on": "2031-03-01", "last": "2031-03-07", "next": "2031-03-10", "days": 9}
CLOCK = {"lapses": [{"code": "inspection_lapses", "params": LAPSE}]}
WEEKS = {"name": "V", "zone": "Etc/GMT-10", "planting": [{"first": "03-20", "last": "04-10"}]}


def test_what_ends_opens_or_lapses_is_told_before() -> None:
    """M-6: the last day of an inspection, papers, planting weeks."""
    assert falls(told(batches={"b-1": batch("T1", CLOCK)})) == [
        ("inspection_lapses", "03-05T07:00")
    ]
    two = told(batches={"b-1": batch("T1", CLOCK), "b-2": batch("T2", CLOCK)})
    assert only(two).subject == ("", "")
    permit = ("permit", "p", {"reference": "P", "holder": "D", "valid_to": "2031-05-03"})
    open_end = ("permit", "q", {"reference": "Q", "holder": "D"})
    assert falls(told(rows=(permit, open_end))) == [
        ("permit_ends", "03-04T07:00"), ("permit_ends_soon", "04-19T07:00"),
    ]  # fmt: skip
    nursery = ("nursery", "v", WEEKS)
    assert falls(told(rows=(nursery,), batches={"b-1": batch("T1")})) == [
        ("weeks_open", "03-06T07:00"), ("weeks_close", "04-03T07:00"),
    ]  # fmt: skip
    assert falls(told(rows=(nursery,))) == []


def test_a_paper_of_somebody_who_works_here_ends_once_and_a_later_one_takes_its_place() -> None:
    """Rule O-6."""
    paper = {"what": "Spraying", "until": "2031-05-03"}
    ladders = {"what": "Ladders"}
    hygiene = {"what": "Hygiene", "until": "2031-03-20"}
    body = {"name": "Ana", "role": "worker", "licences": [paper], "trainings": [ladders, hygiene]}
    gone = {**body, "until": "2031-03-01"}
    rows = (("person", "p-1", body), ("person", "p-2", gone))
    assert falls(told(rows=rows)) == [("paper_ends", "01-19T07:00"), ("paper_ends", "03-04T07:00")]
    first, second = plan.occurrences(told(rows=rows))
    assert (first.code, second.code) == ("training_ends", "licence_ends")
    assert second.params == {"name": "Ana", "what": "Spraying", "on": "2031-05-03"}
    assert (second.subject, second.to) == (("person", "p-1"), To.GROWER)
    later = {**body, "licences": [paper, {"what": " spraying", "until": "2034-05-03"}]}
    renewed = plan.occurrences(told(rows=(("person", "p-1", later),)))[1]
    assert renewed.cause == second.cause
    assert renewed.key != second.key


def test_the_end_of_a_re_entry_time_is_told_at_its_instant() -> None:
    """M-2 and P-6."""
    shut = {"reentry_until": "2031-03-05T02:20:30.000Z", "doubts": []}
    free: dict[str, Any] = {"reentry_until": None, "doubts": []}
    room = ("place", "r-1", {"name": "Room", "kind": "room"})
    asked = told(places={"r-1": shut, "r-2": free}, rows=(room,))
    assert falls(asked) == [("reentry_over", "03-05T12:21")]
    assert only(asked).params["place"] == "Room"


def test_phones_backups_and_differences() -> None:
    """M-6."""
    heard = NOW - timedelta(hours=40)
    assert falls(told(phones=[Phone("i-1", "blue", 3, heard)])) == [("phone_silent", "03-04T20:00")]
    assert falls(told(backup=Backup("b", NOW))) == [("no_backup", "03-06T00:00")]
    old = told(backup=Backup("b", NOW - timedelta(days=9)))
    assert falls(old) == [("no_backup", "03-04T00:00")]
    doubts = [
        {"id": code, "weight": weight, "settled_by": by}
        for code, weight, by in (
            ("a", "blocking", None), ("b", "note", None), ("c", "blocking", "e-1"),
        )
    ]  # fmt: skip
    odd = told(batches={"b-1": batch("T1", doubts=doubts, own=doubts)})
    assert falls(odd) == [("differences_open", "03-10T07:00")]
    assert only(odd).params == {"n": 1}


PEOPLE = (Recipient("a", To.WORKER), Recipient("b", To.WORKER), Recipient("g", To.GROWER))
LOOK = told(check("look_over", "b-1", "2031-03-03T00:00", "2031-03-09"))


def planned(
    asked: Told, kept: dict[Name, Kept] | None = None, people: Any = PEOPLE
) -> plan.Changes:
    return plan.changes(asked, plan.occurrences(asked), kept or {}, people)


def named(asked: Told, person: str) -> Name:
    one = only(asked)
    return Name(one.rule, one.key, person)


def test_each_worker_has_their_own_and_without_workers_the_growers() -> None:
    """M-1 and M-7."""
    assert {name.person for name in planned(LOOK).new} == {"a", "b"}
    assert {name.person for name in planned(LOOK, people=PEOPLE[2:]).new} == {"g"}


def test_who_is_not_there_any_more_is_not_reminded() -> None:
    some = [("a", To.WORKER, None), ("b", To.WORKER, date(2031, 3, 4)), ("g", To.GROWER, date.max)]
    there = plan.recipients(some, date(2031, 3, 4))
    assert [one.person for one in there] == ["a", "g"]
    kept = {named(LOOK, "b"): Kept(State.WAITING, tried=False, escalated=False)}
    assert planned(LOOK, kept, there).over == {named(LOOK, "b"): Why.OVER}


FATES = {
    "waiting": (Kept(State.WAITING, tried=False, escalated=False), "refreshed"),
    "waiting after a try": (Kept(State.WAITING, tried=True, escalated=False), ""),
    "sent": (Kept(State.SENT, tried=True, escalated=False), ""),
    "seen": (Kept(State.SEEN, tried=True, escalated=False), ""),
    "dropped, and its cause is back": (
        Kept(State.DROPPED, tried=False, escalated=False),
        "refreshed",
    ),
}


@pytest.mark.parametrize(("kept", "fate"), FATES.values(), ids=FATES.keys())
def test_what_is_kept_already(kept: Kept, fate: str) -> None:
    """M-1: planned again is kept once, and what was sent is never sent anew."""
    found = planned(LOOK, {named(LOOK, "a"): kept})
    assert named(LOOK, "a") not in found.new
    assert (named(LOOK, "a") in found.refreshed) == (fate == "refreshed")
    assert found.over == {}


def test_what_was_answered_or_is_gone_is_over_for_everybody() -> None:
    name = named(LOOK, "a")
    escalated = {Name(*name[:2], "g"): Kept(State.SENT, tried=True, escalated=True)}
    kept = {name: Kept(State.SENT, tried=True, escalated=False), **escalated}
    assert planned(LOOK, kept).over == {}
    done = told(check("look_over", "b-1", "2031-03-03T00:00", "2031-03-09", answered_by="e"))
    assert set(planned(done, kept).over.values()) == {Why.ANSWERED}
    assert planned(done).new == {}
    assert set(planned(told(), kept).over.values()) == {Why.OVER}
    assert len(planned(told(), kept).over) == 2


def test_nothing_begins_too_late_or_too_far_ahead() -> None:
    late = told(check("look_over", "b-1", "2031-02-24T00:00", "2031-03-02"))
    far = told(check("look_over", "b-1", "2031-06-24T00:00", "2031-06-30"))
    assert (planned(late).new, planned(far).new) == ({}, {})
