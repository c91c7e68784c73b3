"""How long a room stood open: on the sheet of the tear, and in the file that is handed over."""

from collections.abc import Iterator
from datetime import date

import pytest
from playwright.sync_api import Browser, expect

from nursery.ops.demo import law
from nursery.ops.demo import names as n
from nursery.services import demo
from tests.journeys import seen
from tests.journeys.hands import Hand
from tests.journeys.offices import Desk, Office, office_on
from tests.journeys.sheets import chooses, keeps, opens
from tests.journeys.storm import says
from tests.journeys.workers import Worker, at_the_desk, there

BEGAN = there(date(2031, 8, 14), "07:00")
FILE = f"file/{law.CONSIGNMENT}"
OPEN_FOR_MS = (13 * 60 + 25) * 60_000


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_on(tmp_path_factory.mktemp("tears"), 6, BEGAN) as office:
        yield office


@pytest.fixture(scope="module")
def w1(browser: Browser, office: Office) -> Iterator[Worker]:
    found = Worker(browser, office, demo.W1, BEGAN)
    yield found
    found.phone.context.close()


def test_where_nobody_saw_it_whole_nobody_can_tell_how_long_it_was_open(w1: Worker) -> None:
    hand = w1.hand
    opens(w1, f"room/{n.QUARANTINE}/torn")
    chooses(w1, "torn.what", hand.says("torn.door"))
    chooses(w1, "torn.last_good", hand.says("torn.nobody_knows"))
    keeps(w1, "torn.save")
    shown = hand.page.locator("main p.block")
    expect(shown).to_contain_text(says(hand, "mend.open", at=BEGAN.isoformat()))
    chooses(w1, "mend.how", hand.says("mended.tape"))
    hand.tap("mend.save")
    expect(shown).to_contain_text(hand.says("mend.unknown"))
    assert seen.wrongs(hand.page) == []
    w1.is_sent()


def test_the_file_says_of_each_tear_how_long_or_that_nobody_can_tell(
    browser: Browser, office: Office
) -> None:
    page = at_the_desk(browser, office)
    hand = Hand(page)
    for section in ("screen", "shared"):
        page.goto(f"/#/{FILE}/{section}")
        expect(page.locator("main")).to_contain_text(says(hand, "mend.unknown"))
        expect(page.locator("main")).to_contain_text(says(hand, "mend.was_open", ms=OPEN_FOR_MS))
        assert seen.wrongs(page) == []
    told = Desk(office.url).get(f"consignments/{law.CONSIGNMENT}/file")["incidents"]
    assert [one["breach"]["minutes"] for one in told if one["breach"]] == [13 * 60 + 25, None]
    page.context.close()
