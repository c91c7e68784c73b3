"""`nursery verify FILE`: what it prints of a signed file, and that it needs no book."""

import io
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from django.core.management import CommandError, call_command

from nursery.paper import shell
from nursery.services import signing
from tests.paper import releases
from tests.product import plain_environment
from tests.steps import ROOT


@pytest.fixture
def file(settings: Any, tmp_path: Path) -> Path:
    settings.SIGNING_KEYS = [releases.SECRET]
    made = tmp_path / "release.html"
    made.write_bytes(releases.small_bundle().content)
    return made


def said(*words: str) -> str:
    out = io.StringIO()
    try:
        call_command("verify", *words, stdout=out)
    except CommandError as error:
        return f"{out.getvalue()}{error}"
    return out.getvalue()


def test_a_file_that_holds_is_verified_with_its_key_and_what_it_is(file: Path) -> None:
    told = said(str(file))
    assert "Verified: this is what was signed." in told
    assert f"Key: {signing.of('veshmere').fingerprint}, this book's own." in told
    assert "4 records and 0 photos, in a book of 7 lines" in told
    assert "no official certificate" in told


def test_the_part_that_does_not_hold_is_named(file: Path) -> None:
    content = file.read_bytes()
    file.write_bytes(content.replace(b'\\"n\\": 4', b'\\"n\\": 5'))
    told = said(str(file))
    assert "record 4: record 4" in told
    assert "is not verified" in told
    assert "Verified" not in told


def test_the_key_asked_for_is_told_from_another(file: Path) -> None:
    ours = signing.of("veshmere").fingerprint
    assert "the one asked for" in said(str(file), "--key", ours)
    told = said(str(file), "--key", signing.of("brask").fingerprint)
    assert "another" in told
    assert "  key: the key" in told


def test_a_key_that_this_book_does_not_know_is_said(file: Path, settings: Any) -> None:
    settings.SIGNING_KEYS = ["the secret of another computer"]
    assert "not known here" in said(str(file))


def test_a_page_of_another_version_holds_and_is_said(
    file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(shell, "digest", lambda: "0" * 64)
    assert "Its page is of another version" in said(str(file))


def test_what_is_not_there_and_a_key_without_a_file_are_said(tmp_path: Path) -> None:
    assert "No such file" in said(str(tmp_path / "none.html"))
    assert "--key goes with a FILE" in said("--key", "AAAA-AAAA-AAAA-AAAA")


def test_no_book_and_no_data_folder_is_needed_or_made(file: Path, tmp_path: Path) -> None:
    folder = tmp_path / "nothing-here"
    environment = {**os.environ, **plain_environment(), "NURSERY_DATA": str(folder)}
    words = [sys.executable, "-m", "config", "verify", str(file)]
    done = subprocess.run(
        words, cwd=ROOT, env=environment, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    assert "not known here" in done.stdout
    assert not folder.exists()


def test_a_changed_photo_is_named(file: Path) -> None:
    content = releases.small_bundle({"picture-1": b"\xff\xd8 a leaf \xff\xd9"}).content
    file.write_bytes(content)
    assert "4 records and 1 photos" in said(str(file))
    at = content.index(b'["photo","picture-1","') + 25
    file.write_bytes(content[:at] + bytes([content[at] ^ 1]) + content[at + 1 :])
    told = said(str(file))
    assert "photo picture-1: photo picture-1" in told
    assert "is not verified" in told
