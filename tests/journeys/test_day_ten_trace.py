"""Day 10 of the story: the supplier's authority calls, and the desk answers within minutes."""

import json
from collections.abc import Iterator
from datetime import date

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from playwright.sync_api import Browser, Locator, Page, expect

from nursery.ops.demo import names as n
from tests.journeys import seen
from tests.journeys.hands import Hand
from tests.journeys.offices import Desk, Office, office_at
from tests.journeys.workers import at_the_desk, there

MONDAY = date(2032, 9, 13)
CALLED, TOLD = there(MONDAY, "14:00"), there(MONDAY, "14:20")
SUSPECT = (n.T2, n.T5, n.MIXED)
SUMS = ("99", "92", "7", "4", "none")


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_at(tmp_path_factory.mktemp("trace"), CALLED) as office:
        yield office


@pytest.fixture(scope="module")
def page(browser: Browser, office: Office) -> Iterator[Page]:
    page = at_the_desk(browser, office)
    yield page
    page.context.close()


@pytest.fixture
def hand(page: Page) -> Hand:
    return Hand(page)


def picks(hand: Hand, *labels: str) -> None:
    """Find what is suspect by what it is called, one after the other, and ask."""
    hand.page.goto("/#/trace")
    for label in labels:
        hand.type("trace.called", label)
        hand.page.locator("main button.line").filter(has_text=label).first.click()
        expect(hand.page.locator("main div.line").filter(has_text=label)).to_be_visible()
    hand.page.locator("main button.bar").last.click()


def sums(hand: Hand) -> Locator:
    return hand.page.locator("main dl.sums dd")


def test_the_call_is_answered_on_one_screen_sums_first(hand: Hand) -> None:
    picks(hand, "T2", "T5")
    expect(hand.page.locator("main h1")).to_have_text(hand.says("trace.title", labels=["T2", "T5"]))
    hand.reads("trace.with_made", labels=["U"])
    expect(sums(hand)).to_have_text(list(SUMS))
    hand.reads("trace.no_receiver")
    main = hand.page.locator("main")
    for batch, ended in (("T2", "1 dead and 1 sampled"), ("T5", "8 dead")):
        line = main.locator("a.line").filter(has=hand.page.get_by_text(batch, exact=True))
        expect(line).to_contain_text(ended)
        expect(line).to_contain_text(hand.says("trace.left", n=2))
    blocks = main.locator(".of b.fig").all_inner_texts()
    assert sum(int(text.split(":")[0]) for text in blocks) == 99
    assert main.locator(".gone").count() == 7


def test_people_rooms_tools_and_the_way_back_stand_on_it(hand: Hand) -> None:
    main = hand.page.locator("main")
    for said in ("Quarantine room", "Shade house", "Finger-lime, March 2031", "Sarrow Citrus"):
        expect(main).to_contain_text(said)
    assert seen.wrongs(hand.page) == []


def test_the_page_to_print_is_a_pdf(hand: Hand) -> None:
    link = hand.page.get_by_role("link", name=hand.says("trace.print"))
    answer = hand.page.request.get(str(link.get_attribute("href")))
    assert (answer.status, answer.headers["content-type"]) == (200, "application/pdf")
    assert answer.body().startswith(b"%PDF")


def test_all_99_are_put_on_hold_in_one_act_as_reported(hand: Hand, office: Office) -> None:
    desk = Desk(office.url)
    hand.tap("trace.hold")
    hand.type("trace.who_asks", "Sarrow plant health")
    hand.type("trace.why", "the budwood behind T2 and T5 is suspect")
    hand.type("trace.reference", "CALL-13-SEP")
    hand.tap("trace.hold_all", labels=["T2", "T5", "U"])
    held = hand.page.locator("main section.held")
    expect(held).to_contain_text(hand.says("trace.held", reference="CALL-13-SEP", n=99))
    expect(held).to_contain_text(hand.says("trace.reported"))
    expect(held).to_contain_text("Sarrow plant health: the budwood behind T2 and T5 is suspect")
    for batch in SUSPECT:
        for act in ("taking", "moving", "sending", "planting"):
            assert desk.get(f"may?act={act}&subject={batch}")["answer"] == "no"
        [order] = desk.records(batch, "ordered")[-1:]
        assert (order["body"]["act"], order["body"]["reference"]) == ("hold", "CALL-13-SEP")
        assert sorted(order["about"]) == sorted(SUSPECT)
    assert desk.get(f"may?act=sending&subject={n.T1}")["answer"] == "yes"


