"""A book that is taken away and brought in is the same book, line by line and fold by fold."""

import hashlib
import json
import zipfile
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import orjson
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from nursery.paper import export
from nursery.services import (
    book_file,
    bring_in,
    feed,
    kept_photos,
    log,
    marks,
    nurseries,
    refold,
    rows,
    signing,
    verify,
)
from nursery.services.book_file import BookFileUnfit
from nursery.services.errors import EmailUnreadable, NurseryThere, PasswordWeak
from nursery.services.feed import Draft
from nursery.services.installs import Outbox
from nursery.services.rows import Row
from nursery.store.models import (
    Account,
    DeviceRow,
    FeedRow,
    InstallRow,
    NurseryRow,
    WeatherSeriesRow,
    WeatherYearRow,
)
from nursery.store.scope import scope
from tests.examples import examples
from tests.phone import Writer

NOW = datetime(2031, 3, 3, 2, tzinfo=UTC)
PHOTO = b"\xff\xd8 the bytes of a picture"
ODD = "=1+1 \U0001f331 á \u2028 \\\" \t <b> 'x'"


@pytest.fixture(autouse=True)
def signing_key(settings: Any, tmp_path: Path) -> None:
    settings.SIGNING_KEYS = ["a secret of this test"]
    settings.PHOTOS = tmp_path / "photos"
    settings.DATA = tmp_path


class House:
    """A small nursery with something odd of every sort in its book."""

    def __init__(self) -> None:
        nurseries.begin("veshmere", "Veshmere Terraces", "Etc/GMT-10")
        self.writer = Writer("a")
        who = {"name": "Ilsa", "role": "grower", "language": "es"}
        who |= {"pin_hash": "f" * 64, "pin_salt": "salt"}
        for kind, ident, body in (
            ("nursery", "veshmere", {"name": "Veshmere Terraces", "zone": "Etc/GMT-10"}),
            ("person", "p-g", who),
            ("place", "room", {"name": "Room", "kind": "room"}),
            ("place", "room", {"name": ODD, "kind": "room"}),
            ("crop", "lime", {"name": "Lime"}),
        ):
            rows.put("veshmere", Row(kind, ident, None, body), NOW)
        rows.remove("veshmere", "crop", "lime", NOW)

    def write(self, kind: str, about: list[str], body: dict[str, Any], **more: Any) -> str:
        text = self.writer.write(kind, about, body, more.pop("at", NOW), **more)
        self.send(text)
        ident: str = json.loads(text)["id"]
        return ident

    def send(self, *texts: str) -> None:
        log.receive("veshmere", Outbox("i-a", "d-a", n_max=self.writer.n), list(texts), NOW)

    def live(self) -> None:
        new = [{"id": "b-1", "label": "T1", "place": "room"}]
        self.write("received", ["b-1"], {"consignment": "c-1", "batches": new})
        counted = self.write("counted", ["b-1"], {"method": "full", "alive": 54})
        self.write("counted", ["b-1"], {"method": "full", "alive": 53}, corrects=counted)
        self.write("looked", ["b-2"], {"answer": "nothing"}, v=99)  # of a newer version
        self.write("lost", ["b-1"], {"count": 1, "fate": "died", "cause": ODD})
        digest = kept_photos.keep("veshmere", PHOTO)
        picture = {"photo": "ph-1", "sha256": digest, "width": 3, "height": 2}
        self.write("photographed", ["b-1"], picture)
        blanked(self.write("noted", ["b-1", "room"], {"text": "to be forgotten"}))
        self.write("counted", ["b-3"], {"method": "full", "alive": 1}, at=NOW + timedelta(days=9))
        late = NOW + timedelta(days=2)
        self.write("counted", ["b-4"], {"method": "full", "alive": 2}, at=late)
        marks.release_due("veshmere", late)
        self.send('{"none": "of ours", "n": 77}', "\ud7ff {", 'line\r\nbreak "=1"')


