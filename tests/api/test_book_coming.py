"""A taken-away book that comes to an empty server: by slices, looked through, whole or none."""

import json
import shutil
from pathlib import Path
from typing import Any

import pytest
from django.db import transaction
from django.test import Client, override_settings
from pytest_django.plugin import DjangoDbBlocker

from nursery.api import book_coming as api
from nursery.paper import export
from nursery.services import nurseries, refold, verify
from nursery.store.models import Account
from tests.api.conftest import NOW, Cast
from tests.services.test_bring_in import House

pytestmark = pytest.mark.django_db

AT = "/api/v1/begin/book"
ASKED = {"email": "Ilsa@veshmere.invalid", "password": "three tall kettles"}


@pytest.fixture(autouse=True)
def own_folder(settings: Any, tmp_path: Path) -> None:
    settings.DATA = tmp_path
    settings.PHOTOS = tmp_path / "photos"


@pytest.fixture(scope="module")
def content(
    django_db_setup: None, django_db_blocker: DjangoDbBlocker, tmp_path_factory: Any
) -> bytes:
    """The file of a book that was kept elsewhere; nothing of it is left here."""
    folder: Path = tmp_path_factory.mktemp("elsewhere")
    there = override_settings(
        DATA=folder, PHOTOS=folder / "photos", SIGNING_KEYS=["a secret of another house"]
    )
    with there, django_db_blocker.unblock(), transaction.atomic():
        House().live()
        export.make("veshmere", folder / "book.zip", NOW)
        transaction.set_rollback(True)
    return (folder / "book.zip").read_bytes()


def post(client: Client, path: str, body: dict[str, Any]) -> Any:
    return client.post(AT + path, json.dumps(body), content_type="application/json")


def put(client: Client, ident: str, at: int, piece: bytes) -> Any:
    path = f"{AT}/{ident}/slice?at={at}"
    return client.put(path, piece, content_type=api.SLICE)


def sent(client: Client, content: bytes, slices: int = 3) -> str:
    ident: str = post(client, "", {"size": len(content), "name": "copy.zip"}).json()["id"]
    step = len(content) // slices + 1
    for at in range(0, len(content), step):
        answer = put(client, ident, at, content[at : at + step])
        assert answer.status_code == 200, answer.content
        assert answer.json()["came"] == min(len(content), at + step)
    return ident


def test_a_book_comes_by_slices_is_shown_and_its_grower_is_signed_in(content: bytes) -> None:
    client = Client()
    ident = sent(client, content)
    told = client.get(f"{AT}/{ident}").json()
    assert (told["name"], told["zone"]) == ("Veshmere Terraces", "Etc/GMT-10")
    assert (told["growers"], told["photos"], told["lost"]) == (["Ilsa"], 1, 0)
    assert told["lines"] > told["records"] > 5
    assert told["first"] <= told["last"]
    assert told["fingerprint"]
    assert nurseries.every() == []
    done = post(client, f"/{ident}", ASKED)
    assert done.status_code == 201, done.content
    assert done.json() == client.get("/api/v1/session").json()
    assert done.json()["person"] == "p-g"
    assert verify.chain("veshmere") == refold.differences("veshmere") == []
    # What came is in the book now, and lies beside it no more.
    assert client.get(f"{AT}/{ident}").status_code == 404


def test_a_file_that_was_not_sent_whole_is_no_book(content: bytes) -> None:
    client = Client()
    ident: str = post(client, "", {"size": len(content)}).json()["id"]
    put(client, ident, 0, content[:-100])
    answer = client.get(f"{AT}/{ident}")
    assert (answer.status_code, answer.json()["code"]) == (422, "book_file_unreadable")
    assert post(client, f"/{ident}", ASKED).status_code == 422
    assert nurseries.every() == []
    assert not Account.objects.exists()


def altered(content: bytes) -> bytes:
    """Return the file with one byte of its feed changed."""
    at = content.index(b"feed.jsonl") + 400
    return content[:at] + bytes([content[at] ^ 1]) + content[at + 1 :]


WRONG = {
    "no zip": (lambda _: b"no book at all", "book_file_unreadable"),
    "one byte changed": (altered, "book_file_altered"),
    "cut off": (lambda content: content[: len(content) // 2], "book_file_unreadable"),
}


@pytest.mark.parametrize(("change", "code"), WRONG.values(), ids=WRONG.keys())
def test_what_is_no_sound_book_is_told_and_nothing_is_written(
    content: bytes, change: Any, code: str
) -> None:
    client = Client()
    ident = sent(client, change(content), slices=1)
    for answer in (client.get(f"{AT}/{ident}"), post(client, f"/{ident}", ASKED)):
        assert (answer.status_code, answer.json()["code"]) == (422, code)
        assert code != "book_file_unreadable" or answer.json()["params"] == {"value": "copy.zip"}
    assert nurseries.every() == []


def test_an_account_that_cannot_be_leaves_the_server_empty(content: bytes) -> None:
    client = Client()
    ident = sent(client, content)
    weak = post(client, f"/{ident}", {**ASKED, "password": "short"})
    assert (weak.status_code, weak.json()["code"]) == (422, "password_short")
    assert nurseries.every() == []
    assert post(client, f"/{ident}", ASKED).status_code == 201


def test_slices_that_do_not_go_on_are_turned_down(
    content: bytes, monkeypatch: pytest.MonkeyPatch
) -> None:
    client = Client()
    ident: str = post(client, "", {"size": 10}).json()["id"]
    assert put(client, ident, 0, b"12345").json()["came"] == 5
    for at, piece in ((0, b"12345"), (7, b"8"), (5, b"more than is left")):
        answer = put(client, ident, at, piece)
        assert (answer.status_code, answer.json()["code"]) == (409, "book_slice_differs")
    monkeypatch.setattr(api, "MOST_SLICE", 3)
    assert put(client, ident, 5, b"12345").status_code == 409
    assert put(client, ident, 5, b"678").json()["came"] == 8


def test_a_second_file_takes_the_place_of_the_first(content: bytes) -> None:
    client = Client()
    first = sent(client, content)
    second = sent(client, content)
    assert client.get(f"{AT}/{first}").status_code == 404
    assert client.get(f"{AT}/{second}").status_code == 200
    assert client.get(f"{AT}/..").status_code == 404


def test_a_file_that_does_not_fit_on_the_disk_is_told_before_it_comes(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(shutil, "disk_usage", lambda _: shutil._ntuple_diskusage(1, 1, 1))
    answer = post(Client(), "", {"size": 100})
    assert (answer.status_code, answer.json()["code"]) == (507, "book_no_room")
    assert post(Client(), "", {"size": 0}).status_code == 400


def test_nobody_from_elsewhere_sends_a_book() -> None:
    far = Client(REMOTE_ADDR="8.8.4.4")
    for answer in (post(far, "", {"size": 5}), far.get(f"{AT}/x"), put(far, "x", 0, b"1")):
        assert (answer.status_code, answer.json()["code"]) == (403, "begin_at_the_server")
    assert post(far, "/x", ASKED).status_code == 403


def test_once_there_is_a_nursery_no_book_comes_by_this_door(cast: Cast, content: bytes) -> None:
    answer = post(cast.grower, "", {"size": len(content)})
    assert (answer.status_code, answer.json()["code"]) == (409, "nursery_there")
    assert post(cast.nobody, "/" + "a" * 32, ASKED).status_code == 409
