"""Two phones without signal for nine days, while the office's clock goes on.

What each of them keeps and says meanwhile, and what the book holds once both have sent.
"""

import re
from collections.abc import Iterator
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Route, expect

from nursery.ops.demo import names as n
from nursery.services import demo
from tests.journeys.offices import Desk, Office, office_on
from tests.journeys.rounds import at_the_round, counts, loses
from tests.journeys.workers import Worker, living, there

LEFT = date(2031, 3, 24)
DAYS = [LEFT + timedelta(days=i) for i in range(1, 10)]
BACK = DAYS[-1]
TRAYS = ("T1", "T2", "T3", "T4", "T5", "T6")
# In which tray each of them finds one dead, day by day.
FINDS = {
    demo.W1.id: ("T1", "T2", "T3", "T4", "T5", "T6", "T1", "T2", "T3"),
    demo.W2.id: ("T4", "T5", "T6", "T1", "T2", "T3", "T4", "T5", "T6"),
}
HOURS = {demo.W1.id: "07:30", demo.W2.id: "09:15"}
HEARD = {
    "en": ("MON 24 MAR", "Last heard from the office"),
    "es": ("LU 24 MAR", "Última noticia de la oficina"),
}
# What a busy machine may take for an act that a person does in a moment.
SLACK_MINUTES = 5
FLAT_BATTERY, CLOSED = (DAYS[1], DAYS[7]), (DAYS[3], DAYS[5])

WRITTEN = """() => new Promise((done) => {
  const asked = indexedDB.open('outbox');
  asked.onsuccess = () => {
    asked.result.transaction('entries').objectStore('entries').getAll().onsuccess = (found) => {
      asked.result.close();
      done(found.target.result.map(({ id }) => id));
    };
  };
})"""


@pytest.fixture
def office(tmp_path: Path) -> Iterator[Office]:
    with office_on(tmp_path / "office", 2) as office:
        yield office


def written(worker: Worker) -> list[str]:
    """Return the ids of the records that stand on the phone's disk."""
    return sorted(worker.hand.page.evaluate(WRITTEN))


def works(worker: Worker, day: date) -> int:
    """Find one dead plant on a day without signal; return how many taps it took."""
    worker.at(HOURS[worker.who.id], day)
    if day in CLOSED:
        worker.opens_anew()
    taps = loses(worker, FINDS[worker.who.id][DAYS.index(day)])
    if day in FLAT_BATTERY:
        worker.reloads()
    return taps


def says_its_age(worker: Worker, day: date) -> None:
    """In the head stands how much waits and how old it is."""
    many, old = DAYS.index(day) + 1, (day - DAYS[0]).days
    head = worker.hand.page.locator("header .where")
    age = r"((\d+) d)? ?((\d+) h)? ?((\d+) min)?"
    waits = re.compile(rf"(\D|:\d\d){many} (not sent|sin mandar)\D+{age}")
    expect(head).to_contain_text(waits)
    said = waits.search(head.inner_text())
    assert said is not None
    minutes = (int(said[4] or 0) * 24 + int(said[6] or 0)) * 60 + int(said[8] or 0)
    # From three days on it is told in whole hours.
    slack = SLACK_MINUTES + (60 if said[4] else 0)
    assert abs(minutes - old * 24 * 60) <= slack, said[0]


def says_when_it_heard(worker: Worker) -> None:
    """The sheet of what waits, and the gate, both tell that the office was last heard on Monday."""
    hand = worker.hand
    worker.go("unsent")
    main = hand.page.locator("main")
    monday, heard = HEARD[hand.language]
    expect(main).to_contain_text(re.compile(rf"{heard} {monday} 18:0\d"))
    expect(main.locator("h1 .huge")).to_have_text(str(len(DAYS)))
    worker.go(f"may/entering/{n.QUARANTINE}")
    expect(main.locator("[data-answer]")).to_have_attribute("data-answer", "cannot_tell")
    expect(main).to_contain_text(monday)


def counts_what_both_left(w1: Worker) -> None:
    """On the last day W1 counts T2: one fewer than the phone knows of, for W2 wrote the third."""
    w1.at("10:00", BACK)
    at_the_round(w1)
    expect(w1.line("T2")).to_contain_text("51")
    counts(w1, "T2", 4, 50)


