"""People change their password, and see and end where they are signed in: their own alone."""

import json
from datetime import timedelta
from typing import Any

import pytest
from django.test import Client
from django.utils import timezone

from nursery.services import access, clock, limits, nurseries, people
from nursery.services.nurseries import Newcomer
from nursery.store.models import AccessRow, Account, SessionRow
from tests.api.conftest import PASSWORD, Cast

JSON = "application/json"
ANA, CLEO = "ana@veshmere.invalid", "cleo@elsewhere.invalid"
NEW = "four short kettles"
DESKS = "/api/v1/session/desks"


def at_another(email: str = ANA, password: str = PASSWORD, **defaults: Any) -> Client:
    """Return a browser at which somebody signed in, and used what they are shown."""
    client = Client(**defaults)
    said = json.dumps({"email": email, "password": password})
    answer = client.post("/api/v1/session", said, JSON)
    assert answer.status_code == 200, answer.content
    assert may(client)
    return client


def may(client: Client) -> bool:
    status = client.get("/api/v1/batches").status_code
    assert status in (200, 401)
    return status == 200


def desks(client: Client) -> list[dict[str, Any]]:
    found = client.get(DESKS).json()["items"]
    assert [one["this"] for one in found].count(True) == 1
    assert found[0]["this"]
    return list(found)


def other_of(client: Client) -> str:
    return str(desks(client)[1]["id"])


def change(client: Client, old: str, new: str) -> Any:
    said = json.dumps({"old": old, "new": new})
    return client.put("/api/v1/session/password", said, JSON)


def told(nursery: str = "veshmere") -> list[tuple[str, str]]:
    return [(one["did"], one["of"]) for one in access.page(nursery, access.Asked())["items"]]


def later(monkeypatch: pytest.MonkeyPatch, by: timedelta) -> None:
    """Set the machine's clock and the product's on by the same."""
    machine = timezone.now() + by
    monkeypatch.setattr(timezone, "now", lambda: machine)
    monkeypatch.setattr(clock, "unshifted", lambda: machine)
    now = clock.now() + by
    monkeypatch.setattr(clock, "now", lambda: now)


def test_a_changed_password_ends_all_other_sessions_and_this_one_goes_on(cast: Cast) -> None:
    other = at_another()
    before = cast.grower.cookies["nursery_session"].value
    assert change(cast.grower, PASSWORD, NEW).status_code == 204
    assert may(cast.grower)
    assert not may(other)
    assert cast.grower.cookies["nursery_session"].value != before
    assert not SessionRow.objects.filter(pk=before).exists()
    assert len(desks(cast.grower)) == 1
    assert may(at_another(password=NEW))
    assert ("password_changed", "") in told()


def test_whoever_stole_this_very_session_is_out_as_well(cast: Cast) -> None:
    thief = Client()
    thief.cookies["nursery_session"] = cast.grower.cookies["nursery_session"].value
    assert may(thief)
    change(cast.grower, PASSWORD, NEW)
    assert not may(thief)


@pytest.mark.parametrize(
    ("new", "code"),
    [
        ("kettle", "password_short"),
        ("professional", "password_common"),
        ("471147114711", "password_figures"),
        ("ana@veshmere", "password_like_name"),
    ],
)
def test_a_new_one_is_held_to_what_a_first_one_is_held_to(cast: Cast, new: str, code: str) -> None:
    answer = change(cast.grower, PASSWORD, new)
    assert (answer.status_code, answer.json()["code"]) == (422, code)
    assert new not in answer.content.decode()
    assert may(at_another())


def test_a_wrong_old_one_counts_as_at_the_door_and_is_told(cast: Cast) -> None:
    wrong = "lantern-quay-otter"
    answers = [change(cast.grower, wrong, NEW) for _ in range(limits.SIGN_IN.most + 1)]
    assert [one.status_code for one in answers] == [403] * limits.SIGN_IN.most + [429]
    assert answers[0].json()["code"] == "old_password_wrong"
    assert answers[-1].json()["code"] == "sign_in_shut"
    assert change(cast.grower, PASSWORD, NEW).status_code == 429
    # The door is shut with it: it is one count.
    said = json.dumps({"email": ANA, "password": PASSWORD})
    assert cast.nobody.post("/api/v1/session", said, JSON).status_code == 429
    assert told().count(("sign_in_failed", "")) == limits.SIGN_IN.most
    assert wrong not in "".join(one.content.decode() for one in answers)
    assert wrong not in repr(list(AccessRow.objects.values()))
    # Whoever is signed in works on.
    assert may(cast.grower)


@pytest.mark.parametrize(
    ("method", "path"),
    [("put", "session/password"), ("delete", "session/desks"), ("delete", "session/desks/x")],
)
def test_no_other_site_changes_any_of_it(cast: Cast, method: str, path: str) -> None:
    other = at_another()
    cast.grower.handler.enforce_csrf_checks = True
    said = json.dumps({"old": PASSWORD, "new": NEW})
    answer = getattr(cast.grower, method)(f"/api/v1/{path}", said, content_type=JSON)
    assert answer.status_code == 403
    assert may(other)