def blanked(ident: str) -> None:
    """Take a note's words away, and say in the feed that they were: as erasing does."""
    text = orjson.dumps({"why": "asked"}).decode()
    with scope("veshmere", write=True) as book:
        head = book.lock_head()
        book.entries.filter(ident=ident).update(text="")
        feed.add(book, head, Draft(FeedRow.MARK, marks.ERASED, ident, 0, text), NOW)
    refold.everything("veshmere")


@pytest.fixture
def house(transactional_db: None) -> House:
    house = House()
    house.live()
    return house


def states(nursery: str) -> dict[tuple[str, str], str]:
    with scope(nursery) as book:
        found = book.subjects.values_list("type", "ident", "state")
        return {(kind, ident): state for kind, ident, state in found}


def feed_of(file: Path) -> bytes:
    with zipfile.ZipFile(file) as pack:
        return pack.read(book_file.FEED)


def taken(tmp_path: Path, name: str = "book.zip") -> Path:
    file = tmp_path / name
    export.make("veshmere", file, NOW)
    return file


def test_the_same_folds_byte_for_byte_and_the_same_chain(house: House, tmp_path: Path) -> None:
    file = taken(tmp_path)
    done = bring_in.bring_in(file, "Second House", NOW)
    assert (done.ident, done.left_out, done.lost, done.photos) == ("second-house", (), (), 1)
    assert states("second-house") == states("veshmere") != {}
    columns = ("type", "ident", "rev", "seq", "text", "gone")
    with scope("veshmere") as book:
        first = book.head
        rows_of_first = [*book.refs.order_by("type", "ident").values_list(*columns)]
    with scope("second-house") as second:
        assert (first.last_seq, first.chain) == (second.head.last_seq, second.head.chain)
        assert first.epoch != second.head.epoch
        assert [*second.refs.order_by("type", "ident").values_list(*columns)] == rows_of_first
        assert second.nursery.name == "Veshmere Terraces"
    assert verify.chain("second-house") == refold.differences("second-house") == []
    export.make("second-house", tmp_path / "again.zip", NOW)
    assert feed_of(tmp_path / "again.zip") == feed_of(file)
    assert kept_photos.read("second-house", hashlib.sha256(PHOTO).hexdigest()) == PHOTO


def test_what_nobody_could_read_comes_along_byte_for_byte(house: House, tmp_path: Path) -> None:
    bring_in.bring_in(taken(tmp_path), "two", NOW)
    columns = ("ident", "raw", "hash", "code", "field", "install", "device", "received_at")

    def kept(nursery: str) -> list[tuple[Any, ...]]:
        with scope(nursery) as book:
            rows = book.kept_raw.order_by("hash").values_list(*columns)
            return [tuple(bytes(v) if n == 1 else v for n, v in enumerate(r)) for r in rows]

    assert kept("two") == kept("veshmere") != []


def test_what_waits_for_its_day_still_waits(house: House, tmp_path: Path) -> None:
    bring_in.bring_in(taken(tmp_path), "two", NOW)
    assert ("batch", "b-3") not in states("two")
    marks.release_due("two", NOW + timedelta(days=10))
    marks.release_due("veshmere", NOW + timedelta(days=10))
    assert states("two") == states("veshmere")


def test_phones_come_as_names_alone_and_are_shut_out(house: House, tmp_path: Path) -> None:
    with scope("veshmere", write=True) as book:
        DeviceRow.objects.create(
            nursery_id=book.key, ident="d-a", name="blue", secret_hash="5" * 64, joined_at=NOW
        )
    file = taken(tmp_path)
    with zipfile.ZipFile(file) as pack:
        assert all(b"5" * 64 not in pack.read(name) for name in pack.namelist())
    bring_in.bring_in(file, "two", NOW)
    phone = DeviceRow.objects.get(nursery__ident="two")
    assert (phone.name, phone.revoked_at) == ("blue", NOW)
    numbers = InstallRow.objects.filter(ident="i-a").values_list("n_max", "n_missing")
    assert len({repr(one) for one in numbers}) == 1
    assert numbers.count() == 2


