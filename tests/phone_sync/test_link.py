"""Sending needs nothing of the browser but that the app is open: no luck with tabs, no `onLine`."""

import json
from collections.abc import Callable
from itertools import pairwise
from time import monotonic

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.journeys.offices import Desk
from tests.journeys.phones import Phone
from tests.phone_sync import shelf
from tests.phone_sync.conftest import count, fill, phone_on, sent, tab_of
from tests.phone_sync.front import Front
from tests.product import wait_until

NO_BACKGROUND_SYNC = """
  delete ServiceWorkerRegistration.prototype.sync;
  delete ServiceWorkerRegistration.prototype.periodicSync;
  delete globalThis.SyncManager;
"""


def stuck(online: bool) -> str:
    said = str(online).lower()
    return f"Object.defineProperty(Navigator.prototype, 'onLine', {{ get: () => {said} }});"


@pytest.mark.parametrize("online", [True, False])
def test_requirement_28_sends_without_background_sync_and_whatever_the_browser_says_of_signal(
    browser: Browser, desk: Desk, front: Front, online: bool
) -> None:
    script = NO_BACKGROUND_SYNC + stuck(online)
    with phone_on(browser, desk, f"phone stuck at {online}", script) as phone:
        front.portal = True
        count(phone, 53)
        expect(phone.page.locator(".where")).to_contain_text("1 not sent")
        phone.page.wait_for_timeout(3000)
        assert len(shelf.outbox(phone.page)) == 1
        assert shelf.outbox(phone.page)[0]["state"] == "queued"
        front.portal = False
        # Nobody does anything: the half minute does it.
        expect(phone.page.locator(".where")).to_contain_text("0 not sent", timeout=40_000)
    [row] = [e for e in desk.records("b-t1", "counted") if e["device"] == phone_device(front)]
    assert row["body"]["alive"] == 53


def phone_device(front: Front) -> str:
    pushed = next(call for call in reversed(front.of("/push")) if call.told()["entries"])
    device: str = json.loads(pushed.told()["entries"][0])["device"]
    return device


def test_requirement_29_three_tabs_send_one_after_the_other(phone: Phone, front: Front) -> None:
    tabs = [phone, tab_of(phone), tab_of(phone)]
    begun = len(front.calls)
    for alive in (50, 51, 52):
        for tab in tabs:
            tab.page.evaluate("dispatchEvent(new Event('online'))")
        count(tabs[alive % 3], alive)
    for tab in tabs:
        sent(tab)
    # What one glances at, a pull alone, is given up in the middle for who has something to send.
    calls = [c for c in front.calls[begun:] if c.path.endswith(("/sync/push", "/sync/outlook"))]
    assert len(calls) > len(tabs)
    crossed = [
        f"{first.path} until {first.ended}, {then.path} from {then.begun}"
        for first, then in pairwise(calls)
        if not 0 < first.ended <= then.begun
    ]
    assert crossed == []
    pushed = [text for call in front.of("/push") for text in call.told()["entries"]]
    assert len([text for text in pushed if '"alive":5' in text]) == 3


def test_what_is_saved_in_one_tab_is_shown_in_the_other(phone: Phone) -> None:
    other = tab_of(phone, "count/b-t3")
    phone.offline()
    count(phone, 51, "b-t3")
    expect(other.page.locator("main")).to_contain_text("51")
    expect(other.page.locator(".where")).to_contain_text("1 not sent")


