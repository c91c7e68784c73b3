"""Scanning: the label that the office printed is read by the phone's camera; a mis-scan stops."""

import io
import re
from collections.abc import Iterator
from typing import Any

import pytest
import segno
from PIL import Image
from playwright.sync_api import Browser, Page, expect

from nursery.ops.demo import names as n
from nursery.services import demo
from tests.journeys import seen
from tests.journeys.conftest import CHROMIUM
from tests.journeys.hands import sent
from tests.journeys.held_up import Camera, label
from tests.journeys.offices import Desk, Office, office_on
from tests.journeys.phones import Phone, phone_of
from tests.phone import Writer

WATCHED = """
window.felt = []; window.heard = [];
navigator.vibrate = (pattern) => { felt.push(pattern); return true; };
const start = OscillatorNode.prototype.start;
OscillatorNode.prototype.start = function () {
  heard.push(this.frequency.value);
  start.call(this);
};
"""
SHUT = """
navigator.mediaDevices.getUserMedia = () =>
  Promise.reject(new DOMException("not here", "NotAllowedError"));
"""
A_WHILE = 20_000


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_on(tmp_path_factory.mktemp("labels"), 3) as office:
        yield office


@pytest.fixture(scope="module")
def camera(tmp_path_factory: pytest.TempPathFactory) -> Camera:
    camera = Camera(tmp_path_factory.mktemp("camera") / "seen.mjpeg")
    camera.shows()
    return camera


@pytest.fixture(scope="module")
def with_camera(browser: Browser, camera: Camera) -> Iterator[Browser]:
    flags = ["--no-sandbox", *camera.flags()]
    found = browser.browser_type.launch(executable_path=CHROMIUM, args=flags)
    yield found
    found.close()


@pytest.fixture(scope="module")
def asked() -> list[str]:
    """The address of everything that the phone's page fetches."""
    return []


@pytest.fixture(scope="module")
def phone(with_camera: Browser, office: Office, asked: list[str]) -> Iterator[Phone]:
    found = phone_of(with_camera, Desk(office.url), demo.W1, "Scanning phone")
    found.context.on("request", lambda request: asked.append(request.url))
    found.page.add_init_script(WATCHED)
    found.page.reload()
    seen.settings(found.page, language="English", light="day")
    yield found
    assert found.faults == []
    found.context.close()


@pytest.fixture(scope="module")
def labels(office: Office) -> dict[str, Image.Image]:
    trays = {name: label(office, batch=f"b-{name.lower()}") for name in ("T3", "T5")}
    return {**trays, "TR3": label(office, place="terrace-3")}


def look(phone: Phone, camera: Camera, sheet: str, *pictures: Image.Image) -> Page:
    """Hold labels before the camera and open a sheet that scans."""
    camera.shows(*pictures)
    phone.go("stock")
    phone.page.evaluate("felt.length = heard.length = 0")
    phone.go(sheet)
    return phone.page


def felt_and_heard(page: Page) -> tuple[Any, Any]:
    return page.evaluate("felt"), page.evaluate("heard")


def opens(page: Page, batch: str) -> None:
    expect(page).to_have_url(re.compile(rf"#/batch/{batch}$"), timeout=A_WHILE)


def test_a_printed_label_opens_its_tray_without_a_tap(
    phone: Phone, camera: Camera, labels: dict[str, Image.Image]
) -> None:
    page = look(phone, camera, "scan", labels["T3"])
    opens(page, "b-t3")
    assert felt_and_heard(page) == ([], [])


def test_without_signal_a_label_is_read_as_well_and_nothing_comes_from_elsewhere(
    phone: Phone, camera: Camera, labels: dict[str, Image.Image], office: Office, asked: list[str]
) -> None:
    phone.offline()
    phone.page.reload()
    page = look(phone, camera, "scan/b-t3", labels["T3"])
    opens(page, "b-t3")
    phone.offline(off=False)
    assert [url for url in asked if url.endswith(".wasm")]
    assert {url for url in asked if not url.startswith((office.url, "blob:"))} == set()


def test_another_tray_stops_the_screen_until_a_person_decides(
    phone: Phone, camera: Camera, labels: dict[str, Image.Image]
) -> None:
    page = look(phone, camera, "scan/b-t3", labels["T5"])
    stop = page.get_by_role("alert")
    expect(stop).to_contain_text("This is tray T5, not tray T3.", timeout=A_WHILE)
    expect(stop.get_by_role("img", name="tray T5")).to_be_visible()
    expect(stop.get_by_role("img", name="tray T3")).to_be_visible()
    assert felt_and_heard(page) == ([[500]], [165])
    assert seen.wrongs(page) == []
    # It goes on by nothing but a tap.
    page.wait_for_timeout(1500)
    expect(stop).to_be_visible()
    camera.shows(labels["T3"])
    phone.tap("Scan again")
    opens(page, "b-t3")


