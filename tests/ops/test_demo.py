"""The demo's command: told once, told again, never into a book of somebody's own, and over HTTP."""

import io
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

from nursery.ops.demo import days, frame, pictures
from nursery.ops.demo.play import ids_of
from nursery.services import clock, demo, nurseries, phones
from nursery.store.models import FeedRow
from tests import books
from tests.product import answer, running, wait_until
from tests.servers import free_port


def told(*words: str, **options: object) -> str:
    out = io.StringIO()
    call_command("demo", *words, **options, stdout=out)
    return out.getvalue()


@pytest.mark.django_db
def test_telling_it_twice_changes_nothing() -> None:
    records = len(ids_of(days.up_to(1)))
    assert f"day 1: {records} stored" in told(day=1)
    lines = FeedRow.objects.count()
    assert f"day 1: {records} known" in told(day=1)
    assert FeedRow.objects.count() == lines
    assert books.faults() == []


@pytest.mark.django_db
def test_a_later_day_goes_on_from_an_earlier_one() -> None:
    told(day=1)
    said = told(day=2)
    assert "known" in said
    assert "stored" in said
    assert "told up to day 2 already" in told(day=1)


@pytest.mark.django_db
def test_once_is_quiet_and_does_nothing_the_second_time() -> None:
    assert told(day=1, once=True) == ""
    devices = len(phones.every(demo.NURSERY, clock.now()))
    assert told(day=1, once=True) == ""
    assert len(phones.every(demo.NURSERY, clock.now())) == devices


@pytest.mark.django_db
def test_it_is_never_told_into_a_book_of_somebodys_own() -> None:
    nurseries.begin("ours", "Our Nursery", "Etc/GMT-10")
    with pytest.raises(CommandError, match="This book holds Our Nursery"):
        told(day=1)
    assert nurseries.every() == ["ours"]


@pytest.mark.django_db
def test_the_clock_is_set_right_afterwards() -> None:
    before = clock.now()
    told(day=1)
    assert abs((clock.now() - before).total_seconds()) < 600


def test_nobody_at_the_address_is_said_in_words() -> None:
    with pytest.raises(CommandError, match="does not answer"):
        told(day=1, url=f"http://127.0.0.1:{free_port()}")


@pytest.mark.parametrize("day", sorted(demo.EVENINGS))
def test_a_day_is_over_by_its_evening(day: int) -> None:
    steps = [one.instant(step) for one in days.up_to(day) for step in one.steps]
    assert max(steps) <= demo.EVENINGS[day]
    assert demo.day_told_by(demo.EVENINGS[day]) == day


def test_the_day_between_two_goes_by_its_own_name_and_no_other_day_is_made_up() -> None:
    assert [demo.day_named(demo.name_of(day)) for day in demo.EVENINGS] == list(demo.EVENINGS)
    assert demo.name_of(4.5) == "4b"
    with pytest.raises(CommandError, match="the story has no day 11; it has 0, 1, 2, 3, 4, 4b, 5"):
        told("--day", "11")


def test_the_demo_opens_on_an_evening_of_its_story() -> None:
    assert demo.day_told_by(demo.opens_at()) == demo.OPENS_ON


def test_every_id_is_worked_out_and_none_twice() -> None:
    ids = ids_of(days.DAYS)
    assert ids == ids_of(days.DAYS)
    assert len(set(ids)) == len(ids)


def test_pins_are_told_and_kept_as_hashes_alone() -> None:
    lines = "\n".join(demo.people_and_pins())
    for one in demo.PEOPLE:
        assert one.name in lines
        assert one.pin in lines
    assert all("pin" not in person for person in frame.rows()["person"].values())


def test_a_picture_is_the_same_each_time_and_is_a_picture() -> None:
    assert pictures.png("a") == pictures.png("a") != pictures.png("b")
    assert pictures.png("a")[:8] == b"\x89PNG\r\n\x1a\n"


@pytest.mark.parametrize(("clock_at", "stored"), [("2031-03-03T08:00:00+00:00", True), ("", False)])
def test_over_http_the_server_needs_a_clock_that_has_come_so_far(
    empty_place: dict[str, str], tmp_path: Path, clock_at: str, stored: bool
) -> None:
    environment = {
        **empty_place,
        "NURSERY_DEMO": "yes",
        "NURSERY_CLOCK": "2031-02-28T00:00:00+00:00",
    }
    port = free_port()
    with running(environment, tmp_path / "begin", "demo", "--day", "1") as first:
        assert first.process.wait(120) == 0, first.said()
    if clock_at:
        environment["NURSERY_CLOCK"] = clock_at
    with running(environment, tmp_path / "web", "web", "--port", str(port)) as web:
        address = f"http://127.0.0.1:{port}"
        wait_until(lambda: answer(f"{address}/healthz")[0] == 200, why=web.said())
        with running(environment, tmp_path / "tell", "demo", "--day", "1", "--url", address) as two:
            code = two.process.wait(120)
        said = two.said()
    assert (code == 0) is stored
    assert ("known" if stored else "clock says 2031-02-28") in said
