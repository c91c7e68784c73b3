"""A form whose page dies while its camera is open: its words and its pictures are there again."""

import os
import re
import signal
from collections.abc import Callable, Iterator
from contextlib import suppress
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Error, Page, expect

from nursery.services import demo
from tests.journeys import camera
from tests.journeys.conftest import CHROMIUM
from tests.journeys.offices import Desk, Office, office_on
from tests.journeys.phones import PHONE, Phone, joined, phone_of

WORDS = "T4 may stay by the door until Friday"
REFERENCE = "AC-77"
# What the disk has of forms. Whoever asks waits for what is being put there.
DRAFTS = """async () => {
  const asked = (request) => new Promise((done, fail) => {
    request.onsuccess = () => done(request.result);
    request.onerror = () => fail(request.error);
  });
  const disk = await asked(indexedDB.open("drafts"));
  const marks = await asked(disk.transaction("marks").objectStore("marks").getAll());
  disk.close();
  return marks.map(({ text }) => text).join(" ");
}"""


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_on(tmp_path_factory.mktemp("camera-kills"), 3) as office:
        yield office


@pytest.fixture(scope="module")
def one(browser: Browser, office: Office) -> Iterator[Phone]:
    found = phone_of(browser, Desk(office.url), demo.G, "A phone short of memory")
    yield found
    found.context.close()


@pytest.fixture
def phone(one: Phone) -> Iterator[Phone]:
    yield one
    one.offline(False)
    assert one.faults == []