def test_who_has_the_other_one_in_hand_goes_on_with_it_by_one_tap(
    phone: Phone, camera: Camera, labels: dict[str, Image.Image]
) -> None:
    page = look(phone, camera, "scan/b-t3", labels["T5"])
    page.get_by_role("button", name="I have T5 here").click(timeout=A_WHILE)
    opens(page, "b-t5")


def test_a_terrace_is_no_tray_and_sounds_and_feels_otherwise(
    phone: Phone, camera: Camera, labels: dict[str, Image.Image]
) -> None:
    page = look(phone, camera, "scan/b-t3", labels["TR3"])
    stop = page.get_by_role("alert")
    expect(stop).to_contain_text("This is terrace TR3, not tray T3.", timeout=A_WHILE)
    assert felt_and_heard(page) == ([[250, 120, 250]], [110])
    expect(page.get_by_role("button", name="I have")).to_have_count(0)


def test_where_any_label_may_come_a_place_opens_as_it_stands_now(
    phone: Phone, camera: Camera, labels: dict[str, Image.Image]
) -> None:
    page = look(phone, camera, "scan", labels["TR3"])
    expect(page).to_have_url(re.compile(r"#/room/terrace-3$"), timeout=A_WHILE)
    assert felt_and_heard(page) == ([], [])
    expect(page.get_by_role("heading", name="Terrace 3", level=1)).to_be_visible()


def test_a_code_of_something_else_stops_as_well(phone: Phone, camera: Camera) -> None:
    drawn = io.BytesIO()
    segno.make_qr("https://example.invalid/seed").save(drawn, kind="png", scale=6)
    page = look(phone, camera, "scan", Image.open(drawn).convert("RGB"))
    expect(page.get_by_role("alert")).to_contain_text("no label of this nursery", timeout=A_WHILE)
    assert len(felt_and_heard(page)[0]) == 1


def newer(phone: Phone, office: Office) -> Image.Image:
    """Let another phone take on a tray that this one has not heard of; return its printed label."""
    new = {"id": "b-k9", "label": "K9", "place": n.SHADE_HOUSE}
    body = {"batch": new, "alive": 40, "method": "full"}
    text = Writer("newer", author=demo.W2.id).write("taken_on", ["b-k9"], body, demo.EVENINGS[3])
    assert sent(phone.context, office.url, "i-newer", text) == ["stored"]
    return label(office, batch="b-k9")


def test_a_label_that_is_newer_than_what_the_phone_heard_stops_until_it_hears_of_it(
    phone: Phone, camera: Camera, office: Office
) -> None:
    phone.offline()
    printed = newer(phone, office)
    page = look(phone, camera, "scan", printed)
    stop = page.get_by_role("alert")
    expect(stop).to_contain_text("This phone does not know this batch.", timeout=A_WHILE)
    assert len(felt_and_heard(page)[0]) == 1
    assert seen.wrongs(page) == []
    phone.offline(off=False)
    phone.go("stock")
    phone.is_sent()
    expect(page.get_by_role("img", name="K9")).to_be_visible()
    look(phone, camera, "scan", printed)
    opens(page, "b-k9")


def test_of_two_labels_in_the_frame_none_is_taken(
    phone: Phone, camera: Camera, labels: dict[str, Image.Image]
) -> None:
    page = look(phone, camera, "scan", labels["T3"], labels["T5"])
    expect(page.get_by_role("status")).to_contain_text("Two labels", timeout=A_WHILE)
    assert seen.wrongs(page) == []


def test_a_typed_label_that_has_a_look_alike_is_chosen_by_its_sign(
    phone: Phone, camera: Camera
) -> None:
    page = look(phone, camera, "scan")
    taps = phone.taps
    phone.tap("Type the label")
    assert seen.wrongs(page) == []
    for key in ("T", "3", "This one"):
        phone.tap(key, exact=True)
    expect(page.get_by_role("heading", name="Which one is it?")).to_be_visible()
    expect(page.get_by_role("img", name="terrace TR3")).to_be_visible()
    assert seen.wrongs(page) == []
    page.get_by_role("button").filter(has=page.get_by_role("img", name="tray T3")).click()
    opens(page, "b-t3")
    assert phone.taps - taps == 4


def test_a_typed_label_that_looks_like_no_other_is_taken_at_once(
    phone: Phone, camera: Camera
) -> None:
    page = look(phone, camera, "scan")
    phone.tap("Type the label")
    for key in ("T", "6", "This one"):
        phone.tap(key, exact=True)
    opens(page, "b-t6")


def test_where_the_camera_is_shut_the_phone_says_so_and_takes_keys(
    with_camera: Browser, office: Office
) -> None:
    shut = phone_of(with_camera, Desk(office.url), demo.W1, "Phone without a camera")
    shut.page.add_init_script(SHUT)
    shut.page.reload()
    seen.settings(shut.page, language="English", light="night")
    shut.go("scan")
    expect(shut.page.get_by_role("status")).to_contain_text("The camera is shut", timeout=A_WHILE)
    assert seen.wrongs(shut.page) == []
    shut.tap("Type the label")
    expect(shut.page.get_by_role("group", name="Letters and figures")).to_be_visible()
    shut.context.close()
