"""Plants go to a neighbour with a slip and a file, and are traced on both sides."""

import json
from datetime import timedelta
from typing import Any

import pytest

from nursery.domain import handover
from nursery.services import clock
from nursery.store.models import FeedRow, KeptRawRow
from tests.api import trace_scene as scene
from tests.api.conftest import Cast

pytestmark = pytest.mark.usefixtures("everybody")

LEFT = scene.CALLED + timedelta(hours=1)
TAKEN = LEFT + timedelta(hours=3)


def post(client: Any, path: str, body: object) -> Any:
    return client.post(f"/api/v1/{path}", json.dumps(body), content_type="application/json")


@pytest.fixture
def file(cast: Cast, monkeypatch: pytest.MonkeyPatch, settings: Any) -> dict[str, Any]:
    """The file of two plants of T5, which went out although their batch is on hold."""
    settings.SIGNING_KEYS = ["a secret of these tests"]
    monkeypatch.setattr(clock, "now", lambda: scene.CALLED)
    scene.fill(cast)
    call = {"of": ["batch:b-t5"], "reference": "CALL-13", "asked_by": "P", "reason": "budwood"}
    assert post(cast.grower, "trace/hold", call).status_code == 201
    monkeypatch.setattr(clock, "now", lambda: LEFT)
    plants = [{"id": "b-t5", "count": 2}]
    body = {"receiver": "Lower farm", "plants": plants, "paper": "SL-1"}
    sent = post(cast.grower, "records", {"kind": "sent", "about": ["b-t5"], "body": body})
    assert sent.status_code == 201
    answer = cast.grower.get(f"/api/v1/handovers/{sent.json()['id']}")
    assert answer.status_code == 200, answer.content
    monkeypatch.setattr(clock, "now", lambda: TAKEN)
    told: dict[str, Any] = answer.json()
    return told


def test_the_file_tells_what_the_neighbour_must_know(file: dict[str, Any]) -> None:
    facts = file["facts"]
    assert (facts["nursery"], facts["receiver"], facts["paper"]) == (
        "Veshmere", "Lower farm", "SL-1",
    )  # fmt: skip
    [part] = facts["batches"]
    assert (part["label"], part["plants"], part["holds"]) == ("T5", 2, ["CALL-13"])
    assert [one["supplier"] for one in part["origins"]] == ["Sarrow Budworks"]


def test_it_is_taken_on_with_its_origin_and_hold_and_is_traced_from_the_sender(
    cast: Cast, file: dict[str, Any]
) -> None:
    """Rule N-7."""
    taken = post(cast.stranger, "handovers", {"file": file})
    assert taken.status_code == 201, taken.content
    assert taken.json()["batches"] == ["b-t5"]
    assert taken.json()["fingerprint"] == file["fingerprint"]
    batch = cast.stranger.get("/api/v1/batches/b-t5").json()
    assert (batch["label"], batch["alive"], list(batch["holds"])) == ("T5", 2, ["CALL-13"])
    told = cast.stranger.get("/api/v1/trace", {"of": ["supplier:Veshmere"]}).json()
    assert (told["asked"], told["sums"]["reserve"]) == (["b-t5"], 2)
    row = cast.stranger.get(f"/api/v1/rows/consignment/{told['consignments'][0]}").json()["body"]
    assert (row["supplier"], row["certificate"]) == ("Veshmere", "SL-1")
    assert "Sarrow Budworks" in row["origin"]
    at_home = cast.grower.get("/api/v1/trace", {"of": ["batch:b-t5"]}).json()
    assert [(one["receiver"], one["plants"]) for one in at_home["sent"]] == [("Lower farm", 2)]


def test_plants_are_taken_on_once(cast: Cast, file: dict[str, Any]) -> None:
    assert post(cast.stranger, "handovers", {"file": file}).status_code == 201
    again = post(cast.stranger, "handovers", {"file": file})
    assert (again.status_code, again.json()["code"]) == (409, "plants_there")
    assert again.json()["params"] == {"value": "T5"}


def whole(client: Any) -> tuple[Any, ...]:
    """Everything that taking plants on would leave behind."""
    asked = ("rows/consignment", "batches", "due", "needs-a-look")
    return tuple(client.get(f"/api/v1/{path}").content for path in asked)


@pytest.mark.parametrize(
    ("kind", "about", "body", "field"),
    [
        ("ordered", ["b-t5"], {"act": "no such act", "reference": "Q-1"}, "act"),
        # Only the log itself finds that it is about nothing, once those before it are written.
        ("ordered", [], {"act": "hold", "reference": "Q-1"}, "about"),
    ],
)
def test_where_one_part_is_refused_nothing_is_taken_on(
    cast: Cast,
    file: dict[str, Any],
    monkeypatch: pytest.MonkeyPatch,
    kind: str,
    about: list[str],
    body: dict[str, Any],
    field: str,
) -> None:
    """Rule N-7."""
    before, records = whole(cast.stranger), handover.records
    lines = FeedRow.objects.count()
    with monkeypatch.context() as patched:
        patched.setattr(handover, "records", lambda *told: [*records(*told), (kind, about, body)])
        answer = post(cast.stranger, "handovers", {"file": file})
    assert (answer.status_code, answer.json()["code"]) == (422, "record_unreadable")
    assert field in answer.json()["params"]["field"]
    assert (whole(cast.stranger), FeedRow.objects.count()) == (before, lines)
    assert KeptRawRow.objects.count() == 0
    assert post(cast.stranger, "handovers", {"file": file}).status_code == 201


def more_plants(file: dict[str, Any]) -> dict[str, Any]:
    [part] = file["facts"]["batches"]
    return {**file, "facts": {**file["facts"], "batches": [{**part, "plants": 20}]}}


BAD = {
    "no file of plants": (lambda file: {"a": 1}, "handover_unreadable"),
    "another form": (lambda file: {**file, "format": "plants 9"}, "handover_unreadable"),
    "no signature": (lambda file: {**file, "signature": "none"}, "handover_unreadable"),
    "no key": (lambda file: {k: v for k, v in file.items() if k != "key"}, "handover_unreadable"),
    "a hold left out": (
        lambda file: {**file, "facts": {**file["facts"], "batches": []}}, "handover_altered",
    ),
    "more plants": (more_plants, "handover_altered"),
    "another's key": (lambda file: {**file, "key": "00" * 32}, "handover_altered"),
}  # fmt: skip


@pytest.mark.parametrize(("bend", "code"), BAD.values(), ids=BAD.keys())
def test_a_file_that_does_not_hold_is_turned_down_and_nothing_is_taken_on(
    cast: Cast, file: dict[str, Any], bend: Any, code: str
) -> None:
    answer = post(cast.stranger, "handovers", {"file": bend(file)})
    assert (answer.status_code, answer.json()["code"]) == (422, code)
    assert cast.stranger.get("/api/v1/batches").json()["items"] == []


@pytest.mark.parametrize("language", ["en", "es"])
def test_the_slip_is_a_pdf(cast: Cast, file: dict[str, Any], language: str) -> None:
    record = file["facts"]["record"]
    answer = cast.grower.get(f"/api/v1/handovers/{record}/slip.pdf", {"language": language})
    assert answer.content.startswith(b"%PDF")
    assert b"pdfuaid" in answer.content
