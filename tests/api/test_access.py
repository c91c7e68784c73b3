"""Every address x every caller. What a view does not open is shut.

A phone that a grower handed to an inspector is no caller of its own. Handing over is kept in the
app alone and nothing of it is sent, so this door cannot tell it from the same phone in its people's
hands: to the table it is the phone. What the app refuses while it is handed over is held sheet by
sheet in `frontend/src/screens/hand/handed.test.ts`, and walked in
`tests/journeys/test_inspector.py`.
"""

import json
from typing import Any

import pytest
from django.test import Client
from django.urls import get_resolver
from rest_framework.views import APIView

from nursery.api.door import COOKIE, View
from tests.api.conftest import CALLERS, Cast
from tests.push_service import Browser

EPOCHLESS = json.dumps({"epoch": "x", "install": "i-a", "entries": []})
BEGIN = json.dumps(
    {
        "name": "Third",
        "zone": "UTC",
        "language": "en",
        "conditions": True,
        "grower": "Dov",
        "email": "dov@third.invalid",
        "password": "three tall kettles",
    }
)
RECORD = json.dumps({"kind": "noted", "about": ["b-1"], "body": {"text": "x"}})
LINK = json.dumps({"name": "Dacio Brill", "ends_at": "2031-06-30T00:00:00Z"})
PLAN = '{"crop": "lime", "plants": 100, "first": "2032-10-05", "last": "2032-11-12"}'
WHAT_IF = json.dumps({"suppose": [{"what": "notice", "on": "2031-03-10"}]})
LAYOUT = '{"way": "typed", "counts": [3]}'
DRILL = json.dumps({"of": ["batch:b-1"], "seconds": 300})
CALL = json.dumps({"of": ["batch:b-1"], "reference": "C-1", "asked_by": "P", "reason": "budwood"})
ERASE = json.dumps({"why": "asked", "notes": True})
SEEN = json.dumps({"person": "p-g"})
MANY_SEEN = json.dumps({"person": "p-g", "ids": ["r-none"]})
QUIET = json.dumps({"quiet_from": "21:00"})
SIGN_IN = '{"email": "a@b.example", "password": "three tall kettles"}'
NEW_PASSWORD = '{"old": "not this one", "new": "four short kettles"}'
PLACE = json.dumps({"body": {"name": "Room", "kind": "room"}})

PUSH = json.dumps(
    {"person": "p-none", "endpoint": "https://push.example/a", "keys": Browser().keys()}
)
CALENDAR = json.dumps({"name": "Dacio Brill", "language": "en"})

