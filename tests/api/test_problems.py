"""Bad input: each with its stored outcome, or an answer that names thing, value and remedy."""

import gzip
import json
from datetime import timedelta
from typing import Any

import pytest

from nursery.api import problems
from nursery.services import words
from tests.api.conftest import NOW, Cast
from tests.phone import Writer

PUSH = "/api/v1/sync/push"

BROKEN = {
    "no JSON": b"{",
    "nothing": b"",
    "no text": b"\xff\xfe",
    "a list": b"[]",
    "no entries": b'{"epoch": "e", "install": "i"}',
    "entries that are no texts": b'{"epoch": "e", "install": "i", "entries": [{}]}',
    "an install with a blank": b'{"epoch": "e", "install": "i 1", "entries": []}',
    "a number below zero": b'{"epoch":"e","install":"i","entries":[],"outbox":{"unsent":-1}}',
    "no zone": b'{"epoch":"e","install":"i","entries":[],"phone_time":"2031-03-03T00:00"}',
    "half a request": b'{"epoch": "e", "install": "i", "entries": ["{\\"id',
}


@pytest.mark.parametrize("body", BROKEN.values(), ids=BROKEN.keys())
def test_what_is_no_push_is_named_so(cast: Cast, body: bytes) -> None:
    answer = cast.phone.post(PUSH, body, content_type="application/json")
    assert (answer.status_code, answer.json()["code"]) == (400, "bad_envelope")


