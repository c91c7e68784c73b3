"""The data folder is its owner's alone, and its secret is made once."""

import os
import stat
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from config import folder
from tests.steps import ROOT

SECRETS = ["push_key", "secret_key", "signing_key"]


def mode(place: Path) -> int:
    return stat.S_IMODE(place.stat().st_mode)


def test_everything_in_it_is_the_owners_alone(tmp_path: Path) -> None:
    folder.prepare(tmp_path / "a" / "b")
    assert mode(tmp_path / "a" / "b") == 0o700
    for part in folder.PARTS:
        assert mode(tmp_path / "a" / "b" / part) == 0o700
    for secret in SECRETS:
        assert mode(tmp_path / "a" / "b" / "keys" / secret) == 0o600


def test_a_folder_that_was_open_to_others_is_shut(tmp_path: Path) -> None:
    tmp_path.chmod(0o755)
    folder.prepare(tmp_path)
    assert mode(tmp_path) == 0o700


def test_the_secret_is_made_once_however_many_start_at_once(tmp_path: Path) -> None:
    with ThreadPoolExecutor(8) as pool:
        [*pool.map(folder.prepare, [tmp_path] * 8)]
    first = folder.secret_key(tmp_path)
    folder.prepare(tmp_path)
    assert first is not None
    assert len(first) >= 64
    assert folder.secret_key(tmp_path) == first
    assert sorted(file.name for file in (tmp_path / "keys").iterdir()) == SECRETS


def test_release_files_are_signed_with_a_secret_of_their_own(tmp_path: Path) -> None:
    folder.prepare(tmp_path)
    made = folder.signing_file(tmp_path).read_text()
    folder.prepare(tmp_path)
    assert folder.signing_file(tmp_path).read_text() == made
    assert made.strip() != folder.secret_key(tmp_path)
    assert len(made) >= 64


def test_before_the_first_start_there_is_no_secret_and_nothing_is_made(tmp_path: Path) -> None:
    assert folder.secret_key(tmp_path / "none") is None
    assert not (tmp_path / "none").exists()


def test_a_folder_that_cannot_be_made_is_named(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    with pytest.raises(folder.FolderUnusable, match="Choose another with --data"):
        folder.prepare(tmp_path / "file" / "below")


def test_a_held_folder_names_its_holder_and_is_free_again_when_that_one_dies(
    tmp_path: Path,
) -> None:
    hold = (
        "import sys, time; from pathlib import Path; from config import folder\n"
        "with folder.held(Path(sys.argv[1])): print('held', flush=True); time.sleep(60)"
    )
    command = [sys.executable, "-c", hold, str(tmp_path)]
    with subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True) as holder:
        assert holder.stdout is not None
        assert holder.stdout.readline() == "held\n"
        with pytest.raises(folder.FolderBusy, match=str(holder.pid)), folder.held(tmp_path):
            pass
        holder.kill()
    with folder.held(tmp_path):
        assert (tmp_path / "in_use").read_text() == str(os.getpid())
