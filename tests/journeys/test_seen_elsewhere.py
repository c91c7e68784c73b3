"""What one phone saved is on another's screen at once, without a tap, while somebody is at both."""

from collections.abc import Iterator
from functools import partial

import pytest
from playwright.sync_api import Browser, expect

from nursery.services import demo
from tests.journeys.offices import Desk, Office, office_on
from tests.journeys.phones import Phone, phone_of
from tests.product import wait_until

# Long before the half minute after which it would have been fetched anyhow.
AT_ONCE_S = 10
ROUNDS = 3


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_on(tmp_path_factory.mktemp("seen-elsewhere"), 3) as office:
        yield office


@pytest.fixture
def phones(browser: Browser, office: Office) -> Iterator[tuple[Phone, Phone]]:
    desk = Desk(office.url)
    both = (
        phone_of(browser, desk, demo.W2, "Who writes"),
        phone_of(browser, desk, demo.G, "Who looks"),
    )
    yield both
    for phone in both:
        assert phone.faults == []
        phone.context.close()


def counts(phone: Phone, alive: int) -> None:
    """Count tray T3 on its screen, and save it."""
    phone.go("count/b-t3")
    phone.page.get_by_role("button", name="full count").click()
    phone.figures(str(alive))
    form = phone.page.url
    phone.tap("Save ")
    expect(phone.page).not_to_have_url(form)


def shows(phone: Phone, alive: int) -> bool:
    """Whether the sheet of tray T3 has the figure."""
    return str(alive) in (phone.page.locator("main div.head:has(svg.tag)").text_content() or "")


def test_a_record_is_on_the_other_phones_screen_without_a_tap(phones: tuple[Phone, Phone]) -> None:
    writer, reader = phones
    reader.go("batch/b-t3")
    asked: list[str] = []
    reader.context.on("request", lambda one: asked.append(one.url))
    taps = reader.taps
    for alive in range(31, 31 + ROUNDS):
        # A round of its own has just begun, so that only a glance can be so soon.
        with reader.page.expect_response("**/sync/outlook**"):
            reader.page.evaluate("dispatchEvent(new Event('online'))")
        asked.clear()
        counts(writer, alive)
        wait_until(partial(shows, reader, alive), AT_ONCE_S, why=f"{alive} alive")
        calls = {url.partition("/sync/")[2].partition("?")[0] for url in asked}
        assert calls - {""} == {"pull"}
    assert reader.taps == taps


def test_a_page_that_nobody_sees_asks_for_nothing_in_between(phones: tuple[Phone, Phone]) -> None:
    _, reader = phones
    asked: list[str] = []
    reader.context.on("request", lambda one: asked.append(one.url))

    def pulls() -> int:
        # The browser tells of what it asked only while it is listened to.
        reader.page.wait_for_timeout(100)
        return sum("/sync/pull" in url for url in asked)

    wait_until(lambda: pulls() >= 3, AT_ONCE_S, why="it does not glance")
    reader.page.evaluate(HIDE)
    reader.page.wait_for_timeout(1500)
    asked.clear()
    reader.page.wait_for_timeout(5000)
    assert pulls() <= 1, "the half minute's own round at most"


HIDE = """() => {
  Object.defineProperty(document, "visibilityState", { value: "hidden" });
  document.dispatchEvent(new Event("visibilitychange"));
}"""
