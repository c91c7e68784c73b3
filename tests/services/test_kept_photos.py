"""Photos in the office: under the hash of their bytes, and believed only as far as that goes."""

from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest

from nursery.services import kept_photos

LEAF = b"\xff\xd8 a leaf \xff\xd9"


@pytest.fixture(autouse=True)
def folder(settings: Any, tmp_path: Path) -> Path:
    settings.PHOTOS = tmp_path / "photos"
    return tmp_path / "photos"


def test_a_photo_is_found_again_by_its_hash(folder: Path) -> None:
    digest = kept_photos.keep("veshmere", LEAF)
    assert digest == sha256(LEAF).hexdigest()
    assert kept_photos.has("veshmere", digest)
    assert kept_photos.read("veshmere", digest) == LEAF
    assert kept_photos.keep("veshmere", LEAF) == digest
    assert [one.name for one in (folder / "veshmere").iterdir()] == [digest]
    assert (folder / "veshmere").stat().st_mode & 0o077 == 0


def test_another_nursery_has_none_of_it() -> None:
    digest = kept_photos.keep("veshmere", LEAF)
    assert not kept_photos.has("brask", digest)
    assert kept_photos.read("brask", digest) is None


def test_bytes_that_are_not_those_of_the_hash_are_not_given_out(folder: Path) -> None:
    digest = kept_photos.keep("veshmere", LEAF)
    (folder / "veshmere" / digest).write_bytes(LEAF + b"x")
    assert kept_photos.has("veshmere", digest)
    assert kept_photos.read("veshmere", digest) is None


@pytest.mark.parametrize("digest", [None, "", "../keys/secret_key", "AB" * 32, "ab" * 33, "ab\n"])
def test_what_is_no_hash_names_no_file(digest: str | None) -> None:
    assert not kept_photos.has("veshmere", digest)
    assert kept_photos.read("veshmere", digest) is None


def test_a_nursery_s_name_leads_nowhere_else(folder: Path) -> None:
    kept_photos.keep("../veshmere", LEAF)
    assert [one.name for one in folder.parent.iterdir()] == ["photos"]
