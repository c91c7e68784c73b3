"""Photos come to the office slice by slice, whole or not at all, and to no other nursery."""

import base64
import io
import struct
import zlib
from datetime import timedelta
from hashlib import sha1, sha256
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from nursery.services import clock, kept_photos, uploads
from nursery.store.scope import scope
from tests.api.conftest import NOW, Cast, Phone

PLACE = "/api/v1/uploads"
SPOKEN = {"Tus-Resumable": "1.0.0"}
SLICE = "application/offset+octet-stream"


@pytest.fixture(autouse=True)
def folder(settings: Any, tmp_path: Path) -> Path:
    settings.PHOTOS = tmp_path / "photos"
    return tmp_path / "photos"


def picture(form: str = "JPEG", size: tuple[int, int] = (320, 240)) -> bytes:
    made = Image.effect_noise(size, 80).convert("RGB")
    file = io.BytesIO()
    made.save(file, form)
    return file.getvalue()


def name_of(content: bytes) -> str:
    return sha256(content).hexdigest()


def told(content: bytes) -> str:
    digest = base64.b64encode(name_of(content).encode()).decode()
    return f"photo {base64.b64encode(b'photo-1').decode()},sha256 {digest}"


def sum_of(piece: bytes) -> str:
    return f"sha256 {base64.b64encode(sha256(piece).digest()).decode()}"


def begin(phone: Phone, content: bytes, **more: str) -> Any:
    headers = {"Upload-Length": str(len(content)), "Upload-Metadata": told(content)}
    return phone.post(PLACE, headers={**SPOKEN, **headers, **more})


def ask(phone: Phone, content: bytes) -> Any:
    return phone.head(f"{PLACE}/{name_of(content)}", headers=SPOKEN)


def send(phone: Phone, content: bytes, at: int, piece: bytes, **more: str) -> Any:
    headers = {**SPOKEN, "Upload-Offset": str(at), "Upload-Checksum": sum_of(piece), **more}
    return phone.patch(f"{PLACE}/{name_of(content)}", piece, content_type=SLICE, headers=headers)


def test_a_photo_comes_in_slices_and_is_there_under_its_hash(cast: Cast, folder: Path) -> None:
    leaf = picture()
    begun = begin(cast.phone, leaf)
    assert (begun.status_code, begun["Location"]) == (201, f"{PLACE}/{name_of(leaf)}")
    assert begun["Upload-Expires"] == "Wed, 02 Apr 2031 02:00:00 GMT"
    half = len(leaf) // 2
    first = send(cast.phone, leaf, 0, leaf[:half])
    assert (first.status_code, first["Upload-Offset"]) == (204, str(half))
    asked = ask(cast.phone, leaf)
    assert (asked.status_code, asked["Upload-Offset"]) == (200, str(half))
    assert (asked["Upload-Length"], asked["Cache-Control"]) == (str(len(leaf)), "no-store")
    assert (asked["Upload-Metadata"], asked["Tus-Resumable"]) == (told(leaf), "1.0.0")
    assert kept_photos.read("veshmere", name_of(leaf)) is None
    last = send(cast.phone, leaf, half, leaf[half:])
    assert (last.status_code, last["Upload-Offset"]) == (204, str(len(leaf)))
    assert kept_photos.read("veshmere", name_of(leaf)) == leaf
    assert [one.name for one in (folder / "veshmere").iterdir()] == [name_of(leaf)]


def test_a_photo_that_is_known_answers_with_its_whole_length(cast: Cast) -> None:
    leaf = picture()
    kept_photos.keep("veshmere", leaf)
    for answer in (begin(cast.phone, leaf), ask(cast.phone, leaf)):
        assert (answer.status_code, answer["Upload-Offset"]) == (200, str(len(leaf)))
    # What was sent once more, since the answer to it was lost, is told where it stands.
    again = send(cast.phone, leaf, 0, leaf)
    assert (again.status_code, again.json()["params"]["offset"]) == (409, len(leaf))


def test_a_photo_that_was_bent_on_the_disk_is_taken_again(cast: Cast, folder: Path) -> None:
    leaf = picture()
    kept_photos.keep("veshmere", leaf)
    (folder / "veshmere" / name_of(leaf)).write_bytes(leaf[:-1])
    assert begin(cast.phone, leaf).status_code == 201
    assert send(cast.phone, leaf, 0, leaf).status_code == 204
    assert kept_photos.read("veshmere", name_of(leaf)) == leaf


