"""Photos to look at: who sees which, as what, and what is never given out."""

import json
from datetime import timedelta
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest

from nursery.services import clock, darkroom, jobs, kept_photos, photos
from nursery.store.models import JobRow, PhotoRow
from nursery.store.scope import scope
from nursery.tasks import run
from tests.api.conftest import NOW, Cast
from tests.api.test_uploads import begin, send
from tests.phone import Writer
from tests.services import hostile_images
from tests.services.hostile_images import opened, photograph

SHA = "sha256"


@pytest.fixture(autouse=True)
def folder(settings: Any, tmp_path: Path) -> Path:
    settings.PHOTOS = tmp_path / "photos"
    return tmp_path / "photos"


@pytest.fixture
def leaf() -> bytes:
    return photograph((1200, 900), turned=6)


def name_of(content: bytes) -> str:
    return sha256(content).hexdigest()


def told(writer: Writer, content: bytes, about: str = "b-1", **more: Any) -> str:
    body: dict[str, Any] = {"photo": f"photo-{name_of(content)[:6]}", "sha256": name_of(content)}
    body |= {"width": 1200, "height": 900, "shows": "underside"}
    return writer.write("photographed", [about], body, NOW, **more)


def arrives(cast: Cast, content: bytes) -> None:
    begin(cast.phone, content)
    answer = send(cast.phone, content, 0, content)
    assert answer.status_code == 204, answer.content


def worked() -> list[str]:
    """Do what waits, as a worker does; return which photos were asked for."""
    waiting = JobRow.objects.filter(kind=photos.KIND, state=JobRow.NEW).order_by("pk")
    found = [(row.pk, row.params[SHA]) for row in waiting]
    for number, _ in found:
        run.run(number)
    return [digest for _, digest in found]


@pytest.fixture
def shown(cast: Cast, writer: Writer, tray: str, leaf: bytes) -> str:
    """A photo of the tray that came whole and was drawn; its hash."""
    cast.phone.push(told(writer, leaf, tray))
    arrives(cast, leaf)
    assert worked() == [name_of(leaf)]
    return name_of(leaf)


def copy_of(digest: str, size: int | str = 320) -> str:
    return f"/api/v1/photos/{digest}/{size}"


def of_tray(cast: Cast) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = cast.grower.get("/api/v1/batches/b-1/photos").json()["items"]
    return found


def test_a_photo_is_waited_for_until_it_is_drawn(
    cast: Cast, writer: Writer, tray: str, leaf: bytes
) -> None:
    cast.phone.push(told(writer, leaf, tray))
    (waiting,) = of_tray(cast)
    assert (waiting["state"], waiting["sizes"], waiting["came_at"]) == ("waiting", [], None)
    assert cast.grower.get(copy_of(name_of(leaf))).status_code == 404
    arrives(cast, leaf)
    assert of_tray(cast)[0]["state"] == "waiting"
    assert cast.grower.get(copy_of(name_of(leaf))).status_code == 404
    worked()
    (here,) = of_tray(cast)
    assert (here["state"], here["author"], here["shows"]) == ("here", "p-w1", "underside")
    assert here["occurred_at"] == "2031-03-03T02:00:00Z"
    assert [(one["longest"], one["width"], one["height"]) for one in here["sizes"]] == [
        (320, 240, 320),
        (800, 600, 800),
        (1600, 900, 1200),
    ]
    # The camera told a time and no offset: it is the nursery's.
    assert here["taken_at"] == "2031-03-02T21:14:15Z"


def test_it_is_told_by_whom_with_the_name_that_the_nursery_gives(cast: Cast, shown: str) -> None:
    assert of_tray(cast)[0]["author_name"] is None
    body = {"body": {"name": "Wren", "role": "worker"}}
    put = cast.grower.put("/api/v1/rows/person/p-w1", body, content_type="application/json")
    assert put.status_code == 200, put.content
    assert of_tray(cast)[0]["author_name"] == "Wren"


