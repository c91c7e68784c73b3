"""Day 10, Monday 13 September 2032: the count after six months, and a call about the budwood."""

from collections import Counter
from collections.abc import Iterator
from typing import Any

import pytest

from nursery.domain.field import plan, survival
from nursery.domain.field.filling import filling
from nursery.domain.occupants import Field, Occupant
from nursery.domain.reference.layouts import Layout, Rule
from nursery.ops.demo import names as n
from nursery.ops.demo.play import Teller
from nursery.services import demo
from tests.story.reading import (
    Reading,
    add,
    going_on,
    record,
    standing,
    there,
    told_until,
)

pytestmark = pytest.mark.django_db

TR3, TR4, TR5 = n.TERRACES
LAST_ROW = [str(at) for at in range(61, 71)]


def gone(field: Field) -> dict[str, Occupant]:
    """The plants of the first planting that do not live, by position."""
    return {one.position: one for one in field.first if not one.lives}


def test_every_position_was_looked_at_that_morning(told: dict[str, Reading]) -> None:
    plants = told["counted"].firsts
    assert len(plants) == 214
    assert {tuple(sight.on.isoformat() for sight in one.seen) for one in plants} == {
        ("2032-09-13",)
    }  # fmt: skip


def test_of_214_live_196(told: dict[str, Reading]) -> None:
    found = survival.count(told["counted"].firsts)
    assert (found.planted, found.alive, found.gone) == (214, 196, 18)
    assert (found.dead, found.missing, found.rootstock_only) == (12, 4, 2)
    assert found.planted == found.alive + found.dead + found.missing + found.rootstock_only
    assert round(100 * found.gone / found.planted, 1) == 8.4


def test_each_terrace_has_lost_its_own(told: dict[str, Reading]) -> None:
    fields = told["counted"].fields
    lost = {name: (len(gone(field)), len(field.first)) for name, field in fields.items()}
    assert lost == {TR3: (4, 72), TR4: (5, 72), TR5: (9, 70)}
    assert round(100 * 9 / 70, 1) == 12.9


def test_the_nine_of_terrace_5_stood_in_the_row_planted_after_the_rain(
    told: dict[str, Reading],
) -> None:
    nine = gone(told["counted"].fields[TR5])
    assert set(nine) < set(LAST_ROW)
    assert {one.batch for one in nine.values()} == {n.T6}
    assert all(one.at > there("2032-03-12T14:10") for one in nine.values())
    causes = Counter(one.cause for one in nine.values())
    assert causes == {"waterlogging": 8, None: 1}


def test_the_last_row_fared_worse_than_all_others_together(told: dict[str, Reading]) -> None:
    last: list[Occupant] = []
    others: list[Occupant] = []
    for field in told["counted"].fields.values():
        for one in field.first:
            (last if one.at > there("2032-03-12T14:10") else others).append(one)
    found = survival.compare({"after the rain": last, "before": others})
    assert found is not None
    assert found.p < 0.001
    assert survival.curve(last).survival[-1] == pytest.approx(1 / 10)
    assert survival.curve(others).survival[-1] == pytest.approx(195 / 204)


def test_plants_that_are_missing_have_no_cause_and_most_others_do(
    told: dict[str, Reading],
) -> None:
    causes = survival.count(told["counted"].firsts).causes
    assert sum(causes.values()) == 18
    assert causes["unknown"] == 4


@pytest.fixture(scope="module")
def evening(story: Any, django_db_blocker: Any) -> Iterator[Teller]:
    with told_until(django_db_blocker, there("2032-09-13T18:00")) as teller:
        yield teller


@pytest.fixture
def teller(evening: Teller, django_db_blocker: Any) -> Iterator[Teller]:
    with going_on(django_db_blocker, evening) as teller:
        yield teller


def test_the_office_reads_the_same_and_the_next_count_is_due_in_march(teller: Teller) -> None:
    found = standing(teller)
    assert {name: found["first"][name] for name in ("planted", "alive", "dead", "missing")} == {
        "planted": 214, "alive": 196, "dead": 12, "missing": 4,
    }  # fmt: skip
    assert found["first"]["rootstock_only"] == 2
    assert found["curve"]["points"][-1][1] == pytest.approx(196 / 214)
    for block in found["blocks"]:
        turn = {"months": 12, "on": "2033-03-12", "due": False, "skipped": None}
        assert block["turn"] == turn
        assert block["doubts"] == block["meant"]["others"] == block["meant"]["empty"] == []