def test_requirement_29_a_frozen_sender_is_replaced_within_thirty_seconds(
    phone: Phone, front: Front
) -> None:
    sent(phone)
    # What is kept waiting is to be its round, and no glance in between.
    phone.page.evaluate("Object.defineProperty(navigator, 'connection', {value: {saveData: true}})")
    phone.page.wait_for_timeout(2000)
    # As long as it is the only tab, it is the one that sends.
    front.stalls = "/pull"
    phone.page.evaluate("dispatchEvent(new Event('online'))")
    wait_until(front.stalled.is_set, 40)
    others = [tab_of(phone), tab_of(phone)]
    # Its round goes on and on, and it says so to the others: nobody takes its turn.
    count(others[0], 51, "b-t2")
    others[0].page.wait_for_timeout(20_000)
    for tab in others:
        expect(tab.page.locator(".where")).to_contain_text("1 not sent")
    freeze(phone.page)
    begun = monotonic()
    for tab in others:
        expect(tab.page.locator(".where")).to_contain_text("0 not sent", timeout=31_000)
    assert monotonic() - begun < 31
    assert [row["state"] in ("acked", "seen") for row in shelf.outbox(others[0].page)] == [True]


def freeze(page: Page) -> None:
    """Stop a tab with all its threads, as a phone does with what is not looked at."""
    # The browser's own freezing leaves workers awake; here they wait for what never comes.
    wait = """setTimeout(() => {
      const memory = new WebAssembly.Memory({ initial: 1, maximum: 1, shared: true });
      Atomics.wait(new Int32Array(memory.buffer), 0, 0, 60_000);
    })"""
    for worker in page.workers:
        worker.evaluate(wait)
    session = page.context.new_cdp_session(page)
    session.send("Page.setWebLifecycleState", {"state": "frozen"})


def test_requirement_25_a_page_lets_go_of_a_database_that_another_wants_to_change(
    phone: Phone,
) -> None:
    other = phone.context.new_page()
    other.goto("/icon.svg")
    began = monotonic()
    opened = other.evaluate(
        """() => new Promise((done, fail) => {
          const request = indexedDB.open("copy-a", 99);
          request.onupgradeneeded = () => undefined;
          request.onsuccess = () => { request.result.close(); done("opened"); };
          request.onerror = () => fail(request.error);
          setTimeout(done, 5000, "blocked");
        })"""
    )
    assert opened == "opened"
    assert monotonic() - began < 5
    # Records are kept all the same, and the page says what to do.
    phone.offline()
    fill(phone, 53)
    phone.page.get_by_role("button", name="Save ").click()
    expect(phone.page.locator("header")).to_contain_text("open the app again")
    assert len(shelf.outbox(phone.page)) == 1


def test_requirement_26_a_new_version_waits_for_the_form_and_comes_by_one_tap(
    phone: Phone, front: Front, newer: Callable[[], str]
) -> None:
    fill(phone, 53)
    name = newer()
    phone.page.evaluate("navigator.serviceWorker.getRegistration().then((it) => it.update())")
    waiting = "navigator.serviceWorker.getRegistration().then(({ waiting }) => waiting !== null)"
    wait_until(lambda: phone.page.evaluate(waiting), 20)
    # Under the half-filled form nothing is offered, and nothing changes.
    take = phone.page.get_by_role("button", name="Take it")
    phone.page.wait_for_timeout(500)
    expect(take).to_have_count(0)
    expect(phone.page.locator("meta[name=build]")).to_have_count(0)
    phone.page.get_by_role("button", name="Save ").click()
    expect(take).to_be_visible()
    with phone.page.expect_navigation():
        take.click()
    is_build(phone.page, name)
    phone.offline()
    phone.page.reload()
    is_build(phone.page, name)


def test_requirement_26_a_new_version_is_there_when_the_app_is_opened_again(
    phone: Phone, newer: Callable[[], str]
) -> None:
    name = newer()
    phone.page.evaluate("navigator.serviceWorker.getRegistration().then((it) => it.update())")
    waiting = "navigator.serviceWorker.getRegistration().then(({ waiting }) => waiting !== null)"
    wait_until(lambda: phone.page.evaluate(waiting), 20)
    expect(phone.page.locator("meta[name=build]")).to_have_count(0)
    phone.page.close()
    phone.page = tab_of(phone).page
    is_build(phone.page, name)


def is_build(page: Page, name: str) -> None:
    """Wait until the page is of a build: it loads itself anew once the worker has changed."""
    meta = page.locator("meta[name=build]")
    expect(meta).to_have_attribute("content", name, timeout=20_000)
