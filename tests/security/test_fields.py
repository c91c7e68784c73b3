"""What a request says beyond what it was asked changes nothing; what no book can hold is refused.

Fields that would say who somebody is, where they belong and when something came are never read.
"""

import gzip
import json
from datetime import timedelta
from typing import Any
from urllib.parse import urlencode

import orjson
import pytest
from django.test import Client

from nursery.api.json_body import DEEPEST, MOST
from nursery.store.models import Account, DeviceRow, FeedRow, LinkRow, MembershipRow
from tests.api.conftest import NOW, PASSWORD, Cast
from tests.phone import Writer

JSON = "application/json"
MORE: dict[str, Any] = {
    "id": "planted", "ident": "planted", "nursery": "elsewhere", "nursery_id": 2, "role": "grower",
    "type": "person", "author": "p-planted", "by": "p-planted", "person": "p-planted",
    "device": "d-planted", "install": "i-planted", "seq": 1, "number": 1, "n": 1, "rev": 0,
    "received_at": "2000-01-01T00:00:00Z", "made_at": "2000-01-01T00:00:00Z", "confirmed": True,
    "is_operator": True, "is_staff": True, "is_superuser": True, "is_active": False,
    "secret": "planted", "secret_hash": "planted", "code": "planted", "revoked_at": None,
    "__proto__": {"role": "grower"}, "gone": True, "set_aside": True, "hash": "0" * 64,
}  # fmt: skip


def ask(client: Client, method: str, path: str, said: dict[str, Any]) -> Any:
    return client.generic(method, f"/api/v1/{path}", json.dumps(said), JSON)


def test_a_record_of_the_desk_is_by_who_signed_in(cast: Cast, tray: str) -> None:
    said = {"kind": "noted", "about": [tray], "body": {"text": "x"}}
    answer = ask(cast.grower, "POST", "records", {**MORE, **said})
    assert answer.status_code == 201
    line = FeedRow.objects.get(ident=answer.json()["id"])
    entry = orjson.loads(line.text)
    assert "planted" not in line.text
    assert (line.nursery.ident, entry["author"]) == ("veshmere", "p-g")
    assert line.received_at == NOW


def test_a_row_is_the_one_of_its_address(cast: Cast) -> None:
    body = {"name": "Room", "kind": "room"}
    answer = ask(cast.grower, "PUT", "rows/place/r-1", {**MORE, "rev": None, "body": body})
    assert answer.json() == {"type": "place", "id": "r-1", "rev": 1, "body": body}
    answer = ask(cast.grower, "PUT", "rows/place/r-2", {"body": {**body, "nursery": "elsewhere"}})
    assert cast.stranger.get("/api/v1/rows/place").json()["items"] == []


def test_who_signs_in_is_who_they_are(cast: Cast) -> None:
    said = {**MORE, "email": "ana@veshmere.invalid", "password": PASSWORD}
    answer = ask(cast.nobody, "POST", "session", said)
    assert (answer.json()["role"], answer.json()["nursery"]["id"]) == ("grower", "veshmere")
    account = Account.objects.get(email="ana@veshmere.invalid")
    assert (account.is_operator, account.is_active) == (False, True)
    assert MembershipRow.objects.get(account=account).person == "p-g"


@pytest.mark.django_db
def test_who_begins_is_a_grower_and_no_operator() -> None:
    said = {
        "name": "Third", "zone": "UTC", "language": "en", "conditions": True, "grower": "Dov",
        "email": "dov@third.invalid", "password": PASSWORD,
    }  # fmt: skip
    assert ask(Client(), "POST", "begin", {**MORE, **said}).status_code == 201
    account = Account.objects.get()
    assert (account.is_operator, account.is_active) == (False, True)
    assert MembershipRow.objects.get().nursery.ident == "third"