@pytest.fixture(scope="module")
def papers(tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    folder = tmp_path_factory.mktemp("camera")
    return [
        camera.photograph(folder / f"{seed}.jpg", seed=seed, size=(1600, 1200))
        for seed in range(20, 26)
    ]


def crashes(page: Page) -> None:
    """End the process that draws the page, as a phone short of memory does."""
    with page.expect_event("crash"), suppress(Error):
        page.goto("chrome://crash")


def is_closed(page: Page) -> None:
    """Swipe the app away; the page is not asked whether it minds."""
    page.close(run_before_unload=False)


DEATHS = {"its process crashes": crashes, "it is swiped away": is_closed}


def opened_anew(phone: Phone) -> Page:
    """Open the app again, by a tap on its icon."""
    page = phone.context.new_page()
    page.set_default_timeout(20_000)
    page.on("pageerror", lambda error: phone.faults.append(str(error)))
    page.goto("/")
    if not phone.page.is_closed():
        phone.page.close()
    phone.page = page
    return page


def opens_camera(page: Page, what: str) -> None:
    with page.expect_file_chooser():
        page.get_by_label(f"Take photo: {what}").click()


def accepts(phone: Phone) -> Page:
    """Open the form for what the authority permits."""
    phone.go("papers/b-t4/accept")
    expect(phone.page.get_by_role("heading", level=1)).to_contain_text("T4")
    return phone.page


def types(page: Page) -> None:
    page.get_by_role("button", name="something else").click()
    page.get_by_label("In the words of the paper").fill(WORDS)
    page.get_by_label("Reference on the paper").fill(REFERENCE)


def has_its_words(page: Page) -> None:
    expect(page.get_by_label("In the words of the paper")).to_have_value(WORDS)
    expect(page.get_by_label("Reference on the paper")).to_have_value(REFERENCE)


def saves_the_paper(phone: Phone) -> dict[str, Any]:
    """Save the form without signal; return its photo as the phone keeps it."""
    photo = camera.kept(phone.page, "b-t4")[-1]
    phone.page.get_by_role("button", name=f"Save permission {REFERENCE}").click()
    expect(phone.page).not_to_have_url(re.compile("/accept$"))
    expect(phone.page.locator("header .where")).to_contain_text(re.compile("[1-9] not sent"))
    return photo


def arrives(phone: Phone, office: Office, photo: dict[str, Any]) -> None:
    phone.offline(False)
    phone.is_sent()
    place = office.folder / "demo/photos" / demo.NURSERY / str(photo["sha256"])
    for _ in range(600):
        if place.is_file():
            break
        phone.page.wait_for_timeout(100)
    assert sha256(place.read_bytes()).hexdigest() == photo["sha256"]
    assert place.read_bytes() == photo["file"]


@pytest.mark.parametrize("dies", DEATHS.values(), ids=DEATHS.keys())
def test_typed_words_are_there_again_and_the_photo_goes_on(
    phone: Phone, office: Office, papers: list[Path], dies: Callable[[Page], None]
) -> None:
    phone.offline()
    page = accepts(phone)
    types(page)
    opens_camera(page, "paper")
    assert WORDS in page.evaluate(DRAFTS)
    dies(page)
    page = opened_anew(phone)
    accepts(phone)
    has_its_words(page)
    camera.take(page, "paper", papers[len(camera.kept(page, "b-t4"))])
    expect(page.get_by_role("img", name="Photo: paper")).to_be_visible()
    dies(page)
    # It came back from the camera, and the page died once more before anybody saved.
    page = opened_anew(phone)
    accepts(phone)
    has_its_words(page)
    expect(page.get_by_role("img", name="Photo: paper")).to_be_visible()
    photo = saves_the_paper(phone)
    arrives(phone, office, photo)
    desk = Desk(office.url)
    accepted = [one["body"] for one in desk.records("b-t4", "accepted")]
    assert [one["photo"] for one in accepted if one["reference"] == REFERENCE][-1] == photo["id"]


@pytest.mark.parametrize(
    ("dies", "batch"), [(crashes, "b-t3"), (is_closed, "b-t5")], ids=DEATHS.keys()
)
def test_the_photo_sheet_goes_on_with_what_it_had(
    phone: Phone, office: Office, papers: list[Path], dies: Callable[[Page], None], batch: str
) -> None:
    phone.offline()
    phone.go(f"photo/{batch}")
    page = phone.page
    camera.take(page, "whole plant", papers[3])
    expect(page.get_by_role("heading", name="Photos of")).to_contain_text("1 of 5")
    opens_camera(page, "under the leaf")
    dies(page)
    page = opened_anew(phone)
    phone.go(f"photo/{batch}")
    expect(page.get_by_role("heading", name="Photos of")).to_contain_text("1 of 5")
    expect(page.get_by_role("img", name="Photo: whole plant")).to_be_visible()
    camera.take(page, "under the leaf", papers[4])
    expect(page.get_by_role("heading", name="Photos of")).to_contain_text("2 of 5")
    photos = camera.kept(page, batch)
    page.get_by_role("button", name=": 2 photos").first.click()
    expect(page).to_have_url(re.compile("#/batch/"))
    for photo in photos:
        arrives(phone, office, photo)


def processes(profile: Path) -> list[int]:
    """Return the ids of the processes that have this profile open, the browser's own first."""
    found = []
    for place in Path("/proc").glob("[0-9]*"):
        with suppress(OSError):
            if f"--user-data-dir={profile}".encode() in (place / "cmdline").read_bytes():
                found.append(int(place.name))
    return sorted(found)


def browser_on(browser: Browser, office: Office, profile: Path) -> Any:
    return browser.browser_type.launch_persistent_context(
        profile,
        executable_path=CHROMIUM,
        args=["--no-sandbox"],
        base_url=office.url,
        locale="en-GB",
        viewport={"width": PHONE[0], "height": PHONE[1]},
    )


def joined_long_ago(browser: Browser, office: Office, profile: Path) -> Phone:
    """Make a phone whose leave to send has been on its disk for long."""
    phone = joined(browser_on(browser, office, profile), Desk(office.url), demo.G, "Killed")
    phone.context.close()
    phone.context = browser_on(browser, office, profile)
    phone.offline()
    opened_anew(phone)
    return phone


def is_killed(phone: Phone, profile: Path) -> None:
    """End the whole browser, as a phone does that is short of memory behind its camera."""
    ours = processes(profile)
    assert ours
    for one in ours:
        with suppress(ProcessLookupError):
            os.kill(one, signal.SIGKILL)
    with suppress(Error):
        phone.context.close()


def test_the_whole_browser_may_be_killed(
    browser: Browser, office: Office, papers: list[Path], tmp_path: Path
) -> None:
    profile = tmp_path / "profile"
    phone = joined_long_ago(browser, office, profile)
    page = accepts(phone)
    types(page)
    opens_camera(page, "paper")
    assert WORDS in page.evaluate(DRAFTS)
    is_killed(phone, profile)
    phone.context = browser_on(browser, office, profile)
    phone.offline()
    page = opened_anew(phone)
    # Who writes may be asked again; under the same name the form stands as it was.
    phone.is_written_by(demo.G)
    accepts(phone)
    has_its_words(page)
    camera.take(page, "paper", papers[5])
    expect(page.get_by_role("img", name="Photo: paper")).to_be_visible()
    photo = saves_the_paper(phone)
    arrives(phone, office, photo)
    phone.context.close()
    assert phone.faults == []