@pytest.mark.parametrize("longest", darkroom.LONGEST)
@pytest.mark.parametrize("who", ["grower", "phone", "inspector"])
def test_who_may_see_it_is_given_a_copy_that_can_do_nothing(
    cast: Cast, shown: str, who: str, longest: int
) -> None:
    answer = getattr(cast, who).get(copy_of(shown, longest))
    assert (answer.status_code, answer["Content-Type"]) == (200, "image/jpeg")
    assert opened(answer.content).size == (min(longest, 1200) * 3 // 4, min(longest, 1200))
    assert answer["X-Content-Type-Options"] == "nosniff"
    assert answer["Content-Security-Policy"] == "sandbox; default-src 'none'"
    assert answer["Content-Disposition"] == f'inline; filename="{shown[:16]}-{longest}.jpg"'
    assert answer["Cache-Control"] == "private, max-age=86400"
    assert answer["ETag"] == f'"{name_of(answer.content)}"'
    assert "Cookie" in answer["Vary"]
    again = getattr(cast, who).get(
        copy_of(shown, longest), headers={"If-None-Match": answer["ETag"]}
    )
    assert (again.status_code, again.content, again["ETag"]) == (304, b"", answer["ETag"])


@pytest.mark.parametrize("who", ["stranger", "other_phone"])
def test_to_another_nursery_it_is_unknown(cast: Cast, shown: str, who: str) -> None:
    answer = getattr(cast, who).get(copy_of(shown))
    assert (answer.status_code, answer.json()["code"]) == (404, "unknown")
    theirs = getattr(cast, who).get("/api/v1/batches/b-1/photos")
    assert theirs.status_code == 404


@pytest.mark.parametrize("who", ["revoked", "nobody", "ended"])
def test_who_was_shut_out_sees_none(cast: Cast, shown: str, who: str) -> None:
    assert getattr(cast, who).get(copy_of(shown)).status_code in (401, 403)


@pytest.mark.parametrize("size", ["0", "321", "original", "1600.5", "１６００", "-320"])
def test_there_are_three_sizes_and_no_original(cast: Cast, shown: str, size: str) -> None:
    assert cast.grower.get(copy_of(shown, size)).status_code == 404


def test_no_copy_has_the_bytes_that_came(cast: Cast, shown: str, leaf: bytes) -> None:
    for longest in darkroom.LONGEST:
        content = cast.grower.get(copy_of(shown, longest)).content
        assert content != leaf
        assert hostile_images.SECRET not in content
    # Sealed, and still provable.
    assert kept_photos.read("veshmere", shown) == leaf


def test_a_link_shows_no_photo_that_no_record_names(cast: Cast, leaf: bytes) -> None:
    arrives(cast, leaf)
    worked()
    assert cast.grower.get(copy_of(name_of(leaf))).status_code == 200
    assert cast.inspector.get(copy_of(name_of(leaf))).status_code == 404


def test_a_link_shows_no_photo_that_was_taken_back(
    cast: Cast, writer: Writer, shown: str, leaf: bytes
) -> None:
    assert cast.inspector.get(copy_of(shown)).status_code == 200
    (record,) = (one["record"] for one in of_tray(cast))
    later = NOW + timedelta(minutes=1)
    cast.phone.push(writer.write("withdrawn", ["b-1"], {}, later, corrects=record))
    assert of_tray(cast) == []
    assert cast.inspector.get(copy_of(shown)).status_code == 404
    assert cast.grower.get(copy_of(shown)).status_code == 200


def test_one_that_cannot_be_read_is_told_kept_sealed_and_never_given_out(
    cast: Cast, writer: Writer, tray: str
) -> None:
    broken = hostile_images.corrupt_chunk()
    cast.phone.push(told(writer, broken, tray))
    arrives(cast, broken)
    assert worked() == [name_of(broken)]
    (photo,) = of_tray(cast)
    assert (photo["state"], photo["sizes"]) == ("unreadable", [])
    for who in (cast.grower, cast.phone, cast.inspector):
        for longest in darkroom.LONGEST:
            assert who.get(copy_of(name_of(broken), longest)).status_code == 404
    assert kept_photos.read("veshmere", name_of(broken)) == broken
    (look,) = cast.grower.get("/api/v1/needs-a-look").json()["photos"]
    assert (look["sha256"], look["why"]) == (name_of(broken), "unreadable")
    assert [one["about"] for one in look["records"]] == [[tray]]
    looked = f"/api/v1/photos/{name_of(broken)}"
    assert cast.grower.post(looked).status_code == 204
    assert cast.grower.post(looked).status_code == 404
    assert cast.grower.get("/api/v1/needs-a-look").json()["photos"] == []
    facts = cast.grower.get("/api/v1/consignments/c-1/file").json()
    assert [one["missing"] for one in facts["photos"]] == ["unreadable"]


def test_a_worker_that_died_draws_it_once_more(cast: Cast, leaf: bytes) -> None:
    arrives(cast, leaf)
    (row,) = JobRow.objects.filter(kind=photos.KIND)
    assert jobs.claim(row.pk) is not None
    JobRow.objects.update(lease_until=clock.unshifted() - timedelta(seconds=1))
    run.run(row.pk)
    row.refresh_from_db()
    assert row.state == JobRow.DONE
    assert PhotoRow.objects.get().state == PhotoRow.HERE


def test_photos_without_rows_are_taken_up_and_lost_ones_may_come_again(
    cast: Cast, leaf: bytes, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    digest = kept_photos.keep("veshmere", leaf)
    assert photos.adopt("veshmere", NOW) == 1
    assert worked() == [digest]
    assert photos.adopt("veshmere", NOW) == 0
    assert cast.grower.get(copy_of(digest)).status_code == 200
    assert PhotoRow.objects.get().bytes == len(leaf)
    # A copy that is gone is drawn again; a photo that is gone may be sent again.
    (copy, *_) = kept_photos.every_copy("veshmere")
    (folder / "veshmere/copies" / copy).unlink()
    later = NOW + timedelta(days=1)
    monkeypatch.setattr(clock, "now", lambda: later)
    assert photos.adopt("veshmere", later) == 1
    assert worked() == [digest]
    assert copy in kept_photos.every_copy("veshmere")
    (folder / "veshmere" / digest).unlink()
    assert photos.adopt("veshmere", later) == 1
    assert begin(cast.phone, leaf).status_code == 201


def test_a_phone_hears_which_photos_are_in_a_tested_backup(
    cast: Cast, shown: str, leaf: bytes
) -> None:
    def asked(phone: Any, *digests: str) -> Any:
        body = json.dumps({"sha256": digests})
        return phone.post("/api/v1/sync/photos", body, content_type="application/json")

    assert asked(cast.phone, shown).json() == {"safe": []}
    with scope("veshmere", write=True) as book:
        book.photos.update(safe_at=NOW)
    assert asked(cast.phone, shown, "ab" * 32).json() == {"safe": [shown]}
    assert asked(cast.other_phone, shown).json() == {"safe": []}
    # One that cannot be read stays on its phone, whatever holds it.
    with scope("veshmere", write=True) as book:
        book.photos.update(state=PhotoRow.UNREADABLE)
    assert asked(cast.phone, shown).json() == {"safe": []}
    assert asked(cast.phone, "no hash").status_code == 400
    assert asked(cast.phone, *["ab" * 32] * (photos.MOST_ASKED + 1)).status_code == 400