def sends_into_nothing(worker: Worker) -> None:
    """The office takes what is sent, and its answer is lost; a tap tries once more."""
    page, taken = worker.hand.page, []

    def once(route: Route) -> None:
        taken.append(route.fetch().status)
        route.abort()

    page.route("**/sync/push", once, times=1)
    with page.expect_event("requestfailed", lambda asked: asked.url.endswith("/sync/push")):
        worker.phone.offline(False)
        page.evaluate("dispatchEvent(new Event('online'))")
    assert taken == [200]
    worker.go("unsent")
    expect(page.locator("main h1 .huge")).not_to_have_text("0")
    worker.hand.tap_named(worker.hand.says("unsent.send"))


def test_nine_days_apart_lose_nothing_and_tell_nothing_twice(
    browser: Browser, office: Office
) -> None:
    w1 = Worker(browser, office, demo.W1, demo.EVENINGS[2])
    w2 = Worker(browser, office, demo.W2, demo.EVENINGS[2])
    both = (w1, w2)
    for worker in both:
        worker.phone.offline()
    for day in DAYS:
        assert [works(worker, day) for worker in both] == [4, 4], "a loss by four taps"
        for worker in both:
            says_its_age(worker, day)
    for worker in both:
        says_when_it_heard(worker)
    counts_what_both_left(w1)
    ids = [written(worker) for worker in both]
    assert [len(mine) for mine in ids] == [10, 9]

    office.open(there(BACK, "18:10"))
    for worker in both:
        worker.at("18:10", BACK)
    sends_into_nothing(w1)
    for worker in both:
        worker.is_sent()
    desk = Desk(office.url)
    told = entries(desk)
    assert sorted(one["id"] for one in told) == sorted([*ids[0], *ids[1]])
    in_their_order(told)
    expected_of_the_ninth_evening(desk)
    for worker in both:
        both_read_the_same(worker)
    assert [worker.faults for worker in both] == [[], []]


def entries(desk: Desk) -> list[dict[str, Any]]:
    """Return what the book tells of the six trays since the phones left."""
    left = demo.EVENINGS[2].isoformat()[:16]
    return [
        one
        for tray in n.TRAYS
        for line in desk.get(f"batches/{tray}")["timeline"]
        if (one := line["entry"])["occurred_at"] > left
    ]


def in_their_order(told: list[dict[str, Any]]) -> None:
    """Each record stands on the day and at the hour on which it was tapped."""
    for who, trays in FINDS.items():
        mine = sorted(
            (one for one in told if one["author"] == who and one["kind"] == "lost"),
            key=lambda one: str(one["occurred_at"]),
        )
        assert [one["about"] for one in mine] == [[f"b-{tray.lower()}"] for tray in trays]
        for one, day in zip(mine, DAYS, strict=True):
            assert not one["by_hand"]
            late = datetime.fromisoformat(one["occurred_at"]) - there(day, HOURS[who])
            assert timedelta() <= late < timedelta(minutes=SLACK_MINUTES), (one, day)


def expected_of_the_ninth_evening(desk: Desk) -> None:
    """Eighteen died, each once; the count of T2 fits what two phones wrote apart."""
    assert desk.alive(*TRAYS) == [50, 50, 50, 51, 45, 41]
    [came] = [one for one in desk.get("consignments")["items"] if one["id"] == "con-1"]
    ledger = came["ledger"]
    assert (ledger["in"], ledger["alive"], ledger["died"], ledger["sampled"]) == (318, 287, 27, 4)
    assert ledger["difference"] == 0
    looks = desk.get("needs-a-look")
    assert (looks["set_aside"], looks["kept_raw"]) == ([], [])
    blocking = [
        doubt["code"]
        for one in looks["doubts"]
        for doubt in one["doubts"]
        if doubt["weight"] == "blocking"
    ]
    assert blocking == []


def both_read_the_same(worker: Worker) -> None:
    """Each phone holds now what the other wrote."""
    worker.hears()
    worker.go("stock")
    page = worker.hand.page
    expect(living(page)).to_have_text("287")
    worker.go("unsent")
    expect(page.locator("main h1 .huge")).to_have_text("0")
    worker.hand.reads("unsent.none")