# Method, address, body; then what grower, phone, revoked phone, stranger, nobody, an inspector by a
# link, one whose link has ended, and a phone that joined another nursery are answered.
# 409 to a phone: it was let in, and its made-up epoch is not the book's.
DOORS: list[tuple[str, str, str, tuple[int, ...]]] = [
    ("GET", "batches", "", (200, 200, 403, 200, 401, 200, 403, 200)),
    ("GET", "batches/b-1", "", (200, 200, 403, 404, 401, 200, 403, 404)),
    ("GET", "batches/b-1/passport.pdf", "", (200, 403, 403, 404, 401, 403, 403, 403)),
    ("GET", "batches/b-1/photos", "", (200, 200, 403, 404, 401, 200, 403, 404)),
    # Whose photo is whose is held by `test_photos`; here there is none.
    ("GET", f"photos/{'ab' * 32}/320", "", (404, 404, 403, 404, 401, 404, 403, 404)),
    ("POST", f"photos/{'ab' * 32}", "", (404, 403, 403, 404, 401, 401, 401, 403)),
    ("GET", "places", "", (200, 200, 403, 200, 401, 200, 403, 200)),
    ("GET", "places/r-1", "", (404, 404, 403, 404, 401, 404, 403, 404)),
    ("GET", "consignments", "", (200, 200, 403, 200, 401, 200, 403, 200)),
    ("GET", "may?act=moving&subject=b-1", "", (200, 200, 403, 404, 401, 200, 403, 404)),
    ("GET", "consignments/c-9/file", "", (404, 404, 403, 404, 401, 404, 403, 404)),
    ("GET", "consignments/c-9/file.pdf", "", (404, 403, 403, 404, 401, 404, 403, 403)),
    ("GET", "consignments/c-9/file.html", "", (404, 403, 403, 404, 401, 404, 403, 403)),
    ("GET", "due", "", (200, 200, 403, 200, 401, 200, 403, 200)),
    ("GET", "planting", "", (200, 200, 403, 200, 401, 200, 403, 200)),
    ("GET", "planting/levels", "", (200, 200, 403, 200, 401, 200, 403, 200)),
    ("GET", "doubts", "", (200, 200, 403, 200, 401, 200, 403, 200)),
    ("GET", "needs-a-look", "", (200, 403, 403, 200, 401, 403, 403, 403)),
    ("GET", "begin", "", (200, 200, 200, 200, 200, 200, 200, 200)),
    ("POST", "begin", BEGIN, (409, 409, 409, 409, 409, 409, 409, 409)),
    ("POST", "begin/book", '{"size": 9}', (409, 409, 409, 409, 409, 409, 409, 409)),
    ("GET", "begin/book/none", "", (404, 404, 404, 404, 404, 404, 404, 404)),
    ("POST", "begin/book/none", SIGN_IN, (409, 409, 409, 409, 409, 409, 409, 409)),
    ("PUT", "begin/book/none/slice?at=0", "", (404, 404, 404, 404, 404, 404, 404, 404)),
    ("POST", "records", RECORD, (201, 403, 403, 201, 401, 401, 401, 403)),
    ("GET", "backup", "", (200, 403, 403, 200, 401, 403, 403, 403)),
    ("POST", "backup", "", (202, 403, 403, 202, 401, 401, 401, 403)),
    ("PUT", "backup/place", '{"folder": "here"}', (422, 403, 403, 422, 401, 401, 401, 403)),
    ("GET", "exports", "", (200, 403, 403, 200, 401, 403, 403, 403)),
    ("POST", "exports", "", (202, 403, 403, 202, 401, 401, 401, 403)),
    ("GET", "exports/none", "", (404, 403, 403, 404, 401, 403, 403, 403)),
    ("GET", "forms/mcpd.csv", "", (200, 403, 403, 200, 401, 403, 403, 403)),
    ("POST", "set-aside/e-none", "", (404, 403, 403, 404, 401, 401, 401, 403)),
    ("POST", "kept-raw/none", "", (404, 403, 403, 404, 401, 401, 401, 403)),
    ("GET", "devices", "", (200, 403, 403, 200, 401, 403, 403, 403)),
    ("DELETE", "devices/d-none", "", (404, 403, 403, 404, 401, 401, 401, 403)),
    ("POST", "invites", '{"device_name": "blue"}', (201, 403, 403, 201, 401, 401, 401, 403)),
    ("GET", "rows/place", "", (200, 200, 403, 200, 401, 200, 403, 200)),
    ("GET", "rows/place/r-9", "", (404, 404, 403, 404, 401, 404, 403, 404)),
    ("PUT", "rows/place/r-1", PLACE, (200, 403, 403, 200, 401, 401, 401, 403)),
    ("DELETE", "rows/place/r-9", "", (404, 403, 403, 404, 401, 401, 401, 403)),
    ("GET", "session", "", (200, 401, 401, 200, 401, 200, 403, 401)),
    ("DELETE", "session", "", (204, 401, 401, 204, 401, 401, 401, 401)),
    (
        "POST",
        "session",
        '{"email": "x", "password": "y"}',
        (403, 403, 403, 403, 403, 403, 403, 403),
    ),
    ("PUT", "session/password", NEW_PASSWORD, (403, 401, 401, 403, 401, 401, 401, 401)),
    ("GET", "session/desks", "", (200, 401, 401, 200, 401, 401, 401, 401)),
    ("DELETE", "session/desks", "", (204, 401, 401, 204, 401, 401, 401, 401)),
    ("DELETE", "session/desks/none", "", (404, 401, 401, 404, 401, 401, 401, 401)),
    ("GET", "sync/ping", "", (200, 200, 200, 200, 200, 200, 200, 200)),
    (
        "POST",
        "sync/enrol",
        '{"code": "x", "install": "i"}',
        (403, 403, 403, 403, 403, 403, 403, 403),
    ),
    ("POST", "sync/push", EPOCHLESS, (401, 409, 403, 401, 401, 401, 401, 409)),
    ("GET", "sync/pull", "", (401, 200, 403, 401, 401, 401, 401, 200)),
    ("POST", "sync/check", '{"ids": []}', (401, 200, 403, 401, 401, 401, 401, 200)),
    ("POST", "sync/photos", '{"sha256": []}', (401, 200, 403, 401, 401, 401, 401, 200)),
    ("GET", "sync/outlook", "", (401, 200, 403, 401, 401, 401, 401, 200)),
    ("POST", "sync/rescue", EPOCHLESS, (200, 401, 401, 200, 401, 401, 401, 401)),
    # 412: let in, and asked which version of tus they speak.
    ("POST", "uploads", "{}", (412, 412, 403, 412, 401, 401, 401, 412)),
    ("OPTIONS", "uploads", "", (204, 204, 403, 204, 204, 204, 204, 204)),
    ("HEAD", "uploads/none", "", (412, 412, 403, 412, 401, 401, 401, 412)),
    ("PATCH", "uploads/none", "{}", (412, 412, 403, 412, 401, 401, 401, 412)),
    ("OPTIONS", "uploads/none", "", (204, 204, 403, 204, 204, 204, 204, 204)),
    ("POST", "what-if", WHAT_IF, (200, 403, 403, 200, 401, 401, 401, 403)),
    ("POST", "plans/backward", PLAN, (200, 403, 403, 200, 401, 401, 401, 403)),
    ("GET", "templates", "", (200, 200, 403, 200, 401, 200, 403, 200)),
    ("GET", "crop-profiles", "", (200, 200, 403, 200, 401, 200, 403, 200)),
    ("POST", "logger/preview", "", (200, 403, 403, 200, 401, 401, 401, 403)),
    ("POST", "logger/none", "", (422, 403, 403, 422, 401, 401, 401, 403)),
    ("POST", "stock-file/preview?name=a.csv", "", (422, 403, 403, 422, 401, 401, 401, 403)),
    ("POST", "stock-file?name=a.csv&seal=x", "", (422, 403, 403, 422, 401, 401, 401, 403)),
    ("GET", "stock-file/templates/stock-en.csv", "", (200, 403, 403, 200, 401, 403, 403, 403)),
    ("GET", "weather", "", (200, 200, 403, 200, 401, 200, 403, 200)),
    ("POST", "weather/preview", "", (200, 403, 403, 200, 401, 401, 401, 403)),
    ("PUT", "weather/own", "", (400, 403, 403, 400, 401, 401, 401, 403)),
    ("DELETE", "weather/none", "", (404, 403, 403, 404, 401, 401, 401, 403)),
    ("GET", "handovers/e-9", "", (404, 404, 403, 404, 401, 404, 403, 404)),
    ("GET", "handovers/e-9/slip.pdf", "", (404, 404, 403, 404, 401, 404, 403, 404)),
    ("POST", "handovers", '{"file": {}}', (422, 403, 403, 422, 401, 401, 401, 403)),
    ("GET", "trace?of=batch:b-1", "", (200, 200, 403, 200, 401, 200, 403, 200)),
    ("GET", "trace/starts?called=t", "", (200, 200, 403, 200, 401, 200, 403, 200)),
    ("GET", "trace.pdf?of=batch:b-1", "", (200, 200, 403, 200, 401, 200, 403, 200)),
    ("GET", "trace/drills", "", (200, 200, 403, 200, 401, 200, 403, 200)),
    ("POST", "trace/drills", DRILL, (201, 403, 403, 422, 401, 401, 401, 403)),
    ("POST", "trace/hold", CALL, (201, 403, 403, 422, 401, 401, 401, 403)),
    ("GET", "reminders?person=p-g", "", (200, 200, 403, 200, 401, 403, 403, 200)),
    # 400: a phone is shared, and has to say whose reminders it asks for.
    ("GET", "reminders", "", (200, 400, 403, 200, 401, 403, 403, 400)),
    ("GET", "reminders/r-none", "", (404, 404, 403, 404, 401, 403, 403, 404)),
    ("POST", "reminders/r-none/seen", SEEN, (404, 404, 403, 404, 401, 401, 401, 404)),
    ("POST", "reminders/seen", MANY_SEEN, (404, 404, 403, 404, 401, 401, 401, 404)),
    ("GET", "reminders/settings", "", (200, 200, 403, 200, 401, 403, 403, 200)),
    ("PUT", "reminders/settings", QUIET, (200, 403, 403, 200, 401, 401, 401, 403)),
    # A phone sets the hours of workers alone; who is none is not its to set.
    ("PUT", "reminders/settings/p-none", QUIET, (404, 403, 403, 404, 401, 401, 401, 403)),
    ("GET", "season", "", (200, 200, 403, 200, 401, 200, 403, 200)),
    ("POST", "blocks/r-none/layout", LAYOUT, (404, 403, 403, 404, 401, 401, 401, 403)),
    ("GET", "blocks/r-none/positions.csv", "", (404, 404, 403, 404, 401, 404, 403, 404)),
    ("GET", "blocks/r-none/positions.geojson", "", (404, 404, 403, 404, 401, 404, 403, 404)),
    ("GET", "blocks/r-none/traps", "", (404, 404, 403, 404, 401, 404, 403, 404)),
    ("GET", "blocks/r-none/scouting", "", (404, 404, 403, 404, 401, 404, 403, 404)),
    ("GET", "blocks/r-none/pressure", "", (404, 404, 403, 404, 401, 404, 403, 404)),
    ("GET", "blocks/r-none/standing", "", (404, 404, 403, 404, 401, 404, 403, 404)),
    ("GET", "round.pdf", "", (422, 422, 403, 422, 401, 403, 403, 422)),
    ("GET", "rooms/r-none/card.pdf", "", (404, 404, 403, 404, 401, 403, 403, 404)),
    ("GET", "labels/holds", "", (200, 200, 403, 200, 401, 403, 403, 200)),
    ("POST", "labels", '{"batches": ["b-1"]}', (200, 200, 403, 404, 401, 401, 401, 404)),
    ("GET", "links", "", (200, 403, 403, 200, 401, 403, 403, 403)),
    ("POST", "links", LINK, (201, 403, 403, 201, 401, 401, 401, 403)),
    ("GET", "links/l-none", "", (404, 403, 403, 404, 401, 403, 403, 403)),
    ("DELETE", "links/l-none", "", (404, 403, 403, 404, 401, 401, 401, 403)),
    ("POST", "reading", '{"secret": "x"}', (403, 403, 403, 403, 403, 403, 403, 403)),
    ("DELETE", "reading", "", (204, 204, 204, 204, 204, 204, 204, 204)),
    ("GET", "people/papers", "", (200, 200, 403, 200, 401, 200, 403, 200)),
    ("GET", "people/p-none/erasure", "", (404, 403, 403, 404, 401, 403, 403, 403)),
    ("POST", "people/p-none/erasure", ERASE, (404, 403, 403, 404, 401, 401, 401, 403)),
    ("GET", "access", "", (200, 403, 403, 200, 401, 403, 403, 403)),
    ("GET", "push", "", (401, 200, 403, 401, 401, 401, 401, 200)),
    ("POST", "push/subscription", PUSH, (401, 404, 403, 401, 401, 401, 401, 404)),
    ("DELETE", "push/subscription", '{"person": "p-1"}', (401, 204, 403, 401, 401, 401, 401, 204)),
    ("GET", "push/subscriptions", "", (200, 403, 403, 200, 401, 403, 403, 403)),
    ("GET", "calendars", "", (200, 403, 403, 200, 401, 403, 403, 403)),
    ("POST", "calendars", CALENDAR, (201, 403, 403, 201, 401, 401, 401, 403)),
    ("DELETE", "calendars/k-none", "", (404, 403, 403, 404, 401, 401, 401, 403)),
    ("GET", "calendar/none.ics", "", (404, 404, 404, 404, 404, 404, 404, 404)),
    ("GET", "schema", "", (200, 200, 200, 200, 200, 200, 200, 200)),
]