def test_the_weather_comes_along(house: House, tmp_path: Path) -> None:
    with scope("veshmere", write=True) as book:
        own = {"nursery_id": book.key, "ident": "own", "name": ODD, "source": "gauge"}
        WeatherSeriesRow.objects.create(**own, taken_at=NOW, taken_by="p-g")
        text = '{"low_c": [10.5, null]}'
        WeatherYearRow.objects.create(nursery_id=book.key, series="own", year=2030, text=text)
    bring_in.bring_in(taken(tmp_path), "two", NOW)
    years = WeatherYearRow.objects.values_list("series", "year", "text")
    assert len(years) == 2
    assert len(set(years)) == 1


def test_a_grower_signs_in_to_what_came(house: House, tmp_path: Path) -> None:
    given = bring_in.Account("ilsa@veshmere.example", "laths-let-half-the-sun-in")
    bring_in.bring_in(taken(tmp_path), "two", NOW, given)
    account = Account.objects.get()
    part = account.membershiprow_set.get()
    assert (account.language, part.role, part.person) == ("es", "grower", "p-g")


@pytest.mark.parametrize(
    ("account", "why"),
    [
        (bring_in.Account("nobody", "laths-let-half-the-sun-in"), EmailUnreadable),
        (bring_in.Account("a@b.example", "short"), PasswordWeak),
    ],
)
def test_nothing_comes_in_for_somebody_who_could_not_sign_in(
    house: House, tmp_path: Path, account: bring_in.Account, why: type[Exception]
) -> None:
    with pytest.raises(why):
        bring_in.bring_in(taken(tmp_path), "two", NOW, account)
    assert NurseryRow.objects.count() == 1


@pytest.mark.parametrize("called", [None, "Veshmere"])
def test_a_nursery_that_is_there_is_left_alone(
    house: House, tmp_path: Path, called: str | None
) -> None:
    with pytest.raises(NurseryThere):
        bring_in.bring_in(taken(tmp_path), called, NOW)


def resigned(file: Path, change: Callable[[dict[str, bytes]], None]) -> Path:
    """Change members as somebody could who also signs, with a key of their own."""
    with zipfile.ZipFile(file) as pack:
        held = {name: pack.read(name) for name in pack.namelist()}
    change(held)
    listed = {
        name: {"sha256": hashlib.sha256(content).hexdigest(), "bytes": len(content)}
        for name, content in held.items()
        if name not in (book_file.MANIFEST, book_file.SIGNATURE)
    }
    manifest = orjson.dumps({**orjson.loads(held[book_file.MANIFEST]), "members": listed})
    signer = signing.of("somebody")
    signed = {"key": signer.public, "signature": signer.sign(manifest.decode())}
    held |= {book_file.MANIFEST: manifest, book_file.SIGNATURE: orjson.dumps(signed)}
    return packed(file, held)


def packed(file: Path, held: dict[str, bytes], **more: Any) -> Path:
    out = file.with_name("changed.zip")
    with zipfile.ZipFile(out, "w", **more) as pack:
        for name, content in held.items():
            pack.writestr(name, content)
    return out


def line_changed(number: int, /, **change: Any) -> Callable[[dict[str, bytes]], None]:
    def change_it(held: dict[str, bytes]) -> None:
        lines = held[book_file.FEED].splitlines(keepends=True)
        told = orjson.loads(lines[number - 1]) | change
        lines[number - 1] = orjson.dumps(told) + b"\n"
        held[book_file.FEED] = b"".join(lines)

    return change_it


def line_gone(number: int) -> Callable[[dict[str, bytes]], None]:
    def take_it(held: dict[str, bytes]) -> None:
        lines = held[book_file.FEED].splitlines(keepends=True)
        del lines[number - 1]
        held[book_file.FEED] = b"".join(lines)

    return take_it


def torn(held: dict[str, bytes]) -> None:
    held[book_file.FEED] = held[book_file.FEED][:-9]


