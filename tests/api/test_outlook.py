"""The outlook goes to phones packed, and only where it is another than they have."""

import gzip
import json
from functools import partial

import brotli
import pytest
from django.test import RequestFactory

from nursery.api import packed
from tests.api.conftest import Cast

OUTLOOK = "/api/v1/sync/outlook"
TAKES = {"Accept-Encoding": "gzip, deflate"}
UNPACKED = {"gzip": gzip.decompress, "br": brotli.decompress}


@pytest.mark.parametrize("coding", UNPACKED)
def test_packed_it_says_the_same_in_fewer_bytes(cast: Cast, coding: str) -> None:
    plain = cast.phone.get(OUTLOOK)
    answer = cast.phone.get(OUTLOOK, headers={"Accept-Encoding": coding})
    assert "Content-Encoding" not in plain.headers
    assert answer["Content-Encoding"] == coding
    assert answer["Content-Type"] == "application/json"
    assert json.loads(UNPACKED[coding](answer.content)) == plain.json()
    assert len(answer.content) < len(plain.content)
    for one in (plain, answer):
        assert "Accept-Encoding" in one["Vary"]
        assert one["Cache-Control"] == "no-cache"
    assert answer["ETag"] == plain["ETag"]


@pytest.mark.parametrize("headers", [{}, TAKES])
@pytest.mark.parametrize("weak", ["", "W/"])
def test_who_has_it_is_told_no_more(cast: Cast, headers: dict[str, str], weak: str) -> None:
    tag = cast.phone.get(OUTLOOK, headers=headers)["ETag"]
    had = weak + tag.removeprefix("W/")
    again = cast.phone.get(OUTLOOK, headers={**headers, "If-None-Match": had})
    assert (again.status_code, again.content, again["ETag"]) == (304, b"", tag)
    other = cast.phone.get(OUTLOOK, headers={**headers, "If-None-Match": 'W/"other"'})
    assert other.status_code == 200


def test_each_nursery_has_its_own(cast: Cast) -> None:
    said = [
        json.loads(gzip.decompress(one.get(OUTLOOK, headers=TAKES).content))
        for one in (cast.phone, cast.other_phone, cast.phone)
    ]
    assert said[0] == said[2]
    assert said[0] == cast.phone.get(OUTLOOK).json()
    assert said[1] == cast.other_phone.get(OUTLOOK).json()


def test_it_is_packed_once_and_no_more_than_a_few_are_kept() -> None:
    made: list[str] = []
    request = RequestFactory().get("/", headers=TAKES)

    def make(key: str) -> bytes:
        made.append(key)
        return key.encode()

    keys = [f"key {number}" for number in range(packed.MOST_KEPT + 1)]
    for key in [keys[0], keys[0], *keys[1:], keys[-1], keys[0]]:
        answer = packed.once(request, key, partial(make, key))
        assert gzip.decompress(answer.content) == key.encode()
    assert made == [*keys, keys[0]]