def test_a_disk_that_is_nearly_full_takes_records_and_no_photo(
    cast: Cast, monkeypatch: pytest.MonkeyPatch
) -> None:
    leaf = picture()
    left = uploads.SPARE + len(leaf)
    monkeypatch.setattr(kept_photos, "room", lambda _nursery: left - 1)
    answer = begin(cast.phone, leaf)
    assert (answer.status_code, answer.json()["code"]) == (507, "photo_quota")
    assert ask(cast.phone, leaf).status_code == 404
    monkeypatch.setattr(kept_photos, "room", lambda _nursery: left)
    assert begin(cast.phone, leaf).status_code == 201


def test_one_that_was_begun_goes_on_where_it_is(cast: Cast) -> None:
    leaf = picture()
    begin(cast.phone, leaf)
    send(cast.phone, leaf, 0, leaf[:100])
    again = begin(cast.phone, leaf)
    assert (again.status_code, again["Upload-Offset"]) == (200, "100")


def test_a_slice_goes_on_where_the_last_one_ended_or_is_turned_down(cast: Cast) -> None:
    leaf = picture()
    begin(cast.phone, leaf)
    send(cast.phone, leaf, 0, leaf[:100])
    for offset in (0, 99, 101):
        answer = send(cast.phone, leaf, offset, leaf[offset : offset + 50])
        assert (answer.status_code, answer.json()["params"]["offset"]) == (409, 100)
    assert ask(cast.phone, leaf)["Upload-Offset"] == "100"


def test_a_slice_that_was_bent_on_its_way_does_not_count(cast: Cast) -> None:
    leaf = picture()
    begin(cast.phone, leaf)
    answer = send(cast.phone, leaf, 0, leaf[:100], **{"Upload-Checksum": sum_of(leaf[:99])})
    assert (answer.status_code, answer.json()["code"]) == (460, "checksum_differs")
    assert ask(cast.phone, leaf)["Upload-Offset"] == "0"
    other = f"sha1 {base64.b64encode(sha1(leaf[:100]).digest()).decode()}"
    assert send(cast.phone, leaf, 0, leaf[:100], **{"Upload-Checksum": other}).status_code == 204


def test_a_whole_that_has_another_hash_is_thrown_away(cast: Cast, folder: Path) -> None:
    leaf, other = picture(), picture()
    begin(cast.phone, leaf, **{"Upload-Length": str(len(other))})
    answer = send(cast.phone, leaf, 0, other)
    assert (answer.status_code, answer.json()["code"]) == (460, "checksum_differs")
    assert list((folder / "veshmere").iterdir()) == []
    assert ask(cast.phone, leaf).status_code == 404


def png_of(width: int, height: int) -> bytes:
    """A few bytes that claim to be a picture of any size."""

    def chunk(kind: bytes, content: bytes) -> bytes:
        sum_ = struct.pack(">I", zlib.crc32(kind + content))
        return struct.pack(">I", len(content)) + kind + content + sum_

    head = chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0))
    data = chunk(b"IDAT", zlib.compress(bytes((width + 1) * 100)))
    return b"\x89PNG\r\n\x1a\n" + head + data + chunk(b"IEND", b"")


NO_PHOTOS = {
    "svg": b'<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>',
    "gif": picture("GIF"),
    "bomb": png_of(9000, 9000),
    "great bomb": png_of(40_000, 40_000),
    "half a photo": picture()[:4000],
    "words": b"a letter, not a leaf",
}


@pytest.mark.parametrize("content", NO_PHOTOS.values(), ids=NO_PHOTOS)
def test_what_is_no_photo_is_refused_and_nothing_of_it_stays(
    cast: Cast, folder: Path, content: bytes
) -> None:
    begin(cast.phone, content)
    answer = send(cast.phone, content, 0, content)
    assert (answer.status_code, answer.json()["code"]) == (422, "photo_unreadable")
    assert list((folder / "veshmere").iterdir()) == []
    assert not kept_photos.has("veshmere", name_of(content))


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
def test_photos_of_three_formats_are_kept(cast: Cast, form: str) -> None:
    leaf = picture(form)
    begin(cast.phone, leaf)
    assert send(cast.phone, leaf, 0, leaf).status_code == 204
    assert kept_photos.read("veshmere", name_of(leaf)) == leaf


