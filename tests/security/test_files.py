"""Names lead to nothing but what they name: in zips that come in, in addresses, on the disk."""

import base64
import io
import json
import stat
import warnings
import zipfile
from pathlib import Path
from typing import Any

import pytest

from nursery.services import backups, book_file
from nursery.services.book_file import BookFileForeign, BookFileTooLarge, BookFileUnfit
from tests.api.conftest import Cast
from tests.steps import ROOT

FOREIGN = (
    "../nursery.json", "tables/../../nursery.json", "/etc/passwd", "C:\\nursery.json",
    "..\\nursery.json", "photos/../nursery.json", "photos/" + "A" * 64, "photos/" + "a" * 63,
    "photos/" + "a" * 65, "photos/" + "a" * 64 + "/x", "photos/" + "٣" * 64, "tables/a.csv.exe",
    "tables/A.csv", "tables/" + "a" * 41 + ".csv", "tables/", "nursery.json/", "nursery.json ",
    "nursery.json\n", "nursery.json\x00.txt", "./nursery.json", "~/x", "con", "a" * 5000,
    "tables/a\u202ecsv.exe",
)  # fmt: skip


def zipped(*members: tuple[zipfile.ZipInfo | str, bytes]) -> io.BytesIO:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as pack, warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of a name that stands there twice
        for name, content in members:
            pack.writestr(name, content)
    return out


def look(out: io.BytesIO, tmp_path: Path) -> None:
    file = tmp_path / "book.zip"
    file.write_bytes(out.getvalue())
    with book_file.opened(file):
        pass


@pytest.mark.parametrize("name", FOREIGN, ids=lambda name: ascii(name)[:40])
def test_a_member_of_another_name_is_turned_down_before_anything_is_read(
    name: str, tmp_path: Path
) -> None:
    one = zipfile.ZipInfo("x")
    one.filename = one.orig_filename = name
    raw = zipped((one, b"x"))
    with pytest.raises(BookFileForeign):
        look(raw, tmp_path)
    assert [one.name for one in tmp_path.iterdir()] == ["book.zip"]


def bent(name: str = "feed.jsonl", **fields: Any) -> zipfile.ZipInfo:
    one = zipfile.ZipInfo(name)
    for field, value in fields.items():
        setattr(one, field, value)
    return one


HURT = {
    "a name twice": ((("feed.jsonl", b"x"), ("feed.jsonl", b"y")), BookFileForeign),
    "another way of packing": (
        ((bent(compress_type=zipfile.ZIP_BZIP2), b"x"),), BookFileForeign,
    ),
    "one that swells": ((("feed.jsonl", bytes(3 << 20)),), BookFileTooLarge),
    "one that is read whole and is too large": (
        ((bent("nursery.json", compress_type=zipfile.ZIP_STORED), bytes((64 << 20) + 1)),),
        BookFileTooLarge,
    ),
    # A link is bytes like any others here: no member is ever written under its own name.
    "a link": (
        ((bent(external_attr=(stat.S_IFLNK | 0o777) << 16), b"/etc/passwd"),), BookFileUnfit,
    ),
}  # fmt: skip


@pytest.mark.parametrize(("members", "refusal"), HURT.values(), ids=HURT)
def test_a_zip_that_was_made_to_hurt(
    members: Any, refusal: type[BookFileUnfit], tmp_path: Path
) -> None:
    with pytest.raises(refusal):
        look(zipped(*members), tmp_path)


def test_nothing_of_ours_unpacks_a_file_under_the_name_that_it_brings() -> None:
    found = [
        one.name
        for top in ("nursery", "config")
        for one in (ROOT / top).rglob("*.py")
        if any(
            word in one.read_text()
            for word in (".extractall(", ".extract(", "unpack_archive", "import tarfile")
        )
    ]
    assert found == ["backups.py"]


@pytest.mark.parametrize("name", ["../../outside", "/outside", "a/../../../outside"])
def test_a_backup_lays_nothing_down_beside_its_folder(
    name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The library unpacks its dump under what is left of the name; then its hash is wrong."""
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path / "deep" / "down"))
    (tmp_path / "deep" / "down").mkdir(parents=True)
    told = json.dumps({"format": backups.FORMAT, "book": name, "sha256": "0" * 64}).encode()
    file = tmp_path / "backup.zip"
    file.write_bytes(zipped((backups.MANIFEST, told), (name, b"x")).getvalue())
    with pytest.raises(backups.BackupBroken), backups.unpacked(file):
        pass
    assert sorted(one.name for one in tmp_path.rglob("*")) == ["backup.zip", "deep", "down"]


WAYS = ("..", "../..", "..%2f..%2fkeys%2fsecret_key", "%2e%2e", "a/../../b", "%00", "C:%5cx", "~")


@pytest.mark.parametrize(
    "place",
    [
        "exports/{}", "forms/{}", "photos/{}/320", "stock-file/templates/{}", "begin/book/{}",
        "uploads/{}", "handovers/{}", "blocks/{}/positions.csv", "calendar/{}.ics",
    ],
)  # fmt: skip
def test_an_address_leads_to_no_file_of_the_folder(
    cast: Cast, place: str, settings: Any, tmp_path: Path
) -> None:
    settings.DATA = tmp_path
    for folder in ("keys", "exports", "coming", "photos"):
        (tmp_path / folder).mkdir(exist_ok=True)
        (tmp_path / folder / "secret_key").write_text("innermost")
    for way in WAYS:
        answer = cast.grower.get(f"/api/v1/{place.format(way)}")
        assert answer.status_code in (400, 403, 404, 405), way
        assert b"innermost" not in answer.content


@pytest.mark.parametrize("digest", ["../" * 5 + "x", "A" * 64, "a" * 63, "٣" * 64, "a" * 64 + "\n"])
def test_a_photo_is_called_by_its_hash_alone(cast: Cast, digest: str) -> None:
    told = f"sha256 {base64.b64encode(digest.encode()).decode()}"
    headers = {"Tus-Resumable": "1.0.0", "Upload-Length": "9", "Upload-Metadata": told}
    answer = cast.phone.post("/api/v1/uploads", headers=headers)
    assert answer.status_code == 400


@pytest.mark.parametrize("ident", ["../../x", "a" * 65, "a b", "a\x00", "", "a\nb"])
def test_a_row_and_a_record_are_about_names_and_no_paths(cast: Cast, ident: str) -> None:
    said = {"kind": "noted", "about": [ident], "body": {"text": "x"}}
    answer = cast.grower.post("/api/v1/records", json.dumps(said), "application/json")
    if ident == "../../x":
        # A name like any other: it is asked of the database, and of no disk.
        assert answer.status_code in (201, 422)
    else:
        assert answer.status_code == 400


def test_what_is_told_of_the_files_on_the_disk_is_for_the_grower_alone(cast: Cast) -> None:
    for client, status in ((cast.phone, 403), (cast.inspector, 403), (cast.nobody, 401)):
        for path in ("backup", "exports"):
            assert client.get(f"/api/v1/{path}").status_code == status
