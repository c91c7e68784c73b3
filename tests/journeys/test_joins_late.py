"""A phone that joins after a tray was destroyed: it takes nothing for living that is not."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from nursery.services import demo
from tests.journeys.offices import Desk, Office, office_on
from tests.journeys.phones import phone_of


@pytest.fixture
def office(tmp_path: Path) -> Iterator[Office]:
    with office_on(tmp_path / "office", 4) as office:
        yield office


def test_a_tray_that_was_destroyed_before_is_no_stock_of_a_phone_that_joins_now(
    browser: Browser, office: Office
) -> None:
    desk = Desk(office.url)
    living = desk.get("batches")["items"]
    assert "T4" not in {batch["label"] for batch in living}
    phone = phone_of(browser, desk, demo.W1, "A new phone")
    for without_signal in (False, True):
        phone.offline(without_signal)
        phone.page.reload()
        phone.go("stock")
        total = str(sum(batch["alive"] for batch in living))
        expect(phone.page.locator("main .total b")).to_have_text(total)
        expect(phone.page.get_by_role("img", name="T4")).to_have_count(0)
    assert phone.faults == []
    phone.context.close()