def test_a_link_reads_and_a_code_is_made_here(cast: Cast) -> None:
    ends = (NOW + timedelta(days=3)).isoformat()
    made = ask(cast.grower, "POST", "links", {**MORE, "name": "Ilse", "ends_at": ends})
    secret = made.json()["link"].rpartition("/")[2]
    row = LinkRow.objects.get(ident=made.json()["id"])
    assert (row.nursery.ident, row.made_at) == ("veshmere", NOW)
    assert "planted" not in secret
    assert ask(cast.nobody, "POST", "reading", {**MORE, "secret": secret}).json()["role"] == (
        "inspector"
    )
    invited = ask(cast.grower, "POST", "invites", {**MORE, "device_name": "blue"}).json()
    assert invited["code"] != "planted"
    said = {**MORE, "code": invited["code"], "install": "i-9"}
    joined = ask(cast.nobody, "POST", "sync/enrol", said).json()
    assert joined["nursery"]["id"] == "veshmere"
    device = DeviceRow.objects.get(ident=joined["device"])
    assert (device.joined_at, device.revoked_at, device.name) == (NOW, None, "blue")


def test_a_push_says_neither_whose_it_is_nor_where_it_stands(
    cast: Cast, tray: str, writer: Writer
) -> None:
    before = FeedRow.objects.filter(nursery__ident="veshmere").count()
    entry = json.loads(writer.write("noted", [tray], {"text": "x"}, NOW))
    ident = entry["id"]
    more = {name: value for name, value in MORE.items() if name not in entry}
    answer = cast.phone.push(
        json.dumps({**entry, **more}), **{k: v for k, v in MORE.items() if k != "install"}
    )
    assert answer.status_code == 200
    [result] = answer.json()["results"]
    assert result["id"] == ident
    if result["status"] == "stored":
        line = FeedRow.objects.get(ident=ident)
        assert (line.nursery.ident, line.seq, line.received_at) == ("veshmere", before + 1, NOW)
    assert cast.other_phone.pull()[-1]["t"] == "end"
    assert not [line for line in cast.other_phone.pull() if ident in json.dumps(line)]


def test_how_somebody_is_reminded_knows_its_own_fields_alone(cast: Cast) -> None:
    answer = ask(cast.grower, "PUT", "reminders/settings", {"quiet_from": "21:00", **MORE})
    assert answer.status_code in (200, 400, 422)
    settings = cast.grower.get("/api/v1/reminders/settings").content
    assert b"planted" not in settings


NESTED = "[" * 100_000 + "]" * 100_000
INNER = "[" * (DEEPEST + 1) + "]" * (DEEPEST + 1)
ROW = '{"body": {"name": "x", "kind": "room", "x": %s}}'
REFUSED: dict[str, str] = {
    "nested without end": NESTED,
    "nested without end inside": ROW % NESTED,
    "nested deeper than anything": ROW % INNER,
    "no number": ROW % "NaN",
    "endless": ROW % "Infinity",
    "a number that becomes endless": ROW % "1e999",
    "a whole number without end": ROW % ("1" + "0" * 400),
    "half of a pair": ROW % '"\\ud800"',
    "another character set": '{"body": {"name": "\u00e9"}}',
    "two bodies": '{"body": {}}{"body": {}}',
    "a mark before it": '\ufeff{"body": {}}',
    "no end": '{"body": {',
    "an object's key that is none": '{body: {}}',
    "a comment": '{"body": {}} // x',
}  # fmt: skip


@pytest.mark.parametrize("body", REFUSED.values(), ids=REFUSED)
def test_what_no_row_can_hold_is_no_json(cast: Cast, body: str) -> None:
    sent = body.encode("latin-1" if "\u00e9" in body else "utf-8")
    answer = cast.grower.generic("PUT", "/api/v1/rows/place/r-7", sent, JSON)
    assert (answer.status_code, answer.json()["code"]) == (400, "body_unreadable")
    assert cast.grower.get("/api/v1/rows/place/r-7").status_code == 404


def test_who_is_not_let_in_learns_no_more_of_a_bad_body(cast: Cast) -> None:
    for client, status in ((cast.nobody, 401), (cast.phone, 403)):
        answer = client.generic("PUT", "/api/v1/rows/place/r-7", NESTED.encode(), JSON)
        assert answer.status_code == status