@pytest.mark.parametrize(
    ("change", "line", "why"),
    [
        (line_changed(3, text='{"name": "Hall"}'), 3, "text is not the one"),
        (line_changed(8, link="0" * 64), 8, "link does not rest"),
        (line_changed(8, number=9), 8, "line 8 is missing"),
        (line_changed(8, install="i-other"), 8, "not entered as"),
        (line_changed(3, text="a\0b"), 3, "cannot be read (text)"),
        (line_changed(3, id="x" * 65), 3, "cannot be read (id)"),
        (line_changed(3, revision=-1), 3, "cannot be read (revision)"),
        (line_changed(3, received_at="yesterday"), 3, "cannot be read"),
        (line_gone(5), 5, "line 5 is missing"),
        (torn, None, "no whole line"),
    ],
)
def test_a_line_that_was_changed_is_named_and_nothing_comes_in(
    house: House, tmp_path: Path, change: Callable[..., None], line: int | None, why: str
) -> None:
    file = resigned(taken(tmp_path), change)
    with pytest.raises(BookFileUnfit) as refused:
        bring_in.bring_in(file, "two", NOW)
    said = refused.value.params
    assert said["value"] == book_file.FEED
    assert why in said["why"]
    assert line is None or said["line"] == line
    assert NurseryRow.objects.count() == 1
    assert not kept_photos.has("two", hashlib.sha256(PHOTO).hexdigest())


def test_a_feed_that_was_cut_at_its_end_is_told(house: House, tmp_path: Path) -> None:
    with scope("veshmere") as book:
        last = book.head.last_seq
    with pytest.raises(BookFileUnfit) as refused:
        bring_in.bring_in(resigned(taken(tmp_path), line_gone(last)), "two", NOW)
    assert refused.value.params["why"] == "lines are missing after it"


def changed(name: str, content: bytes) -> Callable[[dict[str, bytes]], None]:
    return lambda held: held.update({name: content})


@pytest.mark.parametrize(
    ("change", "code", "value"),
    [
        (changed(book_file.FEED, b"{}\n"), "book_file_altered", book_file.FEED),
        (changed(book_file.MANIFEST, b"{}"), "book_file_altered", book_file.MANIFEST),
        (changed(book_file.SIGNATURE, b"{}"), "book_file_altered", book_file.MANIFEST),
        (changed("../outside", b"x"), "book_file_foreign", "../outside"),
        (changed("/etc/passwd", b"x"), "book_file_foreign", "/etc/passwd"),
        (changed("tables/unlisted.csv", b"x"), "book_file_foreign", "tables/unlisted.csv"),
        (lambda held: held.pop(book_file.RAW), "book_file_lacks", book_file.RAW),
        (lambda held: held.pop(book_file.SIGNATURE), "book_file_lacks", book_file.SIGNATURE),
    ],
)
def test_a_member_that_is_not_as_written_is_named(
    house: House, tmp_path: Path, change: Callable[..., None], code: str, value: str
) -> None:
    file = taken(tmp_path)
    with zipfile.ZipFile(file) as pack:
        held = {name: pack.read(name) for name in pack.namelist()}
    change(held)
    with pytest.raises(BookFileUnfit) as refused:
        bring_in.bring_in(packed(file, held), "two", NOW)
    assert (refused.value.code, refused.value.params["value"]) == (code, value)
    assert NurseryRow.objects.count() == 1


def test_a_member_that_swells_is_turned_down_unread(house: House, tmp_path: Path) -> None:
    file = taken(tmp_path)
    with zipfile.ZipFile(file) as pack:
        held = {name: pack.read(name) for name in pack.namelist()}
    held[book_file.WEATHER] = bytes(300_000_000)
    swollen = packed(file, held, compression=zipfile.ZIP_DEFLATED)
    assert swollen.stat().st_size < 1_000_000
    with pytest.raises(BookFileUnfit) as refused:
        bring_in.bring_in(swollen, "two", NOW)
    assert refused.value.params == {"value": book_file.WEATHER}