def test_of_the_reserve_two_died_and_eleven_wait(told: dict[str, Reading]) -> None:
    counted = told["counted"]
    assert {pot: alive for pot in n.POTS if (alive := counted.stock[pot]["alive"])} == {
        n.T1: 3, n.T2: 2, n.T5: 2, n.T6: 4,
    }  # fmt: skip
    assert counted.total() == 11


@pytest.mark.parametrize(("rule", "holes"), [("clusters", 9), ("all", 18), ("forest", 0)])
def test_clusters_alone_are_nine_gaps_and_an_orchard_would_fill_all(
    told: dict[str, Reading], rule: str, holes: int
) -> None:
    counted = told["counted"]
    found = []
    for terrace, field in counted.fields.items():
        layout: Layout = counted.whole.row("layout", terrace)
        assert layout.fill is Rule.CLUSTERS
        some = filling(field, plan.places(layout), Rule(rule), 0).holes
        found += [f"{terrace}/{name}" for name in some]
    assert len(found) == holes
    if rule == "clusters":
        assert found == [f"{TR5}/{name}" for name in LAST_ROW if name != "65"]


def test_october_brings_new_occupants_with_their_own_batch_and_date(
    told: dict[str, Reading],
) -> None:
    field = told["evening 10"].fields[TR5]
    new = {name: some[-1] for name, some in field.positions.items() if len(some) > 1}
    assert Counter(one.batch for one in new.values()) == {n.T1: 3, n.T6: 4}
    assert {(one.on.isoformat(), one.first) for one in new.values()} == {("2032-10-01", False)}
    assert set(new) <= set(LAST_ROW)
    assert field.doubts == ()
    for name in new:
        assert not field.positions[name][0].lives


def test_they_never_enter_the_first_plantings_survival(told: dict[str, Reading]) -> None:
    counted, october = told["counted"], told["evening 10"]
    assert survival.count(october.firsts) == survival.count(counted.firsts)
    stand = [one for field in october.fields.values() for one in field.standing.values()]
    assert survival.count(stand).alive == 196 + 7
    assert survival.curve(stand + october.firsts) != survival.curve(october.firsts)
    assert october.ledger()["planted"] == 214 + 7
    assert october.total() == 4


def counted_again(teller: Teller, reading: Reading, dead: dict[str, set[str]]) -> None:
    """Let W1 count each row: who lived in October lives, but for those named."""
    for terrace, field in reading.fields.items():
        layout: Layout = reading.whole.row("layout", terrace)
        for seat, row in plan.seats(layout).items():
            told = {at: field.standing[at] for at in plan.names(row) if at in field.standing}
            lives = {at for at, one in told.items() if one.lives} - dead.get(terrace, set())
            seen = [{"position": at, "state": "alive" if at in lives else "dead"} for at in told]
            if seen:
                body = {"block": terrace, "row": str(row.number), "seen": seen}
                look = record("surveyed", seat, **body)
                add(teller, n.ROOM_PHONE, demo.W1.id, there("2033-03-14T08:00"), look)


def test_after_twelve_months_originals_alone_are_counted(
    teller: Teller, told: dict[str, Reading]
) -> None:
    """Three that filled gaps die and ten of the first planting: survival knows of the ten."""
    dead = {
        TR3: {"1", "2", "3", "4", "6"}, TR4: {"1", "2", "3", "4"}, TR5: {"61", "62", "63", "65"},
    }  # fmt: skip
    teller.tell(there("2033-03-14T07:00"))
    before = standing(teller)
    assert {block["turn"]["months"] for block in before["blocks"] if block["turn"]["due"]} == {12}
    counted_again(teller, told["evening 10"], dead)
    found = standing(teller)
    assert (found["first"]["planted"], found["first"]["alive"]) == (214, 196 - 10)
    assert found["curve"]["until"] == 367
    assert found["curve"]["points"][-1][:2] == [367, pytest.approx((196 - 10) / 214)]
    assert (found["filled"], found["standing"]["alive"]) == (7, 196 + 7 - 10 - 3)
    assert {block["turn"] for block in found["blocks"]} == {None}


def test_half_of_the_pigeon_pea_goes_in_the_second_year(told: dict[str, Reading]) -> None:
    for terrace in n.TERRACES:
        layout: Layout = told["evening 10"].whole.row("layout", terrace)
        assert [(one.year, one.percent) for one in layout.thinnings] == [(2, 50), (3, 100)]
