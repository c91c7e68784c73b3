"""Pushes that a test hands to the app's service worker, and the notices that the browser shows."""

from collections.abc import Callable
from contextlib import suppress
from typing import Any

from playwright.sync_api import Page

from tests.product import PATIENCE, wait_until

TRIES = 3
Notices = list[dict[str, Any]]
SHOWN = """async () => (await (await navigator.serviceWorker.ready).getNotifications())
  .map(({ title, body, tag, data }) => ({ title, body, tag, url: data.url }))"""


def delivers(page: Page, text: str) -> None:
    """Hand a push to the app's service worker, as the browser does once it has opened it."""
    asked = page.context.new_cdp_session(page)
    found: list[dict[str, Any]] = []
    asked.on(
        "ServiceWorker.workerRegistrationUpdated", lambda told: found.extend(told["registrations"])
    )
    asked.send("ServiceWorker.enable")
    page.wait_for_timeout(300)
    origin = page.evaluate("location.origin")
    asked.send(
        "ServiceWorker.deliverPushMessage",
        {"origin": origin, "registrationId": found[-1]["registrationId"], "data": text},
    )
    asked.detach()


def delivered(page: Page, text: str, so: Callable[[Notices], bool]) -> Notices:
    """Hand over a push until what is shown is as it should be.

    On a busy machine one that the browser's tools were given was never shown, its worker idle for
    long: they answer before the worker runs. Given again, it takes its own place by its tag.
    """
    for _ in range(TRIES - 1):
        delivers(page, text)
        with suppress(AssertionError):
            return notices(page, so, seconds=20)
    delivers(page, text)
    return notices(page, so)


def notices(page: Page, so: Callable[[Notices], bool], seconds: float = PATIENCE) -> Notices:
    # Asked anew each time: the page's policy lets nobody leave a text there to be run later.
    wait_until(lambda: so(page.evaluate(SHOWN)), seconds)
    found: Notices = page.evaluate(SHOWN)
    return found


def are(n: int) -> Callable[[Notices], bool]:
    return lambda shown: len(shown) == n
