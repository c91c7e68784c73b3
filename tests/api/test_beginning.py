"""The first page of an empty server."""

import json
from typing import Any

import pytest
from django.test import Client

from nursery.services import clock, nurseries, people, rows, words
from nursery.store.models import Account
from tests.api.conftest import Cast

pytestmark = pytest.mark.django_db

ASKED: dict[str, Any] = {
    "name": "Vivero Ñandú",
    "zone": "Etc/GMT-10",
    "language": "es",
    "country": "Caldesh",
    "decimal_mark": ",",
    "conditions": False,
    "grower": "Ana",
    "email": "Ana@Veshmere.invalid",
    "password": "three tall kettles",
}


def begin(client: Client, headers: dict[str, str] | None = None, **changed: Any) -> Any:
    body = json.dumps({**ASKED, **changed})
    return client.post(
        "/api/v1/begin", body, content_type="application/json", headers=headers or {}
    )


def test_an_empty_server_says_so_and_what_to_choose_from() -> None:
    told = Client().get("/api/v1/begin").json()
    assert (told["begun"], told["here"], told["languages"]) == (False, True, ["en", "es"])
    assert {"Etc/GMT-10", "America/Lima"} <= set(told["zones"])


def test_the_grower_is_signed_in_and_every_answer_is_kept() -> None:
    client = Client()
    answer = begin(client)
    assert answer.status_code == 201, answer.content
    assert answer.json() == client.get("/api/v1/session").json()
    assert answer.json()["person"] == "p-grower"
    assert rows.one("vivero-nandu", "nursery", "vivero-nandu").body == {
        "name": "Vivero Ñandú",
        "zone": "Etc/GMT-10",
        "languages": ["es"],
        "decimal_mark": ",",
        "country": "Caldesh",
        "conditions": False,
    }
    person = rows.one("vivero-nandu", "person", "p-grower").body
    assert person == {"name": "Ana", "role": "grower", "language": "es"}
    account = people.sign_in("ana@veshmere.invalid", ASKED["password"], clock.now())
    assert account.language == "es"
    assert client.get("/api/v1/begin").json() == {
        "begun": True,
        "here": True,
        "languages": ["en", "es"],
        "zones": [],
    }


def test_once_there_is_a_nursery_nobody_begins_another(cast: Cast) -> None:
    for client in (cast.nobody, cast.grower, cast.phone):
        answer = begin(client, email="other@veshmere.invalid")
        assert (answer.status_code, answer.json()["code"]) == (409, "nursery_there")
    assert len(nurseries.every()) == 2


def test_the_demo_is_never_mixed_with_ones_own() -> None:
    nurseries.begin("veshmere", "Veshmere Terraces", "Etc/GMT-10", demo=True)
    assert begin(Client()).json()["code"] == "nursery_there"


WRONG: dict[str, tuple[dict[str, Any], str, str]] = {
    "zone": ({"zone": "Mars/North"}, "zone_unknown", "Mars/North"),
    "language": ({"language": "xx"}, "language_unknown", "xx"),
    "address": ({"email": "ana"}, "email_unreadable", "ana"),
    "name": ({"name": "!!"}, "name_unusable", "!!"),
    "short password": ({"password": "kettle"}, "password_short", "12"),
    "common password": ({"password": "professional"}, "password_common", ""),
    "figures": ({"password": "471147114711"}, "password_figures", ""),
    "password like the address": ({"password": "ana@veshmere"}, "password_like_name", ""),
}


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize(("changed", "code", "named"), WRONG.values(), ids=WRONG.keys())
def test_what_cannot_be_is_said_and_the_server_stays_empty(
    language: str, changed: dict[str, Any], code: str, named: str
) -> None:
    answer = begin(Client(), {"Accept-Language": language}, **changed)
    told = answer.json()
    assert (answer.status_code, told["code"]) == (422, code)
    assert told["detail"] == words.say(language, f"problem.{code}", told["params"])
    assert named in told["detail"]
    assert nurseries.every() == []
    assert not Account.objects.exists()
    for said in changed.values():
        assert "password" not in changed or said not in answer.content.decode()


@pytest.mark.parametrize(
    ("address", "begun"),
    [
        ("127.0.0.1", True),
        ("::1", True),
        ("192.168.4.7", True),
        ("10.0.0.9", True),
        ("::ffff:192.168.4.7", True),
        ("fe80::1", True),
        ("8.8.4.4", False),
        ("::ffff:8.8.4.4", False),
        ("2606:4700::1111", False),
        ("", False),
        ("unix:", False),
    ],
)
def test_only_a_browser_near_by_begins(address: str, begun: bool) -> None:
    client = Client(REMOTE_ADDR=address)
    assert client.get("/api/v1/begin").json()["here"] is begun
    answer = begin(client)
    assert answer.status_code == (201 if begun else 403)
    assert begun or answer.json()["code"] == "begin_at_the_server"


@pytest.mark.parametrize("setting", ["PRODUCTION", "USE_X_FORWARDED_HOST"])
def test_behind_a_proxy_everybody_seems_near_and_nobody_begins(settings: Any, setting: str) -> None:
    setattr(settings, setting, True)
    assert begin(Client()).json()["code"] == "begin_at_the_server"


@pytest.mark.parametrize(
    ("headers", "code"),
    [
        ({"X-Forwarded-For": "8.8.4.4"}, "begin_at_the_server"),
        ({"Origin": "https://elsewhere.invalid"}, "origin"),
        ({"Sec-Fetch-Site": "cross-site"}, "origin"),
    ],
)
def test_nobody_begins_from_another_site(headers: dict[str, str], code: str) -> None:
    answer = begin(Client(), headers)
    assert (answer.status_code, answer.json()["code"]) == (403, code)
    assert nurseries.every() == []