def test_of_two_fields_of_one_name_the_last_is_read_by_all(cast: Cast) -> None:
    """RFC 8259, 4, leaves it open; there is one reader here, so no two can differ."""
    answer = cast.grower.generic(
        "PUT", "/api/v1/rows/place/r-7",
        b'{"body": {"name": "First", "kind": "room", "name": "Last"}}', JSON,
    )  # fmt: skip
    assert answer.json()["body"] == {"name": "Last", "kind": "room"}


PUSHES: dict[str, tuple[bytes, dict[str, str], int, str]] = {
    "nested in a field of nobody": (
        b'{"epoch": "x", "install": "i", "entries": [], "z": %s}' % NESTED.encode(), {},
        400, "bad_envelope",
    ),
    "packed more than it may unpack to": (
        gzip.compress(b" " * (33 << 20)), {"Content-Encoding": "gzip"}, 413, "too_big",
    ),
    "packed twice": (
        gzip.compress(gzip.compress(b"{}")), {"Content-Encoding": "gzip"}, 400, "bad_envelope",
    ),
    "packed in a way that is not read": (
        b"\xff\x00", {"Content-Encoding": "br"}, 400, "bad_envelope",
    ),
}  # fmt: skip


@pytest.mark.parametrize(("body", "headers", "status", "code"), PUSHES.values(), ids=PUSHES)
def test_a_push_that_was_made_to_hurt(
    cast: Cast, body: bytes, headers: dict[str, str], status: int, code: str
) -> None:
    answer = cast.phone.generic("POST", "/api/v1/sync/push", body, JSON, headers=headers)
    assert (answer.status_code, answer.json()["code"]) == (status, code)


def test_entries_that_were_made_to_hurt_are_kept_and_hold_back_no_other(
    cast: Cast, tray: str, writer: Writer
) -> None:
    good = writer.write("noted", [tray], {"text": "x"}, NOW)
    answer = cast.phone.push('{"id": "e-1", "body": ' + NESTED + "}", '{"id": NaN}', good)
    statuses = [one["status"] for one in answer.json()["results"]]
    assert statuses == ["kept_raw", "kept_raw", "stored"]


def test_more_than_is_read_is_told_with_how_much_is(cast: Cast) -> None:
    answer = cast.nobody.generic("POST", "/api/v1/session", b" " * (MOST + 1), JSON)
    assert (answer.status_code, answer.json()["params"]) == (413, {"most": MOST >> 20})


NUL = (
    "batches/%00", "rows/place/a%00", "links/%00", "exports/%00", "calendar/%00.ics",
    "photos/%00/320", "handovers/%00", "rooms/%00/card.pdf", "people/%00/erasure",
)  # fmt: skip
ASKED = ("batches?after=%00", "access?person=%00", "trace?of=batch:%00", "reminders?person=%00")


def test_a_nul_in_an_address_asks_no_database(cast: Cast) -> None:
    for path in NUL:
        assert cast.grower.get(f"/api/v1/{path}").status_code == 404, path
        assert cast.inspector.get(f"/api/v1/{path}").status_code == 404, path
    for path in ASKED:
        assert cast.grower.get(f"/api/v1/{path}").status_code == 400, path
    assert cast.revoked.get("/api/v1/sync/pull?after=%00").status_code == 403


CHOICES = (
    NESTED[:1500],
    "1e999",
    '{"days": [1e999]}',
    '{"left_out": NaN}',
    '{"columns": {"1e9": 1}}',
)


@pytest.mark.parametrize("said", CHOICES, ids=lambda said: said[:12])
def test_what_is_said_of_a_file_is_read_as_strictly(cast: Cast, said: str) -> None:
    for path in ("stock-file/preview?name=a.csv&", "weather/preview?", "logger/preview?"):
        address = f"/api/v1/{path}{urlencode({'choices': said})}"
        answer = cast.grower.generic("POST", address, b"a,b", "text/csv")
        assert (answer.status_code, answer.json()["code"]) == (400, "body_unreadable"), path