@pytest.mark.parametrize(
    ("method", "address", "body", "expected"), DOORS, ids=[f"{m} {a}" for m, a, *_ in DOORS]
)
@pytest.mark.usefixtures("tray")
def test_each_door_opens_to_those_it_says(
    cast: Cast, method: str, address: str, body: str, expected: tuple[int, ...]
) -> None:
    callers: list[Client] = [cast.grower, cast.phone, cast.revoked, cast.stranger, cast.nobody]
    callers += [cast.inspector, cast.ended, cast.other_phone]
    answered = tuple(
        getattr(caller, method.lower())(
            f"/api/v1/{address}", *([body] if body else []), content_type="application/json"
        ).status_code
        if method != "GET"
        else caller.get(f"/api/v1/{address}").status_code
        for caller in callers
    )
    assert answered == expected


def opened() -> list[tuple[Any, str]]:
    """Every address of the API, with each method that its view opens to anybody."""
    found = []
    for pattern in get_resolver("nursery.api.urls").url_patterns:
        view: Any = getattr(pattern.callback, "cls", None)
        methods = view.open_to if issubclass(view, View) else {"GET": None}
        found += [(pattern, method) for method in methods]
    return found


@pytest.mark.parametrize(
    ("pattern", "method"), opened(), ids=[f"{m} {p.pattern}" for p, m in opened()]
)
def test_no_address_is_left_out_of_the_table(pattern: Any, method: str) -> None:
    rows = [a for m, a, *_ in DOORS if m == method and pattern.resolve(a.partition("?")[0])]
    assert rows != []


