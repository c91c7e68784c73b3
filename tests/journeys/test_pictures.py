"""The photos of one batch in order of time, and two dates of it side by side."""

import base64
import re
from collections.abc import Iterator
from datetime import timedelta
from hashlib import sha256
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from nursery.services import demo
from tests.journeys import camera, seen
from tests.journeys.offices import Desk, Office, office_on
from tests.journeys.phones import DESK, PHONE, Phone, phone_of
from tests.product import running, wait_until
from tests.services import hostile_images

UPLOADS = "**/api/v1/uploads**"
LATER = timedelta(days=49)
WHOLE, UNDER = "whole plant", "under the leaf"

# What a phone's disk bent after the camera part had made it: its head and its end are whole.
BENT = """async ([subject, base64, sha256]) => {
  const asked = (request) => new Promise((done, fail) => {
    request.onsuccess = () => done(request.result);
    request.onerror = () => fail(request.error);
  });
  const shelf = await asked(indexedDB.open("photos"));
  const work = shelf.transaction(["facts", "files"], "readwrite");
  const [facts, files] = ["facts", "files"].map((store) => work.objectStore(store));
  const fact = (await asked(facts.getAll())).find((one) => one.subject === subject);
  const file = await asked(files.get(fact.id));
  const bytes = Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));
  await asked(facts.put({ ...fact, sha256, bytes: bytes.length }));
  await asked(files.put({ ...file, data: new Blob([bytes]) }));
  shelf.close();
}"""


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_on(tmp_path_factory.mktemp("pictures"), 2) as office:
        yield office


@pytest.fixture(scope="module")
def desk(office: Office) -> Desk:
    return Desk(office.url)


@pytest.fixture(scope="module")
def phone(browser: Browser, desk: Desk) -> Iterator[Phone]:
    found = phone_of(browser, desk, demo.W2, "A phone with a camera")
    yield found
    assert found.faults == []
    found.context.close()