def test_more_than_a_photo_may_have_is_refused_before_it_is_sent(cast: Cast) -> None:
    answer = begin(cast.phone, b"x", **{"Upload-Length": str(uploads.MOST + 1)})
    assert (answer.status_code, answer.json()["params"]) == (413, {"most": uploads.MOST})


def test_more_than_was_announced_is_refused(cast: Cast) -> None:
    leaf = picture()
    begin(cast.phone, leaf)
    assert send(cast.phone, leaf, 0, leaf + b"x").status_code == 413
    assert ask(cast.phone, leaf)["Upload-Offset"] == "0"


def test_another_nursery_s_photo_is_not_to_be_seen(cast: Cast) -> None:
    leaf = picture()
    begin(cast.phone, leaf)
    send(cast.phone, leaf, 0, leaf[:100])
    assert ask(cast.other_phone, leaf).status_code == 404
    assert send(cast.other_phone, leaf, 100, leaf[100:]).status_code == 404
    send(cast.phone, leaf, 100, leaf[100:])
    assert ask(cast.other_phone, leaf).status_code == 404
    # Theirs begins at nothing, though the same bytes lie here.
    theirs = begin(cast.other_phone, leaf)
    assert (theirs.status_code, theirs["Upload-Offset"]) == (201, "0")
    assert not kept_photos.has("elsewhere", name_of(leaf))


def test_what_never_came_whole_is_forgotten_after_its_time(
    cast: Cast, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    leaf, other = picture(), picture()
    begin(cast.phone, leaf)
    send(cast.phone, leaf, 0, leaf[:100])
    later = NOW + uploads.KEPT + timedelta(seconds=1)
    monkeypatch.setattr(clock, "now", lambda: later)
    assert ask(cast.phone, leaf).status_code == 404
    assert send(cast.phone, leaf, 100, leaf[100:]).status_code == 404
    begin(cast.phone, other)
    with scope("veshmere") as book:
        assert [row.sha256 for row in book.uploads] == [name_of(other)]
    assert list((folder / "veshmere").iterdir()) == []


BENT = {
    "no version": (412, {"Tus-Resumable": ""}),
    "another version": (412, {"Tus-Resumable": "0.2.2"}),
    "no length": (400, {"Upload-Length": ""}),
    "a length of nothing": (400, {"Upload-Length": "0"}),
    "a length below nothing": (400, {"Upload-Length": "-1"}),
    "no hash": (400, {"Upload-Metadata": "photo eA=="}),
    "a hash that is none": (400, {"Upload-Metadata": "sha256 Li4vLi4v"}),
    "a hash in no base64": (400, {"Upload-Metadata": "sha256 %%%"}),
}


@pytest.mark.parametrize(("status", "headers"), BENT.values(), ids=BENT)
def test_what_begins_wrongly_begins_nothing(
    cast: Cast, status: int, headers: dict[str, str]
) -> None:
    answer = begin(cast.phone, picture(), **headers)
    assert answer.status_code == status
    with scope("veshmere") as book:
        assert book.uploads.count() == 0


def test_a_slice_says_its_place_its_kind_and_a_sum_that_can_be_read(cast: Cast) -> None:
    leaf = picture()
    begin(cast.phone, leaf)
    for headers in ({"Upload-Offset": "x"}, {"Upload-Checksum": "crc32 AAAA"}):
        assert send(cast.phone, leaf, 0, leaf, **headers).status_code == 400
    headers = {**SPOKEN, "Upload-Offset": "0"}
    plain = cast.phone.patch(
        f"{PLACE}/{name_of(leaf)}", leaf, content_type="image/jpeg", headers=headers
    )
    assert plain.status_code == 415
    assert ask(cast.phone, leaf)["Upload-Offset"] == "0"


def test_the_office_says_what_it_speaks(cast: Cast) -> None:
    answer = cast.nobody.options(PLACE)
    assert answer.status_code == 204
    assert answer["Tus-Version"] == "1.0.0"
    assert set(answer["Tus-Extension"].split(",")) == {"creation", "checksum", "expiration"}
    assert answer["Tus-Max-Size"] == str(uploads.MOST)
    assert "sha1" in answer["Tus-Checksum-Algorithm"].split(",")


def test_a_grower_s_own_computer_may_send_one_too(cast: Cast) -> None:
    leaf = picture()
    headers = {**SPOKEN, "Upload-Length": str(len(leaf)), "Upload-Metadata": told(leaf)}
    assert cast.grower.post(PLACE, headers=headers).status_code == 201