def test_every_row_of_the_table_asks_every_caller() -> None:
    assert {len(expected) for *_, expected in DOORS} == {len(CALLERS)}


def test_a_view_opens_no_method_that_it_does_not_name() -> None:
    for pattern in get_resolver("nursery.api.urls").url_patterns:
        view: Any = getattr(pattern.callback, "cls", None)
        if issubclass(view, View):
            names = ("get", "head", "post", "put", "patch", "delete")
            has = {name.upper() for name in names if hasattr(view, name)}
            # The framework answers OPTIONS of its own accord; the door keeps that shut.
            has |= {"OPTIONS"} if view.options is not APIView.options else set()
            assert has == set(view.open_to)


def test_a_stranger_never_reads_a_row_of_ours(cast: Cast, tray: str) -> None:
    mine = cast.grower.get("/api/v1/batches").json()["items"]
    theirs = cast.stranger.get("/api/v1/batches").json()["items"]
    assert [item["id"] for item in mine] == [tray]
    assert theirs == []
    answer = cast.stranger.get("/api/v1/batches", headers={"X-Nursery": "veshmere"})
    assert (answer.status_code, answer.json()["code"]) == (403, "not_theirs")


def test_a_phone_of_another_nursery_pulls_nothing_of_ours(cast: Cast, tray: str) -> None:
    assert [line for line in cast.phone.pull() if tray in json.dumps(line)] != []
    assert [line for line in cast.other_phone.pull() if tray in json.dumps(line)] == []
    assert cast.other_phone.get("/api/v1/batches", headers={"X-Nursery": "veshmere"}).json() == {
        "items": [],
        "next": None,
    }


