"""What is stolen stops being worth anything when its owner ends it; and nobody is handed theirs."""

import json
from datetime import timedelta
from typing import Any

import pytest
from django.test import Client

from nursery.api.door import COOKIE, LINK_COOKIE
from nursery.services import clock, links, people
from nursery.store.models import Account, DeviceRow, MembershipRow
from tests.api.conftest import NOW, PASSWORD, Cast, joined

JSON = "application/json"
SESSION = "nursery_session"


def stolen(client: Client, name: str, **headers: str) -> Client:
    """Return another browser that has one cookie of the first."""
    thief = Client(headers=headers)
    thief.cookies[name] = client.cookies[name].value
    return thief


def sign_in(client: Client, email: str = "ana@veshmere.invalid", password: str = PASSWORD) -> Any:
    said = json.dumps({"email": email, "password": password})
    return client.post("/api/v1/session", said, JSON)


def may(client: Client, path: str = "/api/v1/batches") -> int:
    return int(client.get(path).status_code)


def ended(cast: Cast, how: str) -> None:
    account = Account.objects.get(email="ana@veshmere.invalid")
    if how == "signed out":
        cast.grower.delete("/api/v1/session")
    elif how == "another password":
        account.set_password("four short kettles")
        account.save()
    elif how == "out of use":
        Account.objects.filter(pk=account.pk).update(is_active=False)
    elif how == "no part any more":
        MembershipRow.objects.filter(account=account).delete()
    else:
        MembershipRow.objects.filter(account=account).update(until=NOW)


@pytest.mark.parametrize(
    "how", ["signed out", "another password", "out of use", "no part any more", "its time is over"]
)
def test_a_stolen_session_ends_with_its_owner_s(cast: Cast, how: str) -> None:
    thief = stolen(cast.grower, SESSION)
    assert may(thief) == 200
    ended(cast, how)
    assert may(thief) in (401, 403)


def test_a_session_is_given_anew_at_each_sign_in(cast: Cast) -> None:
    """One that somebody put into the browser beforehand is never the one that is signed in."""
    planted = Client()
    planted.cookies[SESSION] = "planted00planted00planted00plant"
    before = cast.grower.cookies[SESSION].value
    cast.nobody.cookies[SESSION] = planted.cookies[SESSION].value
    assert sign_in(cast.nobody).status_code == 200
    assert cast.nobody.cookies[SESSION].value not in (before, planted.cookies[SESSION].value)
    assert may(planted) == 401


def test_a_session_says_nothing_in_its_cookie(cast: Cast) -> None:
    value = cast.grower.cookies[SESSION].value
    assert len(value) == 32
    assert value.isalnum()


def test_a_stolen_phone_is_shut_out_at_once_and_for_good(cast: Cast) -> None:
    phone, device = joined("veshmere", "tray phone")
    thief = stolen(phone, COOKIE, **{"X-Sync": "1"})
    assert may(thief, "/api/v1/sync/pull") == 200
    assert cast.grower.delete(f"/api/v1/devices/{device}").status_code == 204
    for path in ("sync/pull", "sync/outlook", "batches", "rows/person", "push"):
        answer = thief.get(f"/api/v1/{path}")
        assert (answer.status_code, answer.json()["code"]) == (403, "device_revoked"), path
        assert COOKIE not in answer.cookies, path


def test_a_phone_s_secret_opens_no_page_of_the_desk(cast: Cast) -> None:
    pages = ("devices", "access", "links", "exports", "backup", "calendars", "needs-a-look")
    assert {page: may(cast.phone, f"/api/v1/{page}") for page in pages} == dict.fromkeys(pages, 403)


def test_a_phone_s_secret_is_neither_a_session_nor_a_link(cast: Cast) -> None:
    secret = cast.phone.cookies[COOKIE].value
    for name in (SESSION, LINK_COOKIE):
        other = Client()
        other.cookies[name] = secret
        assert may(other) in (401, 403)


def test_a_phone_that_is_used_keeps_its_secret_for_400_days_more(cast: Cast) -> None:
    answer = cast.phone.get("/api/v1/sync/pull")
    kept = answer.cookies[COOKIE]
    assert (kept.value, kept["max-age"]) == (cast.phone.cookies[COOKIE].value, 400 * 24 * 3600)
    for client in (cast.revoked, cast.nobody, cast.grower):
        assert COOKIE not in client.get("/api/v1/sync/pull").cookies


