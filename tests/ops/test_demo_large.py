"""The large invented book: the same each time, valid in every line, open on every sheet."""

import io
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from itertools import pairwise
from typing import Any

import orjson
import pytest
from django.core.management import CommandError, call_command
from django.test import Client

from nursery.domain import kinds
from nursery.ops.large import act, frame, grown, telling
from nursery.ops.large.size import LIMITS, Size, SizeImpossible
from nursery.services import clock, in_bulk, nurseries
from nursery.services.in_bulk import NotAnEntry, Pushed, RowTyped
from nursery.store.models import FeedRow, HeadRow, InstallRow, NurseryRow, SubjectRow
from tests import books

SMALL = Size(entries=2000, nurseries=2, years=3, seed=11)
# With a suspicion, its hold and its lift.
SORTS = Size(entries=6000, nurseries=1, years=2, seed=7)
ONE = Size(entries=400, nurseries=1, years=2, seed=5)


def made(*words: str, **options: object) -> str:
    out = io.StringIO()
    call_command("demo", *words, **options, stdout=out)
    return out.getvalue()


def told(size: Size, number: int = 0) -> list[Pushed | RowTyped]:
    return list(telling.told(size, number))


def entries(size: Size, number: int = 0) -> Iterator[dict[str, Any]]:
    for one in telling.told(size, number):
        if isinstance(one, Pushed):
            yield from map(orjson.loads, one.texts)


# What is told, before anything is written


def test_a_seed_tells_the_same_book_byte_for_byte_and_another_seed_another() -> None:
    assert told(ONE) == told(ONE)
    assert told(ONE) != told(replace(ONE, seed=6))


@pytest.mark.parametrize("size", [Size(1, 1, 1, 0), Size(7, 3, 2, 1), ONE, SMALL])
def test_there_are_as_many_entries_as_asked_for(size: Size) -> None:
    counts = [sum(1 for _ in entries(size, number)) for number in range(size.nurseries)]
    assert sum(counts) == size.entries
    assert counts == [size.share(number) for number in range(size.nurseries)]


def test_every_body_can_be_read_and_no_id_is_borne_twice() -> None:
    some = list(entries(SORTS))
    unread = [
        one["kind"]
        for one in some
        if isinstance(kinds.read(one["kind"], one["v"], one["body"]), kinds.common.Unread)
    ]
    assert unread == []
    assert max(Counter(one["id"] for one in some).values()) == 1


def test_work_of_every_sort_is_in_it() -> None:
    found = {one["kind"] for one in entries(SORTS)}
    assert found >= {
        "received", "sown", "emerged", "pricked", "stuck", "rooted", "counted", "looked", "found",
        "lost", "photographed", "sampled", "resulted", "ordered", "inspected", "released", "moved",
        "potted", "stepped", "graded", "carried", "planted", "surveyed", "refilled", "sent",
        "noted", "entered", "left", "trapped", "watered", "read", "measured", "withdrawn",
    }  # fmt: skip


def test_each_phone_numbers_without_holes_and_nothing_comes_before_it_was_written() -> None:
    numbers: dict[str, list[int]] = {}
    coming = []
    for one in told(SMALL):
        coming.append(one.at)
        for entry in map(orjson.loads, one.texts if isinstance(one, Pushed) else ()):
            numbers.setdefault(entry["install"], []).append(entry["n"])
            assert entry["occurred_at"] <= f"{one.at:%Y-%m-%dT%H:%M:%S.999Z}"
    assert len(numbers) > 1
    assert all(some == list(range(1, len(some) + 1)) for some in numbers.values())
    pushes = [one for one in told(SMALL) if isinstance(one, Pushed)]
    assert all(len(push.texts) <= 200 for push in pushes)
    assert all(a.at <= b.at for a, b in pairwise(pushes))


def test_a_correction_names_a_record_of_the_book() -> None:
    some = list(entries(SORTS))
    ids = {one["id"] for one in some}
    named = [one["corrects"] for one in some if one["corrects"]]
    assert len(named) > 10
    assert set(named) <= ids


@pytest.mark.parametrize(
    ("ready", "planted"),
    [
        (date(2031, 3, 5), date(2031, 3, 5)),
        (date(2031, 3, 29), date(2031, 3, 31)),
        (date(2031, 4, 1), date(2031, 10, 1)),
        (date(2031, 11, 15), date(2032, 3, 1)),
    ],
)
def test_plants_go_out_on_working_days_of_planting_weeks(ready: date, planted: date) -> None:
    assert grown.planting_day(ready) == planted


@pytest.mark.parametrize("name", LIMITS)
def test_a_figure_that_cannot_be_is_named_with_what_it_may_be(name: str) -> None:
    least, most = LIMITS[name]
    for wrong in (least - 1, most + 1):
        with pytest.raises(SizeImpossible, match=f"--{name} {wrong} cannot be.*{least} to {most}"):
            Size(**{name: wrong})


# Written


