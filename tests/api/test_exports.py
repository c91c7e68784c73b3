"""The grower has a file of the whole book made, fetches it, and old ones go by themselves."""

import io
import zipfile
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from nursery.services import clock, exports, jobs
from nursery.store.models import JobRow
from nursery.tasks.run import run
from tests.api.conftest import Cast

pytestmark = pytest.mark.usefixtures("everybody")


@pytest.fixture(autouse=True)
def place(settings: Any, tmp_path: Path) -> None:
    settings.SIGNING_KEYS, settings.DATA = ["a secret of this test"], tmp_path


def made(cast: Cast) -> dict[str, Any]:
    asked = cast.grower.post("/api/v1/exports")
    assert asked.status_code == 202
    assert asked.json()["making"] is not None
    for number in JobRow.objects.filter(kind=exports.KIND, state=JobRow.NEW).values_list("pk"):
        run(number[0])
    found: dict[str, Any] = cast.grower.get("/api/v1/exports").json()
    return found


def test_a_file_is_made_once_and_fetched_whole(cast: Cast, tray: str) -> None:
    cast.grower.post("/api/v1/exports")
    told = made(cast)
    assert (told["making"], told["trouble"], len(told["files"])) == (None, None, 1)
    answer = cast.grower.get(f"/api/v1/exports/{told['files'][0]['id']}")
    assert answer["Content-Disposition"].startswith('attachment; filename="book-veshmere-')
    assert (answer["X-Content-Type-Options"], answer["Cache-Control"]) == ("nosniff", "no-store")
    content = b"".join(answer.streaming_content)  # type: ignore[attr-defined]
    assert len(content) == told["files"][0]["bytes"]
    with zipfile.ZipFile(io.BytesIO(content)) as pack:
        assert pack.testzip() is None
    theirs = cast.stranger.get(f"/api/v1/exports/{told['files'][0]['id']}")
    assert theirs.status_code == 404


@pytest.mark.parametrize("name", ["..", "%2e%2e%2fnursery", "20310303T000000000000", "x.zip"])
def test_a_name_leads_to_no_other_file(cast: Cast, name: str) -> None:
    assert cast.grower.get(f"/api/v1/exports/{name}").status_code == 404


def test_a_file_that_could_not_be_made_is_told(cast: Cast, settings: Any) -> None:
    settings.SIGNING_KEYS, settings.SIGNING_FILE = [], Path("/none")
    cast.grower.post("/api/v1/exports")
    row = JobRow.objects.get(kind=exports.KIND)
    JobRow.objects.filter(pk=row.pk).update(attempts=jobs.MOST_ATTEMPTS - 1)
    run(row.pk)
    told = cast.grower.get("/api/v1/exports").json()
    assert "NothingToSignWith" in told["trouble"]
    assert (told["making"], told["files"]) == (None, [])


def test_old_files_go_by_themselves(cast: Cast, monkeypatch: pytest.MonkeyPatch) -> None:
    assert len(made(cast)["files"]) == 1
    exports.clear_old()
    assert len(exports.report("veshmere")["files"]) == 1
    later = clock.unshifted() + exports.KEPT_FOR + timedelta(hours=1)
    monkeypatch.setattr(clock, "unshifted", lambda: later)
    exports.clear_old()
    assert exports.report("veshmere")["files"] == []


def test_there_is_no_other_form(cast: Cast) -> None:
    answer = cast.grower.get("/api/v1/forms/none.csv")
    assert (answer.status_code, answer.json()["code"]) == (404, "unknown")
