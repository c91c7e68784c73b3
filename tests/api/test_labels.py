"""Asking for labels: a PDF for growers and phones, and what cannot be printed by name."""

import json
from typing import Any

import pytest

from tests.api.conftest import NOW, Cast
from tests.phone import Writer

ADDRESS = "/api/v1/labels"


def ask(client: Any, **wanted: Any) -> Any:
    return client.post(ADDRESS, json.dumps(wanted), content_type="application/json")


@pytest.mark.parametrize("who", ["grower", "phone"])
@pytest.mark.parametrize("accept", ["application/json", "application/pdf", "*/*"])
def test_growers_and_phones_get_a_file_to_print(
    cast: Cast, tray: str, who: str, accept: str
) -> None:
    answer = getattr(cast, who).post(
        ADDRESS,
        json.dumps({"batches": [tray]}),
        content_type="application/json",
        headers={"Accept": accept, "X-Sync": "1"},
    )
    assert (answer.status_code, answer["Content-Type"]) == (200, "application/pdf")
    assert answer.content.startswith(b"%PDF-")


def test_a_tray_named_twice_gets_its_labels_once(cast: Cast, tray: str) -> None:
    assert (
        ask(cast.grower, batches=[tray, tray]).content == ask(cast.grower, batches=[tray]).content
    )


def test_places_get_labels_of_their_own(cast: Cast) -> None:
    body = {"body": {"name": "Terrace 3", "kind": "terrace", "short": "TR3"}}
    path = "/api/v1/rows/place/terrace-3"
    cast.grower.put(path, json.dumps(body), content_type="application/json")
    assert ask(cast.grower, places=["terrace-3"], each=1).status_code == 200


WRONG: dict[str, tuple[dict[str, Any], int, str, dict[str, Any]]] = {
    "nothing": ({}, 422, "nothing_to_print", {}),
    "a batch that is not there": (
        {"batches": ["b-9"]},
        404,
        "unknown",
        {"what": "batch", "value": "b-9"},
    ),
    "a place that is not there": (
        {"places": ["x"]},
        404,
        "unknown",
        {"what": "place", "value": "x"},
    ),
    "no label at all of each": (
        {"batches": ["b-1"], "each": 0},
        400,
        "body_misfit",
        {"field": "each"},
    ),
    "five of each": ({"batches": ["b-1"], "each": 5}, 400, "body_misfit", {"field": "each"}),
    "a list that is none": ({"batches": "b-1"}, 400, "body_misfit", {"field": "batches"}),
    "more than one file takes": (
        {"batches": [f"b-{i}" for i in range(301)]},
        422,
        "labels_too_many",
        {"value": 602, "most": 600},
    ),
    "more used than lie on a sheet": (
        {"batches": ["b-1"], "skip": 24},
        422,
        "labels_skipped",
        {"value": 24, "on_sheet": 24},
    ),
}


@pytest.mark.parametrize(("wanted", "status", "code", "params"), WRONG.values(), ids=WRONG.keys())
@pytest.mark.usefixtures("tray")
def test_what_cannot_be_printed_is_named(
    cast: Cast, wanted: dict[str, Any], status: int, code: str, params: dict[str, Any]
) -> None:
    answer = ask(cast.grower, **wanted)
    told = answer.json()
    assert (answer.status_code, told["code"], told["params"]) == (status, code, params)
    assert answer["Content-Type"] == "application/problem+json"
    assert told["detail"]


def test_a_batch_without_a_label_is_named(cast: Cast, writer: Writer) -> None:
    cast.phone.push(writer.write("counted", ["b-7"], {"method": "full", "alive": 3}, NOW))
    answer = ask(cast.grower, batches=["b-7"])
    assert (answer.status_code, answer.json()["code"]) == (422, "label_lacks")
