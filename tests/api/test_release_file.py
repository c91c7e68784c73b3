"""The release file over HTTP: its facts, its paper and its signed page, for whom they are."""

import base64
import io
from hashlib import sha256
from pathlib import Path
from typing import Any

import orjson
import pytest
from PIL import Image

from nursery.paper import bundle_check
from nursery.services import kept_photos, signing
from tests.api.conftest import NOW, Cast
from tests.phone import Writer

ADDRESS = "/api/v1/consignments/c-1/file"


@pytest.fixture(autouse=True)
def key(settings: Any) -> None:
    settings.SIGNING_KEYS = ["a secret of these tests"]


@pytest.mark.parametrize("who", ["grower", "inspector"])
def test_its_facts_are_json(cast: Cast, tray: str, who: str) -> None:
    told = getattr(cast, who).get(ADDRESS).json()
    assert told["account"]["ledger"]["alive"] == 54
    assert [one["id"] for one in told["batches"]] == [tray]
    assert told["on"] == "2031-03-03"
    assert told["as_of_seq"] >= 2


@pytest.mark.usefixtures("tray")
@pytest.mark.parametrize("who", ["grower", "inspector"])
@pytest.mark.parametrize("accept", ["application/json", "application/pdf", "*/*"])
def test_its_paper_is_a_pdf_in_the_language_asked_for(cast: Cast, who: str, accept: str) -> None:
    answer = getattr(cast, who).get(f"{ADDRESS}.pdf?language=es", headers={"Accept": accept})
    assert (answer.status_code, answer["Content-Type"]) == (200, "application/pdf")
    assert answer.content.startswith(b"%PDF-")
    assert b"/Lang(es)" in answer.content
    assert 'filename="c-1-2031-03-03.pdf"' in answer["Content-Disposition"]


@pytest.mark.usefixtures("tray")
@pytest.mark.parametrize("who", ["grower", "inspector"])
def test_its_signed_page_holds_and_is_kept_as_a_file(cast: Cast, who: str) -> None:
    answer = getattr(cast, who).get(f"{ADDRESS}.html")
    assert answer["Content-Type"] == "text/html"
    assert answer["Content-Disposition"].startswith("attachment;")
    found = bundle_check.check(answer.content, signing.of("veshmere").fingerprint)
    assert found.holds, found.faults
    assert found.records >= 2


@pytest.mark.usefixtures("tray")
def test_twice_on_one_day_gives_the_same_file(cast: Cast) -> None:
    first, second = (cast.grower.get(f"{ADDRESS}.html").content for _ in range(2))
    assert first == second


@pytest.mark.usefixtures("tray")
def test_another_nursery_s_consignment_is_unknown(cast: Cast) -> None:
    answer = cast.stranger.get(ADDRESS)
    assert (answer.status_code, answer.json()["code"]) == (404, "unknown")


@pytest.mark.usefixtures("tray")
@pytest.mark.parametrize("form", ["pdf", "html"])
def test_where_there_is_nothing_to_sign_with_it_is_said(
    cast: Cast, settings: Any, tmp_path: Any, form: str
) -> None:
    settings.SIGNING_KEYS, settings.SIGNING_FILE = [], tmp_path / "none"
    answer = cast.grower.get(f"{ADDRESS}.{form}")
    assert (answer.status_code, answer.json()["code"]) == (409, "nothing_to_sign_with")


# Photos


def photograph() -> bytes:
    exif = Image.Exif()
    exif[0x010F] = "A camera's maker"
    file = io.BytesIO()
    Image.effect_noise((800, 600), 50).convert("RGB").save(file, "JPEG", exif=exif)
    return file.getvalue()


@pytest.fixture
def photos(cast: Cast, writer: Writer, tray: str, settings: Any, tmp_path: Path) -> dict[str, str]:
    """One that the office has, one that no phone sent, one that is another, one without record."""
    settings.PHOTOS = tmp_path / "photos"
    leaf, other = photograph(), photograph()
    digests = {"leaf": kept_photos.keep("veshmere", leaf), "away": "ab" * 32}
    digests["other"] = kept_photos.keep("veshmere", other)
    (settings.PHOTOS / "veshmere" / digests["other"]).write_bytes(leaf)
    texts = []
    for name, digest in digests.items():
        body = {"photo": name, "sha256": digest, "width": 800, "height": 600, "shows": "leaf"}
        texts.append(writer.write("photographed", [tray], body, NOW))
    found = {"suspicion": False, "symptom": "spots", "photos": [*digests, "undescribed"]}
    texts.append(writer.write("found", [tray], found, NOW))
    assert cast.phone.push(*texts).status_code == 200
    return digests


def lines(content: bytes) -> list[Any]:
    start = content.index(bundle_check.STARTS) + len(bundle_check.STARTS)
    end = content.index(bundle_check.ENDS, start)
    return [orjson.loads(line) for line in content[start:end].split(b"\n")]


def test_photos_that_the_office_has_go_into_the_signed_file(
    cast: Cast, photos: dict[str, str]
) -> None:
    content = cast.grower.get(f"{ADDRESS}.html").content
    assert bundle_check.check(content).photos == 1
    parts = lines(content)
    (picture,) = [part for part in parts if part[0] == "photo"]
    small = base64.b64decode(picture[2])
    assert picture[1] == "leaf"
    assert b"maker" not in small
    assert Image.open(io.BytesIO(small)).size == (560, 420)
    listed = orjson.loads(parts[2][1])["photos"]
    assert listed == [["leaf", sha256(small).hexdigest()]]
    told = {one["name"]: one for one in orjson.loads(parts[5][1])["facts"]["photos"]}
    assert told["leaf"]["sha256"] == photos["leaf"]
    assert told["leaf"]["picture"]["sha256"] == sha256(small).hexdigest()


@pytest.mark.usefixtures("photos")
def test_why_a_photo_is_missing_is_said(cast: Cast) -> None:
    told = lines(cast.grower.get(f"{ADDRESS}.html").content)[5]
    file = orjson.loads(told[1])
    missing = {one["name"]: one["missing"] for one in file["facts"]["photos"]}
    assert missing == {
        "leaf": None,
        "away": "not_sent",
        "other": "held_back",
        "undescribed": "not_described",
    }
    (listed,) = [one for one in file["pages"]["en"]["annex"]["lists"] if one["name"] == "photos"]
    said = {one["photo"]: one["missing"][:9] for one in listed["figures"]}
    assert said == {
        "leaf": "",
        "away": "Not here:",
        "other": "Held back",
        "undescribed": "Not here:",
    }
    assert listed["about"].startswith("4 photos, 3 of them not in this file.")


@pytest.mark.usefixtures("photos")
def test_photos_stand_on_paper(cast: Cast) -> None:
    paper = cast.grower.get(f"{ADDRESS}.pdf").content
    assert paper.count(b"/DCTDecode") == 1


@pytest.mark.usefixtures("photos")
def test_a_changed_photo_is_named(cast: Cast) -> None:
    content = cast.grower.get(f"{ADDRESS}.html").content
    at = content.index(b'["photo","leaf","') + 900
    bent = content[:at] + bytes([content[at] ^ 1]) + content[at + 1 :]
    assert bundle_check.check(bent).faults == ("photo leaf",)