@pytest.mark.django_db
def test_a_book_is_written_whole_holds_and_is_the_same_each_time() -> None:
    said = made("--large", "--entries", "2000", "--nurseries", "2", "--years", "3", "--seed", "11")
    assert "2000 entries, seed 11" in said
    assert frame.PIN in said
    names = nurseries.every()
    assert FeedRow.objects.filter(type=FeedRow.ENTRY).count() == SMALL.entries
    assert books.faults() == []
    assert not SubjectRow.objects.exclude(stale_from=None).exists()
    for row in InstallRow.objects.all():
        of = FeedRow.objects.filter(nursery_id=row.nursery_id, install=row.ident)
        assert (row.n_max, row.n_missing) == (of.count(), [])
    chains = list(HeadRow.objects.order_by("pk").values_list("chain", flat=True))
    for number, chain in enumerate(chains):
        again = f"again-{number}"
        nurseries.begin(again, "Again", act.ZONE)
        in_bulk.write(again, telling.told(SMALL, number))
        assert HeadRow.objects.get(nursery__ident=again).chain == chain
    assert all(NurseryRow.objects.get(ident=name).demo for name in names)


@pytest.mark.django_db
def test_every_sheet_of_it_opens() -> None:
    made("--large", "--entries", "1000", "--nurseries", "1", "--years", "1", "--seed", "2")
    (name,) = nurseries.every()
    until = FeedRow.objects.latest("seq").received_at
    with clock.kept():
        clock.start_at(until)
        client = Client(SERVER_NAME="localhost")
        client.login(email=f"grower@{name}.example", password=frame.PASSWORD)
        answers = {at: client.get(f"/api/v1/{at}").status_code for at in _sheets()}
    assert {at: code for at, code in answers.items() if code != 200} == {}


def _sheets() -> Iterator[str]:
    yield from (
        "batches", "places", "consignments", "due", "planting", "planting/levels", "doubts",
        "needs-a-look", "devices", "season", "people/papers", "access", "trace/drills", "weather",
        "labels/holds", "forms/mcpd.csv",
    )  # fmt: skip
    for row in SubjectRow.objects.filter(type=SubjectRow.BATCH).order_by("ident")[:6]:
        yield f"batches/{row.ident}"
        yield f"batches/{row.ident}/photos"
        yield f"trace?of=batch:{row.ident}"
        yield f"may?act=moving&subject={row.ident}"
    for row in SubjectRow.objects.filter(type=SubjectRow.PLACE, ident__contains="room"):
        yield f"places/{row.ident}"
    for of in ("consignment", "layout"):
        ident = FeedRow.objects.filter(type=FeedRow.ROW, what=of).values_list("ident", flat=True)[0]
        at = {"consignment": ("consignments/{}/file",), "layout": BLOCK}[of]
        yield from (one.format(ident) for one in at)


BLOCK = ("blocks/{}/standing", "blocks/{}/positions.csv", "blocks/{}/pressure")


@pytest.mark.django_db
def test_it_is_written_into_an_empty_book_alone() -> None:
    nurseries.begin("ours", "Our Nursery", "Etc/GMT-10")
    with pytest.raises(CommandError, match=r"holds ours.*Name another folder"):
        made("--large", "--entries", "10")
    assert nurseries.every() == ["ours"]


@pytest.mark.django_db
def test_no_story_is_told_into_it() -> None:
    made("--large", "--entries", "10", "--nurseries", "1")
    with pytest.raises(CommandError, match="into which no story is told"):
        made(day=1)
    assert made(day=1, once=True) == ""
    assert len(nurseries.every()) == 1


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--entries", "5"), "--entries goes with --large"),
        (("--seed", "0"), "--seed goes with --large"),
        (("--large", "--day", "0"), "--day is of the demo's story"),
        (("--large", "--once"), "--once is of the demo's story"),
        (("--large", "--url", "http://localhost"), "--url is of the demo's story"),
        (("--large", "--years", "0"), "--years 0 cannot be. Choose a number from 1 to 40"),
        (("--large", "--entries", "many"), "invalid int value: 'many'"),
    ],
)
def test_options_that_do_not_go_together_or_cannot_be_are_told(
    words: tuple[str, ...], says: str
) -> None:
    with pytest.raises(CommandError, match=says):
        made(*words)


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("text", "why"),
    [("{}", "unreadable"), ('{"id": "x"}', "unreadable")],
)
def test_a_text_that_no_phone_writes_is_none_of_a_book(text: str, why: str) -> None:
    nurseries.begin("ours", "Ours", act.ZONE)
    push = Pushed("d-1", "i-1", [text], act.instant(act.BEGINS, 0))
    with pytest.raises(NotAnEntry, match=why):
        in_bulk.write("ours", [push])
    assert not FeedRow.objects.exists()


@pytest.mark.django_db
def test_a_row_that_is_typed_again_is_its_next_revision() -> None:
    nurseries.begin("ours", "Ours", act.ZONE)
    at = act.instant(act.BEGINS, 0)
    rows = [RowTyped("place", "r-1", {"name": f"Room {n}", "kind": "room"}, at) for n in range(3)]
    heard: list[int] = []
    written = in_bulk.write("ours", rows, heard.append)
    assert (written.entries, written.until, heard) == (0, at, [0])
    assert list(FeedRow.objects.order_by("seq").values_list("rev", flat=True)) == [1, 2, 3]
    assert books.faults() == []