def test_half_a_packed_request_stores_nothing(cast: Cast, writer: Writer) -> None:
    text = writer.write("noted", ["b-1"], {"text": "x"}, NOW)
    body = {"epoch": cast.phone.epoch, "install": "i-a", "entries": [text]}
    packed = gzip.compress(json.dumps(body).encode())
    headers = {"X-Sync": "1", "Content-Encoding": "gzip"}
    half = cast.phone.post(
        PUSH, packed[: len(packed) // 2], content_type="application/json", headers=headers
    )
    assert (half.status_code, half.json()["code"]) == (400, "bad_envelope")
    assert cast.phone.pull()[-1]["count"] == 0
    whole = cast.phone.post(PUSH, packed, content_type="application/json", headers=headers)
    assert whole.json()["results"][0]["status"] == "stored"


def test_a_packed_bomb_is_turned_down(cast: Cast) -> None:
    packed = gzip.compress(b" " * (64 * 1024 * 1024))
    headers = {"X-Sync": "1", "Content-Encoding": "gzip"}
    answer = cast.phone.post(PUSH, packed, content_type="application/json", headers=headers)
    assert (answer.status_code, answer.json()["code"]) == (413, "too_big")


def test_more_entries_than_a_push_carries_are_halved_by_the_phone(cast: Cast) -> None:
    answer = cast.phone.push(*["{}"] * 201)
    assert (answer.status_code, answer.json()["code"]) == (413, "too_big")


def test_what_a_phone_may_get_wrong_is_kept_and_shown_to_the_grower(
    cast: Cast, tray: str, writer: Writer
) -> None:
    known = writer.written[0]
    sent = {
        "an entry of 64 KB": writer.write("noted", [tray], {"text": "x", "pad": "y" * 65536}, NOW),
        "an id used again": json.dumps({**json.loads(known), "salt": "other"}),
        "another nursery's": writer.write("noted", [tray], {"text": "x"}, NOW, nursery="elsewhere"),
        "no JSON": "{",
        "a clock in 2041": writer.write("noted", [tray], {"text": "x"}, NOW + timedelta(days=3652)),
        "an unknown batch": writer.write("moved", ["b-none"], {"to": "r-1"}, NOW),
        "an unknown kind": writer.write("sung", [tray], {"song": "any"}, NOW),
    }
    results = cast.phone.push(*sent.values()).json()["results"]
    told = {name: (r["status"], r.get("code")) for name, r in zip(sent, results, strict=True)}
    assert told == {
        "an entry of 64 KB": ("kept_raw", "too_long"),
        "an id used again": ("kept_raw", "id_reused"),
        "another nursery's": ("kept_raw", "wrong_nursery"),
        "no JSON": ("kept_raw", "unreadable"),
        "a clock in 2041": ("set_aside", "future"),
        "an unknown batch": ("stored", None),
        "an unknown kind": ("stored", None),
    }
    shown = cast.grower.get("/api/v1/needs-a-look").json()
    raw = {item["code"]: item["raw"] for item in shown["kept_raw"]}
    assert raw["id_reused"] == sent["an id used again"]
    assert raw["wrong_nursery"] == sent["another nursery's"]
    assert [item["kind"] for item in shown["set_aside"]] == ["noted"]
    doubts = {item["subject"]: [d["code"] for d in item["doubts"]] for item in shown["doubts"]}
    assert doubts["b-none"] == ["unknown_subject"]
    assert "newer_version" in doubts[tray]


ASKED: list[tuple[str, str, Any, int, str]] = [
    ("GET", "sync/pull?after=nonsense", None, 400, "cursor_unreadable"),
    ("GET", "sync/pull?after=e:99999999999999999999", None, 400, "cursor_unreadable"),
    ("GET", "sync/pull?after=other:1", None, 409, "epoch_changed"),
    ("GET", "sync/pull?after=other:1&limit=x", None, 400, "body_misfit"),
    ("POST", "sync/check", {"ids": "x"}, 400, "body_misfit"),
    ("POST", "sync/check", {"ids": ["x" * 65]}, 400, "body_misfit"),
    ("POST", "sync/enrol", {"code": "none", "install": "i-1"}, 403, "invite_ended"),
    ("POST", "sync/enrol", {"code": "none", "install": "i 1"}, 400, "body_misfit"),
    ("GET", "batches/none", None, 404, "unknown"),
    ("GET", "due?days=61", None, 400, "body_misfit"),
    ("GET", "batches?after=x", None, 400, "cursor_unreadable"),
    ("PATCH", "batches", {}, 403, "not_allowed"),
]


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize(
    ("method", "address", "body", "status", "code"), ASKED, ids=[row[1] for row in ASKED]
)
def test_a_request_is_turned_down_by_name(
    cast: Cast, language: str, method: str, address: str, body: Any, status: int, code: str
) -> None:
    answer = cast.phone.generic(
        method,
        f"/api/v1/{address}",
        b"" if body is None else json.dumps(body).encode(),
        content_type="application/json",
        headers={"X-Sync": "1", "Accept-Language": language},
    )
    told = answer.json()
    assert (answer.status_code, told["code"]) == (status, code)
    assert answer["Content-Type"] == "application/problem+json"
    assert told["detail"] == words.say(language, f"problem.{code}", told["params"])


def test_each_refusal_of_the_framework_has_a_sentence() -> None:
    for code in problems.FRAMEWORK.values():
        for language in words.languages():
            assert words.has(language, f"problem.{code}")


ROWS: list[tuple[str, dict[str, Any], str]] = [
    ("hedge", {}, "row_unknown"),
    ("place", {}, "row_lacks"),
    ("place", {"name": "Room", "kind": "castle"}, "row_unreadable"),
    ("place", {"name": "Room", "kind": "room", "parent": "r-1"}, "row_impossible"),
]


@pytest.mark.parametrize(("kind", "body", "code"), ROWS)
def test_a_row_that_cannot_be_is_turned_down(
    cast: Cast, kind: str, body: dict[str, Any], code: str
) -> None:
    answer = cast.grower.put(
        f"/api/v1/rows/{kind}/r-1", json.dumps({"body": body}), content_type="application/json"
    )
    assert (answer.status_code, answer.json()["code"]) == (422, code)


def test_a_row_changed_meanwhile_is_not_overwritten(cast: Cast) -> None:
    def put(name: str, rev: int | None) -> Any:
        body = {"rev": rev, "body": {"name": name, "kind": "room"}}
        return cast.grower.put(
            "/api/v1/rows/place/r-1", json.dumps(body), content_type="application/json"
        )

    assert put("Room", 0).json()["rev"] == 1
    assert put("Great room", 1).json()["rev"] == 2
    late = put("Small room", 1)
    assert (late.status_code, late.json()["code"]) == (409, "revision_changed")
    assert cast.grower.get("/api/v1/rows/place/r-1").json()["body"]["name"] == "Great room"
