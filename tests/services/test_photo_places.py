"""Photos in the data folder and in object storage: the same service, which says when it is away."""

import json
import stat
from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest
from django.core.files.storage import storages

from config import photos as wired
from config.env import Env, SettingWrong
from nursery.services import backups, clock, kept_photos, nurseries, photos
from nursery.services.errors import PhotosAway
from nursery.store.models import PhotoRow
from nursery.store.scope import scope
from tests.services import bucket
from tests.services.bucket import Bucket
from tests.services.hostile_images import photograph

NURSERY = "veshmere"
KEYS = {
    "NURSERY_PHOTOS_BUCKET": bucket.NAME,
    "NURSERY_PHOTOS_KEY_ID": bucket.KEY_ID,
    "NURSERY_PHOTOS_KEY": bucket.KEY,
    "NURSERY_PHOTOS_REGION": "nowhere-1",
    "NURSERY_PHOTOS_PREFIX": "photos of the house",
}


@pytest.fixture
def away(settings: Any, tmp_path: Path) -> Iterator[Bucket]:
    """Photos go to a bucket; what has not come whole stays in the data folder."""
    settings.PHOTOS = tmp_path / "photos"
    with bucket.running() as made:
        values = KEYS | {"NURSERY_PHOTOS_ENDPOINT": made.address}
        settings.STORAGES = settings.STORAGES | {"photos": wired.storage(Env(values))}
        yield made
        storages["photos"].connection.meta.client.close()  # type: ignore[attr-defined]


@pytest.fixture(params=["folder", "bucket"])
def place(request: pytest.FixtureRequest, settings: Any, tmp_path: Path) -> str:
    if request.param == "bucket":
        request.getfixturevalue("away")
    settings.PHOTOS = tmp_path / "photos"
    return str(request.param)


@pytest.mark.usefixtures("place")
def test_a_photo_and_its_copies_are_found_again_by_their_hashes() -> None:
    leaf, small = photograph(), photograph((64, 48))
    assert kept_photos.every(NURSERY) == []
    digest, copy = kept_photos.keep(NURSERY, leaf), kept_photos.keep_copy(NURSERY, small)
    assert (digest, copy) == (sha256(leaf).hexdigest(), sha256(small).hexdigest())
    assert kept_photos.keep(NURSERY, leaf) == digest
    assert kept_photos.has(NURSERY, digest)
    assert kept_photos.read(NURSERY, digest) == leaf
    assert kept_photos.read_copy(NURSERY, copy) == small
    assert (kept_photos.every(NURSERY), kept_photos.every_copy(NURSERY)) == ([digest], [copy])
    assert not kept_photos.has(NURSERY, copy)
    assert kept_photos.read(NURSERY, copy) is None
    for other in ("brask", "vesh"):
        assert kept_photos.every(other) == []
        assert kept_photos.read(other, digest) is None


@pytest.mark.django_db(transaction=True)
@pytest.mark.usefixtures("place")
def test_it_is_drawn_given_out_and_backed_up_from_either(settings: Any, tmp_path: Path) -> None:
    settings.BACKUPS = tmp_path / "backups"
    nurseries.begin(NURSERY, "Veshmere", "UTC")
    leaf = photograph()
    digest = kept_photos.keep(NURSERY, leaf)
    with scope(NURSERY, write=True) as book:
        photos.came(book, digest, len(leaf), clock.now())
    assert photos.draw(NURSERY, digest) == photos.HERE
    told = PhotoRow.objects.get().copies["320"]["sha256"]
    assert photos.copy(NURSERY, digest, 320).sha256 == told
    assert backups.make().photos == 1
    assert (tmp_path / "backups/photos" / NURSERY / digest).read_bytes() == leaf
    assert photos.safe(NURSERY, [digest]) == [digest]


def test_on_the_disk_they_are_this_user_s_alone(settings: Any, tmp_path: Path) -> None:
    settings.PHOTOS = tmp_path / "photos"
    digest = kept_photos.keep(NURSERY, photograph())
    file = tmp_path / "photos" / NURSERY / digest
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    assert stat.S_IMODE(file.parent.stat().st_mode) == 0o700


def test_one_that_finds_no_room_leaves_nothing(
    settings: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    settings.PHOTOS = tmp_path / "photos"

    def full(_handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("nursery.services.photo_disk.os.fsync", full)
    with pytest.raises(OSError, match="No space"):
        kept_photos.keep(NURSERY, photograph())
    assert list((tmp_path / "photos" / NURSERY).iterdir()) == []


def test_in_the_bucket_they_lie_under_the_prefix_and_not_here(away: Bucket, tmp_path: Path) -> None:
    leaf = photograph()
    digest = kept_photos.keep(NURSERY, leaf)
    assert away.objects == {f"photos of the house/{NURSERY}/{digest}": leaf}
    assert not (tmp_path / "photos" / NURSERY / digest).exists()
    assert kept_photos.part(NURSERY, digest).parent == tmp_path / "photos" / NURSERY


def test_one_that_was_bent_in_the_bucket_is_not_given_out(away: Bucket) -> None:
    digest = kept_photos.keep(NURSERY, photograph())
    away.objects[f"photos of the house/{NURSERY}/{digest}"] = b"bent"
    assert kept_photos.has(NURSERY, digest)
    assert kept_photos.read(NURSERY, digest) is None


@pytest.mark.parametrize("status", [403, 400])
def test_a_bucket_that_does_not_open_is_away_and_nothing_is_called_missing(
    away: Bucket, status: int
) -> None:
    digest = kept_photos.keep(NURSERY, photograph())
    away.fails = status
    for ask in (
        lambda: kept_photos.has(NURSERY, digest),
        lambda: kept_photos.read(NURSERY, digest),
        lambda: kept_photos.every(NURSERY),
        lambda: kept_photos.keep(NURSERY, photograph((8, 8))),
    ):
        with pytest.raises(PhotosAway):
            ask()
    away.fails = 0
    assert kept_photos.read(NURSERY, digest) is not None


# Settings

WRONG = {
    "a key without its secret": (
        {"NURSERY_PHOTOS_BUCKET": "b", "NURSERY_PHOTOS_KEY_ID": "x"},
        "Give it together with NURSERY_PHOTOS_KEY",
    ),
    "no address": (
        {"NURSERY_PHOTOS_BUCKET": "b", "NURSERY_PHOTOS_ENDPOINT": "objects"},
        "Give an address like https://objects.example:9000",
    ),
    "a region of no bucket": (
        {"NURSERY_PHOTOS_REGION": "r"},
        "NURSERY_PHOTOS_REGION is 'r'. Name the bucket with NURSERY_PHOTOS_BUCKET",
    ),
    "a secret of no bucket": ({"NURSERY_PHOTOS_KEY": "hush"}, "NURSERY_PHOTOS_KEY is '…'. Name"),
}


@pytest.mark.parametrize(("values", "says"), WRONG.values(), ids=WRONG)
def test_a_wrong_setting_is_named(values: dict[str, str], says: str) -> None:
    with pytest.raises(SettingWrong, match="is") as raised:
        wired.storage(Env(values))
    assert says in str(raised.value)
    assert "hush" not in str(raised.value)


def test_without_the_extra_the_bucket_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(wired, "find_spec", lambda _name: None)
    with pytest.raises(SettingWrong, match=r"lathhouse\[objects\]"):
        wired.storage(Env(KEYS))
    assert "PhotoDisk" in json.dumps(wired.storage(Env({})))