def test_a_file_of_a_later_form_asks_for_an_update(house: House, tmp_path: Path) -> None:
    def later(held: dict[str, bytes]) -> None:
        manifest = orjson.loads(held[book_file.MANIFEST]) | {"format": "book 2"}
        held[book_file.MANIFEST] = orjson.dumps(manifest)

    with pytest.raises(BookFileUnfit) as refused:
        bring_in.bring_in(resigned(taken(tmp_path), later), "two", NOW)
    assert refused.value.code == "book_file_newer"


@pytest.mark.parametrize("share", [0.0, 0.3, 0.99])
def test_a_file_that_was_cut_is_no_file_of_a_book(
    house: House, tmp_path: Path, share: float
) -> None:
    file = taken(tmp_path)
    whole = file.read_bytes()
    file.write_bytes(whole[: int(len(whole) * share)])
    with pytest.raises(BookFileUnfit) as refused:
        bring_in.bring_in(file, "two", NOW)
    assert refused.value.code == "book_file_unreadable"


def test_a_photo_that_is_another_is_left_out_and_told(house: House, tmp_path: Path) -> None:
    digest = hashlib.sha256(PHOTO).hexdigest()
    change = changed(book_file.PHOTOS + digest, b"another")
    done = bring_in.bring_in(resigned(taken(tmp_path), change), "two", NOW)
    assert (done.left_out, done.photos) == ((digest,), 0)
    assert not kept_photos.has("two", digest)


def test_a_photo_that_is_listed_and_not_there_is_told(house: House, tmp_path: Path) -> None:
    file = taken(tmp_path)
    digest = hashlib.sha256(PHOTO).hexdigest()
    with zipfile.ZipFile(file) as pack:
        held = {name: pack.read(name) for name in pack.namelist()}
    del held[book_file.PHOTOS + digest]
    done = bring_in.bring_in(packed(file, held), "two", NOW)
    assert (done.lost, done.photos) == ((digest,), 0)


def test_a_photo_that_went_bad_in_the_office_is_not_taken_along(
    house: House, tmp_path: Path
) -> None:
    digest = hashlib.sha256(PHOTO).hexdigest()
    (tmp_path / "photos" / "veshmere" / digest).write_bytes(b"rust")
    with zipfile.ZipFile(taken(tmp_path)) as pack:
        assert book_file.PHOTOS + digest not in pack.namelist()


def test_one_byte_changed_anywhere_is_found(house: House, tmp_path: Path) -> None:
    file = taken(tmp_path)
    with zipfile.ZipFile(file) as pack:
        held = {name: pack.read(name) for name in pack.namelist()}
    for name in (book_file.SETTINGS, book_file.FEED, book_file.RAW, book_file.PHONES):
        content = bytearray(held[name])
        content[len(content) // 2] ^= 1
        with pytest.raises(BookFileUnfit) as refused:
            bring_in.bring_in(packed(file, held | {name: bytes(content)}), "two", NOW)
        assert refused.value.params["value"] == name


WORDS = st.text(st.characters(codec="utf-8"), max_size=40)


@pytest.fixture
def empty(transactional_db: None) -> House:
    return House()


@given(told=st.lists(st.tuples(WORDS, st.integers(0, 9), st.booleans()), min_size=1, max_size=6))
@settings(
    max_examples=examples(15, long=300),
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
def test_any_words_come_back_as_they_were_written(
    empty: House, tmp_path: Path, told: list[tuple[str, int, bool]]
) -> None:
    for text, batch, erase in told:
        ident = empty.write("noted", [f"b-{batch}"], {"text": text})
        if erase:
            blanked(ident)
        empty.send(text)
    name = f"n{NurseryRow.objects.count()}"
    file = tmp_path / f"{name}.zip"
    export.make("veshmere", file, NOW)
    bring_in.bring_in(file, name, NOW)
    assert states(name) == states("veshmere")
    assert verify.chain(name) == []

    def kept(nursery: str) -> tuple[list[Any], set[str]]:
        with scope(nursery) as book:
            lines = [*book.feed.order_by("seq").values_list("text", "hash", "link")]
            return lines, {*book.kept_raw.values_list("hash", flat=True)}

    assert kept(name) == kept("veshmere")