def test_one_sees_where_one_is_signed_in_and_nothing_by_which_to_come_in(cast: Cast) -> None:
    other = at_another()
    found = desks(cast.grower)
    assert len(found) == 2
    assert {*found[0]} == {"id", "since", "used", "this"}
    assert {one["since"] for one in found} == {"2031-03-03T02:00:00.000Z"}
    keys = [who.cookies["nursery_session"].value for who in (cast.grower, other)]
    text = cast.grower.get(DESKS).content.decode()
    assert not [key for key in keys if key in text]


def test_one_is_ended_and_all_others_are(cast: Cast) -> None:
    first, second, third = at_another(), at_another(), at_another()
    assert cast.grower.delete(f"{DESKS}/{other_of(cast.grower)}").status_code == 204
    assert [may(one) for one in (first, second, third)].count(True) == 2
    assert told()[0] == ("session_ended", "1")
    assert cast.grower.delete(DESKS).status_code == 204
    assert [may(one) for one in (first, second, third)] == [False] * 3
    assert told()[0] == ("session_ended", "2")
    assert may(cast.grower)
    assert len(desks(cast.grower)) == 1
    lines = len(told())
    assert cast.grower.delete(DESKS).status_code == 204
    assert len(told()) == lines


def test_those_of_another_account_are_neither_seen_nor_ended(cast: Cast) -> None:
    theirs = [desks(cast.stranger)[0]["id"], (at_another(CLEO), other_of(cast.stranger))[1]]
    assert len(desks(cast.grower)) == 1
    for ident in theirs:
        assert cast.grower.delete(f"{DESKS}/{ident}").status_code == 404
    assert cast.grower.delete(DESKS).status_code == 204
    change(cast.grower, PASSWORD, NEW)
    assert len(desks(cast.stranger)) == 2
    assert "session_ended" not in {did for did, _ in told("elsewhere")}


def test_a_session_that_the_account_s_password_has_ended_is_not_shown(cast: Cast) -> None:
    at_another()
    account = Account.objects.get(email=ANA)
    account.set_password(NEW)  # as the command at the office computer does
    account.save()
    assert len(desks(at_another(password=NEW))) == 1


DAY = timedelta(days=1)


@pytest.mark.parametrize(
    ("steps", "good"),
    [
        ([timedelta(hours=71)], True),
        ([timedelta(hours=73)], False),
        # A weekend is within it, and each use puts the end off: but not past fourteen days.
        ([2 * DAY] * 6, True),
        ([2 * DAY] * 7, False),
    ],
)
def test_it_ends_when_it_is_not_used_and_after_fourteen_days(
    cast: Cast, monkeypatch: pytest.MonkeyPatch, steps: list[timedelta], good: bool
) -> None:
    assert may(cast.grower)
    *before, last = steps
    for step in before:
        later(monkeypatch, step)
        assert may(cast.grower)
    later(monkeypatch, last)
    assert may(cast.grower) is good


def test_that_it_is_used_is_written_once_in_an_hour(
    cast: Cast, monkeypatch: pytest.MonkeyPatch
) -> None:
    other = at_another()
    later(monkeypatch, timedelta(hours=5, minutes=7))
    assert desks(cast.grower)[0]["used"] == "2031-03-03T07:00:00.000Z"
    assert desks(cast.grower)[1]["used"] == "2031-03-03T02:00:00.000Z"
    rows = list(SessionRow.objects.order_by("pk").values())
    later(monkeypatch, timedelta(minutes=50))
    assert may(cast.grower)
    assert list(SessionRow.objects.order_by("pk").values()) == rows
    assert may(other)


def test_what_is_over_of_an_account_goes_with_its_next_session(
    cast: Cast, monkeypatch: pytest.MonkeyPatch
) -> None:
    old = SessionRow.objects.get(account__email=ANA).pk
    theirs = SessionRow.objects.get(account__email=CLEO).pk
    later(monkeypatch, 4 * DAY)
    at_another()
    assert not SessionRow.objects.filter(pk=old).exists()
    assert SessionRow.objects.filter(pk=theirs).exists()


def test_one_that_was_never_used_is_shown_as_of_when_it_was_made(
    cast: Cast, monkeypatch: pytest.MonkeyPatch
) -> None:
    said = json.dumps({"email": ANA, "password": PASSWORD})
    assert cast.nobody.post("/api/v1/session", said, JSON).status_code == 200
    later(monkeypatch, DAY)
    made = desks(cast.grower)[1]
    assert made["since"][:16] in ("2031-03-03T01:59", "2031-03-03T02:00")


def test_an_inspector_with_an_account_keeps_their_own_as_a_grower_does(cast: Cast) -> None:
    email = "orrin@office.invalid"
    nurseries.add_account("veshmere", Newcomer(email, PASSWORD, "Orrin", people.INSPECTOR, ""))
    here, there = at_another(email), at_another(email)
    assert len(desks(here)) == 2
    assert change(here, PASSWORD, NEW).status_code == 204
    assert (may(here), may(there)) == (True, False)
    assert len(desks(cast.grower)) == 1
