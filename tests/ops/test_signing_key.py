"""No backup holds the signing key; whoever makes or brings back one is told which file to keep."""

import io
import zipfile
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command

from nursery.ops.management.commands import doctor
from nursery.services import backups, clock, counts, engines, restore, signing
from nursery.services.health import Finding
from nursery.services.restore import Restored

SECRET = "the secret of this computer"


@pytest.fixture
def key(settings: Any, tmp_path: Path) -> Path:
    settings.SIGNING_KEYS, settings.SIGNING_FILE = [], tmp_path / "keys" / "signing_key"
    settings.DATA = tmp_path
    settings.SIGNING_FILE.parent.mkdir()
    settings.SIGNING_FILE.write_text(SECRET)
    settings.SIGNING_FILE.chmod(0o600)
    return Path(settings.SIGNING_FILE)


def said(*words: str, **options: Any) -> str:
    out = io.StringIO()
    call_command(*words, stdout=out, **options)
    return out.getvalue()


def test_who_makes_a_backup_is_told_what_it_does_not_hold(
    key: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = backups.Backup(tmp_path / "b.zip", clock.unshifted(), {}, 1, 1, 1.0, 1.0)
    monkeypatch.setattr(backups, "make", lambda _: made)
    told = said("backup")
    assert "The key that signs release files is not in it." in told
    assert str(key) in told
    key.unlink()
    assert "key" not in said("backup")


@pytest.mark.django_db
def test_a_backup_holds_no_byte_of_the_key(
    key: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    class Engine:
        suffix = "sqlite3"

        def dump(self, place: Path) -> counts.Counts:
            place.write_bytes(b"the book")
            return counts.Counts({}, {})

    monkeypatch.setattr(engines, "in_force", Engine)
    backups._pack(tmp_path / "b.zip", clock.unshifted())
    with zipfile.ZipFile(tmp_path / "b.zip") as pack:
        assert sorted(pack.namelist()) == ["book.sqlite3", "manifest.json"]
        assert not any(SECRET.encode() in pack.read(name) for name in pack.namelist())


@pytest.mark.django_db
def test_who_brings_one_back_is_told_which_key_signs_now(
    key: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(restore, "newer_than", lambda _: [])
    monkeypatch.setattr(restore, "restore", lambda *_, since: Restored({"veshmere": 7}, None))
    told = said("restore", str(tmp_path / "b.zip"), yes=True)
    assert f"signed here by the key {signing.of('veshmere').fingerprint}." in told
    assert f"Then put the copy of {key}" in told.replace("\n", " ")
    key.unlink()
    assert "signed here by no key yet." in said("restore", str(tmp_path / "b.zip"), yes=True)


@pytest.mark.django_db
def test_the_doctor_looks_whether_others_can_read_it(key: Path) -> None:
    def finding() -> Finding:
        (found,) = [one for one in doctor.findings() if one.code == "signing_key"]
        return found

    assert finding().good
    assert "in no backup" in doctor.WORDS["signing_key"][0]
    key.chmod(0o644)
    assert not finding().good
