"""In one's own nursery, without signal: seed is sown, comes up, is pricked out and grafted."""

import re
from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, expect

from tests.journeys import seen
from tests.journeys.hands import Hand
from tests.journeys.offices import Desk
from tests.journeys.own import SAMI, own_nursery
from tests.journeys.phones import DESK, PHONE, Phone, phone_of
from tests.journeys.test_people import refreshed

NAME = "Mango, terrace 2"
SEED = {
    "name": NAME, "crop": "mango", "source": "tree 4",
    "seeds_per_kg": 60, "grams": 4000,
}  # fmt: skip


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Desk]:
    with own_nursery(tmp_path_factory.mktemp("raised"), conditions=False) as desk:
        desk.ask("PUT", "rows/crop/mango", {"body": {"name": "Mango"}})
        desk.ask("PUT", "rows/seed_lot/mango-t2", {"body": SEED})
        yield desk


@pytest.fixture(scope="module")
def phone(browser: Browser, desk: Desk) -> Iterator[Phone]:
    found = phone_of(browser, desk, SAMI, "Bench phone")
    refreshed(found)
    found.offline()
    yield found
    assert found.faults == []
    found.context.close()


@pytest.fixture(scope="module")
def hand(phone: Phone) -> Hand:
    return Hand(phone.page, SAMI.language)


def board(hand: Hand, of: str, **figures: str) -> None:
    group = hand.page.get_by_role("group", name=hand.says(of), exact=True)
    sheet = of.split(".", maxsplit=1)[0]
    for key, typed in figures.items():
        name = re.compile(rf"^{re.escape(hand.says(f'{sheet}.{key}'))}")
        group.get_by_role("button", name=name).click()
        hand.pad(typed)


def saved(hand: Hand, key: str, **params: Any) -> str:
    """Tap the bar; return the id of the batch whose sheet it leads to."""
    before = hand.page.url
    hand.tap_named(hand.says(key, **params))
    expect(hand.page).not_to_have_url(before)
    expect(hand.page).to_have_url(re.compile(r"#/batch/"))
    return hand.page.url.rsplit("/", 1)[-1]


def seen_to_be_right(hand: Hand) -> None:
    """Nothing is cut off or hard to hit, on a phone and at a desk."""
    for width, height in (DESK, PHONE):
        hand.page.set_viewport_size({"width": width, "height": height})
        assert seen.wrongs(hand.page) == []


def raised(desk: Desk, batch: str) -> dict[str, Any]:
    told: dict[str, Any] = desk.get(f"batches/{batch}")["propagation"]
    return told


@pytest.fixture(scope="module")
def seedbed(phone: Phone, hand: Hand) -> str:
    phone.go("sow")
    hand.tap_named(NAME)
    hand.reads("sow.estimate", n=240)
    hand.page.get_by_role("button", name=re.compile(rf"^{hand.says('raise.place')}")).click()
    hand.page.get_by_role("button", name="Bench 1").click()
    board(hand, "sow.figures", cells="50", per_cell="2", depth="20")
    hand.reads("sow.sum", cells=50, per_cell=2, n=100)
    hand.tap("sow.pre.pulp")
    hand.tap("sow.pre.hot_water")
    hand.reads("caution.hot_water")
    return saved(hand, "sow.save", label="T1", n=100)


def test_seed_is_sown_without_signal(seedbed: str, phone: Phone, desk: Desk) -> None:
    phone.offline(False)
    phone.is_sent()
    phone.offline()
    body = desk.records(seedbed, "sown")[-1]["body"]
    assert (body["seeds"], body["per_cell"], body["depth_mm"]) == (100, 2, 20)
    assert (body["seed_lot"], body["batch"]["crop"]) == ("mango-t2", "mango")
    assert body["pretreatment"] == "agua caliente; sin pulpa"


def test_a_total_that_is_lower_than_the_last_is_asked_about(
    seedbed: str, phone: Phone, hand: Hand
) -> None:
    phone.go(f"emerged/{seedbed}")
    board(hand, "emerged.figures", total="80", abnormal="3")
    saved(hand, "emerged.save", label="T1", n=80)
    phone.go(f"emerged/{seedbed}")
    expect(hand.page.locator(".head .vast")).to_have_text("80")
    board(hand, "emerged.figures", total="70")
    hand.tap_named(hand.says("emerged.save", label="T1", n=70))
    alert = hand.page.get_by_role("alert").last
    expect(alert).to_contain_text(hand.says("emerged.lower", n=70, last=80))


