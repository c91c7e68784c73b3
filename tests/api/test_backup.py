"""Whether there is a tested backup, where backups go, and making one now."""

import json
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from nursery.services import backup_place, backups, clock, sessions, signing, words
from nursery.services.backup_photos import Held
from nursery.services.backups import Tried
from nursery.services.counts import Counts
from nursery.store.models import BackupRow, JobRow
from tests.api.conftest import Cast

MADE = datetime(2026, 11, 24, 3, tzinfo=UTC)


@pytest.fixture(autouse=True)
def computer(tmp_path: Path, settings: Any, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A computer with a data folder, at the morning after `MADE`; no disk is plugged in."""
    settings.DATA = tmp_path / "data"
    settings.BACKUPS = settings.DATA / "backups"
    settings.BACKUPS.mkdir(parents=True)
    monkeypatch.setattr(clock, "unshifted", lambda: MADE + timedelta(hours=5))
    # The framework counts the ends of sessions by the real clock, which is another here.
    monkeypatch.setattr(sessions, "use", lambda *_: None)
    monkeypatch.setattr(backup_place, "disks", lambda: iter(()))
    return tmp_path


def told(cast: Cast) -> dict[str, Any]:
    answer = cast.grower.get("/api/v1/backup")
    assert answer.status_code == 200
    found: dict[str, Any] = answer.json()
    return found


def codes(cast: Cast) -> list[str]:
    return [trouble["code"] for trouble in told(cast)["trouble"]]


def choose(cast: Cast, folder: object, language: str = "en") -> Any:
    body = json.dumps({"folder": str(folder)})
    headers = {"Accept-Language": language}
    return cast.grower.put(
        "/api/v1/backup/place", body, content_type="application/json", headers=headers
    )


def kept(seq: int, **more: Any) -> BackupRow:
    values = {"tested_at": MADE, "trial_seconds": 4.2, "bytes": 9_000_000, **more}
    return BackupRow.objects.create(
        file="/away/nursery-1.zip", made_at=MADE, heads={"veshmere": seq}, **values
    )


def test_before_the_first_backup_that_is_said(cast: Cast) -> None:
    assert told(cast)["tested"] is None
    assert codes(cast) == ["none_yet", "same_disk"]


def test_a_tested_backup_says_when_where_how_long_and_what_came_after(
    cast: Cast, tray: str
) -> None:
    kept(seq=0)
    assert told(cast)["tested"] == {
        "made_at": "2026-11-24T03:00:00Z",
        "tested_at": "2026-11-24T03:00:00Z",
        "trial_seconds": 4.2,
        "bytes": 9_000_000,
        "file": "nursery-1.zip",
        "folder": "/away",
        "lines_after": 2,
        "photos": 0,
        "photos_lacking": 0,
    }
    assert codes(cast) == ["same_disk"]


def test_a_backup_of_long_ago_is_old(cast: Cast, monkeypatch: pytest.MonkeyPatch) -> None:
    kept(seq=0)
    monkeypatch.setattr(clock, "unshifted", lambda: MADE + timedelta(hours=37))
    assert codes(cast) == ["old", "same_disk"]


def test_a_try_that_did_not_end_well_is_said_until_one_does(cast: Cast) -> None:
    kept(seq=0)
    later = MADE + timedelta(hours=1)
    BackupRow.objects.create(file="x", made_at=later, fault="it does not open")
    trouble = told(cast)["trouble"][0]
    assert trouble == {"code": "not_made", "why": "it does not open"}
    assert told(cast)["tested"] is not None
    BackupRow.objects.create(file="y", made_at=later + timedelta(hours=1), tested_at=later)
    assert codes(cast) == ["same_disk"]


def test_a_job_that_was_given_up_is_said(cast: Cast) -> None:
    JobRow.objects.create(
        kind="backup", key="x", state=JobRow.FAILED, due_at=MADE, made_at=MADE, told="no pg_dump"
    )
    assert {"code": "not_made", "why": "no pg_dump"} in told(cast)["trouble"]


def test_one_backup_is_made_at_a_time(cast: Cast) -> None:
    for _ in range(3):
        answer = cast.grower.post("/api/v1/backup")
        assert (answer.status_code, answer.json()["making"]) == (202, "2026-11-24T08:00:00Z")
    assert JobRow.objects.filter(kind="backup").count() == 1


def test_the_chosen_folder_is_made_marked_and_used(cast: Cast, computer: Path) -> None:
    disk = computer / "disk"
    disk.mkdir()
    place = choose(cast, disk / "backups").json()["place"]
    assert (place["folder"], place["chosen"], place["away"]) == (
        str(disk / "backups"), True, False,
    )  # fmt: skip
    assert backup_place.for_next() == disk / "backups"
    assert choose(cast, disk / "backups").status_code == 200
    assert choose(cast, "").json()["place"]["chosen"] is False
    assert backup_place.for_next() == computer / "data/backups"


def test_while_the_disk_is_away_backups_go_beside_the_book(cast: Cast, computer: Path) -> None:
    disk = computer / "disk"
    disk.mkdir()
    choose(cast, disk)
    for file in disk.iterdir():
        file.unlink()  # what stays of an unplugged disk: the empty folder it hung in
    assert told(cast)["place"]["away"] is True
    assert "away" in codes(cast)
    assert backup_place.for_next() == computer / "data/backups"


@pytest.mark.django_db(transaction=True)
def test_a_backup_made_now_lies_in_the_chosen_folder(cast: Cast, computer: Path) -> None:
    choose(cast, computer / "elsewhere")
    counted = Counts({}, {"veshmere": 1})
    backups._keep_row(
        computer / "elsewhere/nursery-2.zip", MADE, counted, tried=Tried(5, 1.5, Held())
    )
    tested = told(cast)["tested"]
    assert (tested["folder"], tested["trial_seconds"]) == (str(computer / "elsewhere"), 1.5)


def other_book(computer: Path) -> str:
    (computer / backup_place.MARK).write_text('{"mark": "of another"}')
    return str(computer)


def a_file(computer: Path) -> str:
    (computer / "file").write_text("x")
    return str(computer / "file")


UNFIT: dict[str, tuple[Any, str]] = {
    "no whole way": (lambda _: "backups", "backup_place_relative"),
    "too long": (lambda _: "/" + "x" * 201, "backup_place_relative"),
    "the data folder": (lambda computer: computer / "data", "backup_place_inside"),
    "inside it": (lambda computer: computer / "data/backups/x", "backup_place_inside"),
    "by a detour": (lambda computer: computer / "x/../data/y", "backup_place_inside"),
    "not there": (lambda computer: computer / "no/such", "backup_place_missing"),
    "a file": (a_file, "backup_place_missing"),
    "another's": (other_book, "backup_place_anothers"),
    "nowhere to write": (lambda _: "/proc", "backup_place_not_writable"),
    "no user of that name": (lambda _: "~nobody-here/x", "backup_place_missing"),
}


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize(("folder", "code"), UNFIT.values(), ids=UNFIT.keys())
def test_a_folder_that_backups_cannot_go_to_is_named_with_the_remedy(
    cast: Cast, computer: Path, language: str, folder: Any, code: str
) -> None:
    answer = choose(cast, folder(computer), language)
    assert (answer.status_code, answer.json()["code"]) == (422, code)
    assert answer.json()["detail"] == words.say(
        language, f"problem.{code}", answer.json()["params"]
    )
    assert told(cast)["place"]["chosen"] is False


def test_a_full_disk_is_named_with_its_figures(
    cast: Cast, computer: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(backup_place, "_book_bytes", lambda: 10**18)
    answer = choose(cast, computer / "elsewhere")
    assert answer.json()["code"] == "backup_place_full"
    assert answer.json()["params"]["needed"] == 3 * 10**12 + 100


def test_a_servers_operator_decides_where_and_when(cast: Cast, settings: Any) -> None:
    settings.PRODUCTION = True
    said = told(cast)
    assert (said["may_choose"], said["may_make"], said["place"]["folder"]) == (False, False, "")
    assert choose(cast, "/").json()["code"] == "backup_place_fixed"
    assert cast.grower.post("/api/v1/backup").json()["code"] == "backup_at_the_server"


def test_a_folder_from_the_environment_is_not_chosen_here(
    cast: Cast, computer: Path, settings: Any
) -> None:
    settings.BACKUPS = computer / "given"
    assert told(cast)["may_choose"] is False
    assert choose(cast, computer / "elsewhere").json()["code"] == "backup_place_fixed"


def test_the_key_that_no_backup_holds_is_named_with_its_file(
    cast: Cast, settings: Any, tmp_path: Path
) -> None:
    settings.SIGNING_KEYS, settings.SIGNING_FILE = [], tmp_path / "signing_key"
    assert told(cast)["key"] is None
    settings.SIGNING_FILE.write_text("the secret of this computer\n")
    ours = signing.of("veshmere").fingerprint
    assert told(cast)["key"] == {"fingerprint": ours, "file": str(settings.SIGNING_FILE)}
    settings.PRODUCTION = True
    assert told(cast)["key"] == {"fingerprint": ours, "file": ""}


def test_photos_that_could_not_be_brought_are_trouble(cast: Cast) -> None:
    kept(seq=0, photos=3)
    assert (told(cast)["tested"] or {})["photos"] == 3
    assert "photos_lacking" not in codes(cast)
    kept(seq=0, photos=2, photos_lacking=1)
    assert "photos_lacking" in codes(cast)
    assert "backup.trouble_photos_lacking" in words.catalogue("en")