def test_a_grower_who_signs_in_on_a_phone_that_has_joined_is_a_grower_there(cast: Cast) -> None:
    cast.grower.cookies[COOKIE] = cast.phone.cookies[COOKIE].value
    assert cast.grower.get("/api/v1/devices").status_code == 200
    cast.grower.delete("/api/v1/session")
    assert cast.grower.get("/api/v1/devices").status_code == 403
    assert cast.grower.get("/api/v1/batches").status_code == 200


def test_a_person_cannot_be_made_to_act_by_another_site(cast: Cast) -> None:
    cast.grower.handler.enforce_csrf_checks = True
    answer = cast.grower.put("/api/v1/rows/place/r-1", PLACE, content_type="application/json")
    assert answer.status_code == 403


@pytest.mark.parametrize(
    "headers",
    [
        {"X-Sync": ""},
        {"X-Sync": "1", "Origin": "https://elsewhere.invalid"},
        {"X-Sync": "1", "Sec-Fetch-Site": "cross-site"},
    ],
)
def test_a_phone_cannot_be_made_to_send_by_another_site(
    cast: Cast, headers: dict[str, str]
) -> None:
    answer = cast.phone.post(
        "/api/v1/sync/push", EPOCHLESS, content_type="application/json", headers=headers
    )
    assert (answer.status_code, answer.json()["code"]) == (403, "origin")


def test_guessing_a_password_is_stopped(cast: Cast) -> None:
    body = json.dumps({"email": "ana@veshmere.invalid", "password": "wrong"})
    answers = [
        cast.nobody.post("/api/v1/session", body, content_type="application/json") for _ in range(9)
    ]
    assert [answer.status_code for answer in answers] == [403] * 8 + [429]
    assert answers[-1].json()["code"] == "sign_in_shut"