def test_the_batch_s_sheet_shows_how_it_came_up(seedbed: str, phone: Phone, hand: Hand) -> None:
    phone.go(f"batch/{seedbed}")
    said = hand.says("came.said", n=80, of=100, percent=80)
    expect(hand.page.locator("main")).to_contain_text(said)
    expect(hand.page.locator("main")).to_contain_text(hand.says("came.abnormal", n=3))
    chart = hand.page.get_by_role("heading", name=hand.says("came.title"))
    expect(chart).to_be_visible()
    seen_to_be_right(hand)


@pytest.fixture(scope="module")
def pots(seedbed: str, phone: Phone, hand: Hand) -> str:
    phone.go(f"prick/{seedbed}")
    board(hand, "prick.figures", moved="70", discarded="10")
    hand.reads("prick.sum", n=80, moved=70, discarded=10, left=0)
    return saved(hand, "prick.save", label="T2", n=70)


def test_moved_and_discarded_are_what_came_up(
    pots: str, seedbed: str, phone: Phone, desk: Desk
) -> None:
    phone.offline(False)
    phone.is_sent()
    phone.offline()
    assert desk.get(f"batches/{pots}")["alive"] == 70
    bed = desk.get(f"batches/{seedbed}")
    assert (bed["alive"], bed["ledger"]["culled"], bed["doubts"]) == (0, 10, [])
    assert desk.records(seedbed, "lost")[-1]["body"]["cause"] == "j_root"
    assert raised(desk, seedbed)["germination"]["percent"] == 80


def test_grafts_are_written_with_hand_and_diameter(pots: str, phone: Phone, hand: Hand) -> None:
    phone.go(f"graft/{pots}")
    hand.reads("caution.blade")
    board(hand, "graft.figures", plants="40", mm="7")
    hand.page.get_by_role("switch", name=hand.says("prune.blades")).click()
    saved(hand, "graft.save", label="T2", n=40)
    expect(hand.page.locator("main")).to_contain_text(hand.says("take.waits", n=40))


def test_what_took_is_told_by_diameter_with_its_interval(
    pots: str, phone: Phone, hand: Hand, desk: Desk
) -> None:
    phone.go(f"take/{pots}")
    board(hand, "take.figures", took="32", failed="8")
    hand.page.get_by_role("switch", name=hand.says("take.cull", n=8)).click()
    saved(hand, "take.save", label="T2", took=32)
    share = hand.says("take.share", took=32, of=40, percent=80, low=65.2, high=89.5)
    expect(hand.page.locator("main")).to_contain_text(share)
    expect(hand.page.locator("main")).to_contain_text(
        hand.says("take.class", **{"from": 6, "to": 8})
    )
    seen_to_be_right(hand)
    # Who grafted how well is for the grower alone.
    expect(hand.page.locator("main")).not_to_contain_text(hand.says("take.by_operator"))
    phone.offline(False)
    phone.is_sent()
    phone.offline()
    take = raised(desk, pots)["take"]
    assert (take["worked"], take["all"]["took"], take["all"]["of"]) == (40, 32, 40)
    assert desk.get(f"batches/{pots}")["alive"] == 62
    assert [one["name"] for one in take["by_operator"]] == [SAMI.id]


def test_feeding_is_written_of_those_that_stand_together(
    pots: str, phone: Phone, hand: Hand, desk: Desk
) -> None:
    phone.go(f"feed/{pots}")
    hand.reads("caution.feed")
    hand.type("feed.product_words", "Abono soluble 20-20-20")
    board(hand, "feed.figures", litres="20", nitrogen="100")
    saved(hand, "feed.save", n=1)
    phone.offline(False)
    phone.is_sent()
    body = desk.records(pots, "fed")[-1]["body"]
    assert (body["litres"], body["nitrogen_ppm"]) == (20, 100)


def test_cuttings_are_set_and_those_with_roots_are_counted(
    pots: str, phone: Phone, hand: Hand, desk: Desk
) -> None:
    phone.go(f"cuttings/{pots}")
    hand.reads("caution.blade")
    hand.page.get_by_role("button", name=re.compile(rf"^{hand.says('raise.place')}")).click()
    hand.page.get_by_role("button", name="Bench 1").click()
    board(hand, "cuttings.figures", count="30")
    hand.page.get_by_role("switch", name=hand.says("prune.blades")).click()
    cuttings = saved(hand, "cuttings.save", label="T3", n=30)
    phone.go(f"rooted/{cuttings}")
    board(hand, "rooted.figures", total="21", callused="5")
    hand.reads("rooted.of", n=21, of=30, percent=70)
    saved(hand, "rooted.save", label="T3", n=21)
    phone.offline(False)
    phone.is_sent()
    phone.offline()
    assert desk.records(cuttings, "stuck")[-1]["body"]["parents"] == [pots]
    assert desk.records(cuttings, "rooted")[-1]["body"] == {"total": 21, "callused": 5}
    assert desk.get(f"batches/{cuttings}")["crop"] == "mango"