def test_whom_one_told_stands_with_the_hour(hand: Hand, office: Office) -> None:
    office.open(TOLD)
    hand.type("told.whom", "P")
    hand.page.get_by_role("button", name=hand.says("told.phone")).click()
    told = hand.says("trace.was_told", who="P", how=hand.says("told.phone"))
    line = hand.page.locator("main section.held p.line").filter(has_text=told)
    expect(line).to_contain_text("14:20")
    [record] = Desk(office.url).records(n.MIXED, "told")[-1:]
    assert record["body"] == {
        "who": "P", "how": "phone", "what": "trace", "reference": "CALL-13-SEP",
    }  # fmt: skip


def test_a_drill_keeps_the_time_that_the_page_took(hand: Hand, office: Office) -> None:
    hand.page.goto("/#/trace/drills")
    hand.reads("trace.no_drill")
    hand.tap("trace.drill_start")
    picks(hand, "T1")
    expect(sums(hand).first).to_be_visible()
    hand.page.wait_for_timeout(1100)
    hand.page.reload()  # the clock runs on over a page that was shut
    expect(sums(hand).first).to_be_visible()
    hand.tap_named(hand.says("trace.drill_end"))
    hand.is_at("trace.drills")
    line = hand.page.locator("main div.line").filter(has_text="T1")
    expect(line).to_be_visible()
    [drill] = Desk(office.url).get("trace/drills")["items"]
    assert drill["about"] == [n.T1]
    assert 1 <= drill["seconds"] < 60
    expect(line.locator(".fig")).to_contain_text(f"0:{drill['seconds']:02d}")
    assert seen.wrongs(hand.page) == []


def test_plants_go_to_a_neighbour_with_slip_and_file(hand: Hand, office: Office) -> None:
    page = hand.page
    page.goto("/#/trace/hand")
    hand.tap_named("T2")
    expect(page.locator("main p.stop").filter(has_text="Held by order CALL-13-SEP")).to_be_visible()
    hand.tap_named("T1")
    expect(page.locator("main p.stop")).to_have_count(0)
    hand.type("slip.how_many", "2")
    hand.type("slip.receiver", "Lower farm")
    hand.type("slip.paper", "SL-1")
    hand.tap_named(hand.says("slip.save"))
    hand.reads("slip.handed")
    slip = page.get_by_role("link", name=hand.says("slip.print")).get_attribute("href")
    assert page.request.get(str(slip)).body().startswith(b"%PDF")
    link = page.get_by_role("link", name=hand.says("slip.file")).get_attribute("href")
    facts = page.request.get(str(link)).json()["facts"]
    assert [(one["label"], one["plants"], one["holds"]) for one in facts["batches"]] == [
        ("T1", 2, [])
    ]
    picks(hand, "T1")
    expect(page.locator("main")).to_contain_text("Lower farm")
    assert seen.wrongs(page) == []


def test_a_file_that_came_with_plants_is_taken_on_and_a_bad_one_said(
    hand: Hand, office: Office
) -> None:
    page = hand.page
    page.goto("/#/trace/take")
    chosen = page.locator("main input[type=file]")
    chosen.set_input_files({"name": "x.json", "mimeType": "", "buffer": b"no file at all"})
    hand.reads("slip.no_file", text="x.json")
    sent = Desk(office.url).records(n.T1, "sent")[-1]
    file = json.dumps(Desk(office.url).get(f"handovers/{sent['id']}"))
    for bent, code, params in (
        (file.replace("Lower farm", "Upper farm"), "handover_altered", {}),
        ("{}", "handover_unreadable", {"field": "format"}),
        # It was never away: the nursery that sent it knows its batch.
        (file, "plants_there", {"value": "T1"}),
    ):
        chosen.set_input_files({"name": "p.json", "mimeType": "", "buffer": bent.encode()})
        hand.tap_named(hand.says("slip.take"))
        expect(page.get_by_role("alert")).to_contain_text(hand.says(f"problem.{code}", **params))
    elsewhere = file_of_another(file)
    chosen.set_input_files({"name": "p.json", "mimeType": "", "buffer": elsewhere.encode()})
    hand.tap_named(hand.says("slip.take"))
    hand.reads("slip.taken", nursery="Upper terraces")
    assert Desk(office.url).batch("N9")["alive"] == 2
    assert seen.wrongs(page) == []


def file_of_another(file: str) -> str:
    """Return a like file of a nursery with a key of its own, about a batch of its own."""
    told = json.loads(file)
    facts = {**told["facts"], "nursery": "Upper terraces", "record": "r-of-theirs"}
    facts["batches"] = [{**told["facts"]["batches"][0], "id": "b-of-theirs", "label": "N9"}]
    key = Ed25519PrivateKey.generate()
    text = json.dumps(facts, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return json.dumps(
        {
            **told,
            "key": key.public_key().public_bytes_raw().hex(),
            "signature": key.sign(text.encode()).hex(),
            "facts": facts,
        }
    )