def test_each_phone_has_a_secret_of_its_own_and_the_database_none(cast: Cast) -> None:
    first, _ = joined("veshmere", "one")
    second, _ = joined("veshmere", "two")
    secrets = {one.cookies[COOKIE].value for one in (first, second, cast.phone)}
    assert len(secrets) == 3
    assert min(map(len, secrets)) >= 43  # 256 bits
    assert not secrets & set(DeviceRow.objects.values_list("secret_hash", flat=True))


def test_an_invitation_lets_one_phone_in(cast: Cast) -> None:
    code, _ = people.invite("veshmere", "late", NOW)
    said = [json.dumps({"code": code, "install": f"i-{n}"}) for n in range(2)]
    answers = [cast.nobody.post("/api/v1/sync/enrol", one, JSON).status_code for one in said]
    assert answers == [201, 403]


def test_an_invitation_is_over_after_a_day(cast: Cast, monkeypatch: pytest.MonkeyPatch) -> None:
    code, _ = people.invite("veshmere", "late", NOW)
    monkeypatch.setattr(clock, "now", lambda: NOW + timedelta(days=1))
    said = json.dumps({"code": code, "install": "i-9"})
    assert cast.nobody.post("/api/v1/sync/enrol", said, JSON).status_code == 403


def test_a_link_that_was_copied_ends_with_the_link(
    cast: Cast, monkeypatch: pytest.MonkeyPatch
) -> None:
    thief = stolen(cast.inspector, LINK_COOKIE)
    assert may(thief) == 200
    monkeypatch.setattr(clock, "now", lambda: NOW + timedelta(days=30))
    assert may(thief) == 403


def test_a_link_of_one_nursery_reads_no_other(cast: Cast) -> None:
    _, secret = links.make("elsewhere", "Ilse Orn", NOW + timedelta(days=3), NOW)
    reader = Client()
    reader.post("/api/v1/reading", json.dumps({"secret": secret}), JSON)
    answer = reader.get("/api/v1/batches", headers={"X-Nursery": "veshmere"})
    assert answer.json()["items"] == []


def test_a_phone_without_its_header_and_a_person_without_their_token_change_nothing(
    cast: Cast,
) -> None:
    bare = Client()
    bare.cookies[COOKIE] = cast.phone.cookies[COOKIE].value
    assert bare.post("/api/v1/sync/check", '{"ids": []}', JSON).status_code == 403
    forged = Client(enforce_csrf_checks=True)
    forged.cookies[SESSION] = cast.grower.cookies[SESSION].value
    assert forged.post("/api/v1/backup", "{}", JSON).status_code == 403
    assert forged.delete("/api/v1/session").status_code == 403
    assert may(cast.grower) == 200


ELSEWHERE = (
    {"Origin": "https://elsewhere.invalid"},
    {"Origin": "null"},
    {"Sec-Fetch-Site": "cross-site"},
    {"Sec-Fetch-Site": "same-site"},
)


@pytest.mark.parametrize("headers", ELSEWHERE, ids=str)
def test_no_other_site_signs_anybody_in(cast: Cast, headers: dict[str, str]) -> None:
    """Else a browser could be made to write into the account of whoever made it."""
    link = links.make("veshmere", "x", NOW + timedelta(days=1), NOW)[1]
    said = {"email": "ana@veshmere.invalid", "password": PASSWORD, "secret": link}
    for path in ("session", "reading", "sync/enrol", "begin", "begin/book"):
        answer = cast.nobody.post(f"/api/v1/{path}", json.dumps(said), JSON, headers=headers)
        assert (answer.status_code, answer.json()["code"]) == (403, "origin"), path
        assert not answer.cookies


@pytest.mark.parametrize("kind", ["text/plain", "application/x-www-form-urlencoded"])
def test_what_a_form_can_send_is_not_read(cast: Cast, kind: str) -> None:
    said = json.dumps({"email": "ana@veshmere.invalid", "password": PASSWORD})
    assert cast.nobody.post("/api/v1/session", said, kind).status_code == 415


def test_no_header_and_no_field_makes_another_method_of_a_request(cast: Cast) -> None:
    ident = cast.grower.get("/api/v1/devices").json()["items"][0]["id"]
    for name in ("X-HTTP-Method-Override", "X-HTTP-Method", "X-Method-Override"):
        answer = cast.grower.post(
            f"/api/v1/devices/{ident}", '{"_method": "DELETE"}', JSON, headers={name: "DELETE"}
        )
        assert answer.status_code == 403
    assert cast.grower.get("/api/v1/devices").json()["items"][0]["revoked_at"] is None