@pytest.fixture(scope="module")
def leaves(tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    folder = tmp_path_factory.mktemp("camera")
    return [
        camera.photograph(folder / f"{seed}.jpg", seed=seed, size=(1600, 1200))
        for seed in range(1, 8)
    ]


def photographs(phone: Phone, batch: str, **shots: Path) -> None:
    """Take photos on the sheet for them and save them; each by its view, `_` for a blank."""
    phone.go(f"photo/{batch}")
    for n, (shot, file) in enumerate(shots.items(), start=1):
        camera.take(phone.page, shot.replace("_", " "), file)
        expect(phone.page.get_by_role("heading", name="Photos of")).to_contain_text(f"{n} of 5")
    expect(phone.page.get_by_text("made smaller and kept")).to_have_count(0)


def saves(phone: Phone, n: int) -> None:
    phone.page.get_by_role("button", name=f": {n} photo").first.click()
    expect(phone.page).to_have_url(re.compile("#/batch/"))


def with_signal(phone: Phone) -> None:
    phone.offline(False)
    phone.page.evaluate("dispatchEvent(new Event('online'))")


def story(phone: Phone, batch: str, label: str) -> Page:
    """Open the story by the batch's own page."""
    phone.go(f"batch/{batch}")
    phone.page.get_by_role("link", name=f"{label} in photos").click()
    expect(phone.page.get_by_role("heading", name=f"{label} in photos", level=1)).to_be_visible()
    return phone.page


def is_drawn(page: Page, selector: str, n: int) -> None:
    """Wait until so many pictures are on the screen, each with its dots."""
    expect(page.locator(selector)).to_have_count(n)
    # Asked anew each time: the page's policy lets nobody leave a text there to be run later.
    drawn = "(of) => [...document.querySelectorAll(of)].every((one) => one.naturalWidth > 0)"
    wait_until(lambda: page.evaluate(drawn, selector), why="every picture has its dots")


def draws(office: Office, desk: Desk, page: Page, batch: str, *states: str) -> None:
    """Let the office's worker draw, until the photos of a batch stand as they should."""
    with running(office.told(demo.EVENINGS[2] + LATER), office.folder / "worker.log", "worker"):
        for _ in range(600):
            if [one["state"] for one in desk.get(f"batches/{batch}/photos")["items"]] == [*states]:
                return
            page.wait_for_timeout(100)
    pytest.fail(str(desk.get(f"batches/{batch}/photos")))


def test_without_any_photo_the_sheet_says_what_to_do(phone: Phone) -> None:
    page = story(phone, "b-oc1", "OC1")
    expect(page.get_by_text("No photo of OC1 yet.")).to_be_visible()
    expect(page.get_by_role("link", name="Take photo")).to_be_visible()
    phone.go("pictures/b-oc1/two")
    expect(page.get_by_text("None can yet.")).to_be_visible()


def test_two_dates_stand_side_by_side_with_the_days_between(
    phone: Phone, office: Office, desk: Desk, leaves: list[Path], tmp_path: Path
) -> None:
    photographs(phone, "b-t5", whole_plant=leaves[0], under_the_leaf=leaves[1])
    saves(phone, 2)
    phone.is_sent()
    page = story(phone, "b-t5", "T5")
    # Every tray has the photo of the box that it came in.
    expect(page.get_by_role("listitem")).to_have_count(3)
    office.open(demo.EVENINGS[2] + LATER)
    page.reload()
    with_signal(phone)
    phone.is_sent()
    phone.offline()
    photographs(phone, "b-t5", whole_plant=leaves[2])
    saves(phone, 1)
    page = story(phone, "b-t5", "T5")
    expect(page.get_by_role("listitem")).to_have_count(4)
    expect(page.get_by_text("its record waits to be sent")).to_have_count(1)
    is_drawn(page, "main img", 3)
    seen.picture(page, tmp_path, "story without signal")
    page.get_by_role("link", name="Two dates side by side").click()
    expect(page.get_by_role("heading", name=f"T5: {WHOLE}")).to_contain_text("49 days apart")
    is_drawn(page, "figure img", 2)
    seen.picture(page, tmp_path, "two without signal")
    assert seen.wrongs(page) == []
    with_signal(phone)
    phone.is_sent()
    draws(office, desk, page, "b-t5", "here", "here", "here", "here")


def test_one_is_opened_large_and_the_next_follows(phone: Phone, tmp_path: Path) -> None:
    page = story(phone, "b-t5", "T5")
    page.get_by_role("listitem").filter(has_text=WHOLE).first.get_by_role("link").click()
    expect(page.locator("figcaption")).to_contain_text(f"T5: {WHOLE}")
    is_drawn(page, "figure img", 1)
    seen.picture(page, tmp_path, "large")
    assert seen.wrongs(page) == []
    page.get_by_role("link", name="The next one").click()
    expect(page.locator("figcaption")).to_contain_text(f"T5: {UNDER}")
    page.get_by_role("link", name="The one before").click()
    page.get_by_role("link", name="The one before").click()
    expect(page.locator("figcaption")).to_contain_text("T5: wet corner, box 4")
    expect(page.get_by_role("link", name="The one before")).to_have_count(0)
    page.get_by_role("link", name="All photos of T5").click()
    expect(page.get_by_role("listitem")).to_have_count(4)


def is_bent(phone: Phone, desk: Desk, office: Office, leaf: Path) -> None:
    """Let a photo come to the office that begins and ends well and that nobody can see."""
    photographs(phone, "b-t3", whole_plant=leaf)
    bent = hostile_images.corrupt_chunk()
    told = ["b-t3", base64.b64encode(bent).decode(), sha256(bent).hexdigest()]
    phone.page.evaluate(BENT, told)
    phone.page.reload()
    phone.go("photo/b-t3")
    saves(phone, 1)
    phone.is_sent()
    draws(office, desk, phone.page, "b-t3", "here", "unreadable")


def test_what_nobody_can_see_is_told_by_word(
    phone: Phone, office: Office, desk: Desk, leaves: list[Path], tmp_path: Path
) -> None:
    is_bent(phone, desk, office, leaves[3])
    phone.context.route(UPLOADS, lambda route: route.abort())
    photographs(phone, "b-t3", under_the_leaf=leaves[4])
    saves(phone, 1)
    photographs(phone, "b-t3", label=leaves[5])
    saves(phone, 1)
    phone.tap("Undo")
    photographs(phone, "b-t3", roots=leaves[6])
    phone.is_sent()
    page = story(phone, "b-t3", "T3")
    each = page.get_by_role("listitem")
    expect(each.filter(has_text=WHOLE)).to_contain_text("cannot be read as a picture")
    expect(each.filter(has_text=UNDER)).to_contain_text("the photo goes next")
    expect(each.filter(has_text="label")).to_contain_text("taken back by")
    expect(each.filter(has_text="roots")).to_contain_text("no record names it")
    expect(each.filter(has_text="label").get_by_role("link")).to_have_count(0)
    seen.picture(page, tmp_path, "states")
    assert seen.wrongs(page) == []


@pytest.fixture(scope="module")
def computer(browser: Browser, office: Office) -> Iterator[Page]:
    """The office's computer, where the grower is signed in and no phone has joined."""
    context = browser.new_context(
        base_url=office.url, locale="en-GB", viewport={"width": DESK[0], "height": DESK[1]}
    )
    page = context.new_page()
    page.goto("/#/pictures/b-t5/two")
    page.get_by_label("Your e-mail address").fill(demo.G.email)
    page.get_by_label("Password").fill(demo.G.password)
    page.get_by_role("button", name="Sign in").click()
    yield page
    context.close()


def boxes(page: Page) -> list[tuple[float, float, float, float]]:
    """Return where the two stand: left, top, right, bottom."""
    is_drawn(page, "figure img", 2)
    found = [one.bounding_box() for one in page.locator("figure").all()]
    return [
        (box["x"], box["y"], box["x"] + box["width"], box["y"] + box["height"])
        for box in found
        if box is not None
    ]


def test_the_office_sees_the_same_beside_each_other_and_prints_it(
    computer: Page, tmp_path: Path
) -> None:
    page = computer
    expect(page.get_by_role("heading", name=f"T5: {WHOLE}")).to_contain_text("49 days apart")
    first, second = boxes(page)
    assert first[1] == second[1]
    assert first[2] <= second[0]
    assert seen.wrongs(page) == []
    seen.picture(page, tmp_path, "two at the desk")
    page.emulate_media(media="print")
    page.pdf(path=tmp_path / "two.pdf", format="A4")
    for hidden in ("button", "select", "nav"):
        expect(page.locator(f"{hidden}:visible")).to_have_count(0)
    page.emulate_media(media="screen")


def test_any_two_can_be_chosen_and_the_older_stays_the_older(computer: Page) -> None:
    page = computer
    newer = page.get_by_label("The newer one")
    newer.select_option(index=0)
    expect(page.get_by_role("heading", name="same day", level=2)).to_be_visible()
    older = page.get_by_label("The older one").locator("option")
    expect(older).to_have_count(2)
    newer.select_option(index=1)
    expect(page.get_by_role("heading", name="49 days apart", level=2)).to_be_visible()


def test_on_a_narrow_screen_one_stands_above_the_other(computer: Page, tmp_path: Path) -> None:
    page = computer
    page.set_viewport_size({"width": PHONE[0], "height": PHONE[1]})
    above, below = boxes(page)
    assert above[3] <= below[1]
    seen.picture(page, tmp_path, "two, narrow")
    page.set_viewport_size({"width": DESK[0], "height": DESK[1]})


def test_the_office_says_of_a_photo_that_its_phone_has_it_still(
    computer: Page, tmp_path: Path
) -> None:
    page = computer
    page.goto("/#/pictures/b-t3")
    each = page.get_by_role("listitem")
    expect(each.filter(has_text=WHOLE)).to_contain_text("cannot be read as a picture")
    expect(each.filter(has_text=UNDER)).to_contain_text("still on the phone that took it")
    assert seen.wrongs(page) == []
    seen.picture(page, tmp_path, "states at the desk")
