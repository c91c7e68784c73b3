"""A suspicion that is left half way and opened again."""

import re
from pathlib import Path

from playwright.sync_api import Browser, expect

from nursery.ops.demo import names as n
from nursery.services import demo
from tests.journeys.offices import Desk, office_on
from tests.journeys.phones import phone_of

BEGUN = re.compile(rf"#/suspect/{n.OPEN_CITRUS}/.+")


def test_going_back_into_a_suspicion_begins_no_second_one(browser: Browser, tmp_path: Path) -> None:
    with office_on(tmp_path, 3) as office:
        desk = Desk(office.url)
        phone = phone_of(browser, desk, demo.G)
        phone.go(f"suspect/{n.OPEN_CITRUS}")
        expect(phone.page).to_have_url(BEGUN)
        first = phone.page.url
        phone.go("")
        expect(phone.page.get_by_role("link", name="Start round")).to_be_visible()
        phone.go(f"suspect/{n.OPEN_CITRUS}")
        expect(phone.page).to_have_url(BEGUN)
        assert phone.page.url == first
        phone.is_sent()
        assert len(desk.records(n.OPEN_CITRUS, "found")) == 1
        assert phone.faults == []
        phone.context.close()
