"""A phone has itself told of what a person is reminded of, and stops; growers see which do."""

import json
from pathlib import Path
from typing import Any

import pytest

from nursery.services import push_key
from tests.api.conftest import Cast
from tests.push_service import Browser

WORKER = {"body": {"name": "Ben", "role": "worker"}}


@pytest.fixture(autouse=True)
def worker(cast: Cast) -> None:
    body = json.dumps(WORKER)
    cast.grower.put("/api/v1/rows/person/p-1", body, content_type="application/json")


def subscribe(cast: Cast, **more: Any) -> Any:
    told = {"person": "p-1", "endpoint": "https://push.example/a", "keys": Browser().keys()}
    body = json.dumps({**told, **more})
    return cast.phone.post("/api/v1/push/subscription", body, content_type="application/json")


def test_a_phone_subscribes_with_the_key_of_this_server_and_stops(cast: Cast) -> None:
    assert cast.phone.get("/api/v1/push").json() == {"key": push_key.public(), "people": []}
    assert subscribe(cast).status_code == 204
    assert subscribe(cast).status_code == 204
    assert cast.phone.get("/api/v1/push").json()["people"] == ["p-1"]
    (shown,) = cast.grower.get("/api/v1/push/subscriptions").json()["items"]
    assert (shown["person"], shown["device_name"]) == ("p-1", "a")
    body = json.dumps({"person": "p-1"})
    for _ in range(2):
        answer = cast.phone.delete(
            "/api/v1/push/subscription", body, content_type="application/json"
        )
        assert answer.status_code == 204
    assert cast.phone.get("/api/v1/push").json()["people"] == []


def test_neither_address_nor_keys_are_told_to_anybody(cast: Cast) -> None:
    keys = Browser().keys()
    subscribe(cast, keys=keys)
    said = cast.grower.get("/api/v1/push/subscriptions").content.decode()
    assert "push.example" not in said
    assert keys["auth"] not in said


def test_a_phone_of_another_nursery_tells_nobody_of_ours(cast: Cast) -> None:
    told = {"person": "p-1", "endpoint": "https://push.example/a", "keys": Browser().keys()}
    answer = cast.other_phone.post(
        "/api/v1/push/subscription", json.dumps(told), content_type="application/json"
    )
    assert answer.status_code == 404
    assert cast.grower.get("/api/v1/push/subscriptions").json()["items"] == []


@pytest.mark.parametrize(
    ("more", "status", "code"),
    [
        ({"endpoint": "https://10.0.0.1/a"}, 422, "push_address_unfit"),
        ({"endpoint": "http://push.example/a"}, 422, "push_address_unfit"),
        ({"keys": {"p256dh": "x", "auth": "y"}}, 422, "push_address_unfit"),
        ({"keys": {"p256dh": "x"}}, 400, "body_misfit"),
        ({"person": ""}, 400, "body_misfit"),
        ({"endpoint": "https://push.example/" + "a" * 2000}, 400, "body_misfit"),
        ({"person": "p-9"}, 404, "unknown"),
    ],
)
def test_what_no_push_can_be_sent_to_is_turned_down(
    cast: Cast, more: dict[str, Any], status: int, code: str
) -> None:
    answer = subscribe(cast, **more)
    assert (answer.status_code, answer.json()["code"]) == (status, code)
    assert answer.json()["detail"]


def test_without_a_key_a_phone_is_told_so(cast: Cast, settings: Any, tmp_path: Path) -> None:
    settings.PUSH_KEY, settings.PUSH_FILE = "", tmp_path / "none"
    answer = cast.phone.get("/api/v1/push")
    assert (answer.status_code, answer.json()["code"]) == (503, "push_not_set_up")
