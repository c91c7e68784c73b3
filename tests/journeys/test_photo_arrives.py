"""A photo taken without signal is at the office once there is some, whole, wherever it was cut."""

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from hashlib import sha256
from pathlib import Path
from time import monotonic
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, Request, Route, expect

from nursery.services import demo
from tests.journeys import camera
from tests.journeys.offices import Desk, Office, office_on
from tests.journeys.phones import Phone, phone_of
from tests.product import running

UPLOADS = "**/api/v1/uploads**"
PATIENCE_S = 60
NAME = "A phone whose photos arrive"


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_on(tmp_path_factory.mktemp("photo-arrives"), 2) as office:
        yield office


@pytest.fixture(scope="module")
def desk(office: Office) -> Desk:
    return Desk(office.url)


@pytest.fixture(scope="module")
def one(browser: Browser, desk: Desk) -> Iterator[Phone]:
    found = phone_of(browser, desk, demo.W2, NAME)
    yield found
    found.context.close()


@pytest.fixture
def phone(one: Phone) -> Iterator[Phone]:
    yield one
    one.context.unroute_all()
    one.offline(False)
    assert one.faults == []


@dataclass
class Air:
    """What goes over the air, slice by slice; a slice can be met on its way."""

    meets: Callable[[int, Route], bool] = lambda _nth, _route: False
    slices: list[int] = field(default_factory=list)
    asked: int = 0

    def carry(self, route: Route, request: Request) -> None:
        self.asked += request.method == "HEAD"
        if request.method == "PATCH":
            self.slices.append(len(request.post_data_buffer or b""))
            if self.meets(len(self.slices), route):
                return
        route.continue_()


def takes(phone: Phone, subject: str, file: Path) -> dict[str, Any]:
    """Photograph a batch without signal and save it; return the photo as the phone keeps it."""
    page = phone.page
    phone.offline()
    phone.go(f"photo/{subject}")
    camera.take(page, "whole plant", file)
    expect(page.get_by_role("heading", name="Photos of")).to_contain_text("1 of 5")
    expect(page.get_by_text("made smaller and kept")).to_have_count(0)
    (photo,) = camera.kept(page, subject)
    page.get_by_role("button", name=": 1 photo").first.click()
    expect(page).to_have_url(re.compile("#/(batch/|$)"))
    return photo


def has_signal(phone: Phone) -> None:
    phone.offline(False)
    phone.page.evaluate("dispatchEvent(new Event('online'))")


def at_the_office(office: Office, photo: dict[str, Any]) -> Path:
    return office.folder / "demo/photos" / demo.NURSERY / str(photo["sha256"])


def missing(desk: Desk, photo: dict[str, Any]) -> Any:
    """Why the release file of the batch's consignment lacks this photo; None where it does not."""
    found = desk.get("consignments/con-1/file")["photos"]
    (line,) = [each for each in found if each["name"] == photo["id"]]
    return line["missing"]


def waits(page: Page) -> None:
    """Wait until the sheet of this phone's photos says that its record alone is sent."""
    expect(page.get_by_text("the office has its record; the photo goes next")).to_have_count(1)


def comes_true(page: Page, true: Callable[[], bool]) -> None:
    """Wait, while the page goes on."""
    until = monotonic() + PATIENCE_S
    while not true():
        assert monotonic() < until
        page.wait_for_timeout(50)


def arrives(phone: Phone, office: Office, photo: dict[str, Any]) -> None:
    place = at_the_office(office, photo)
    comes_true(phone.page, place.is_file)
    came = place.read_bytes()
    assert came == photo["file"]
    assert sha256(came).hexdigest() == photo["sha256"]


def test_a_photo_taken_without_signal_arrives_and_the_release_file_has_it(
    phone: Phone, office: Office, desk: Desk, tmp_path: Path
) -> None:
    taken = camera.photograph(tmp_path / "leaf.jpg")
    photo = takes(phone, "b-t4", taken)
    phone.context.route(UPLOADS, lambda route: route.abort())
    has_signal(phone)
    phone.is_sent()
    phone.go("photos")
    waits(phone.page)
    assert missing(desk, photo) == "not_sent"
    assert not at_the_office(office, photo).exists()

    phone.context.unroute_all()
    has_signal(phone)
    expect(phone.page.get_by_text("the office has it; it stays here too")).to_have_count(1)
    expect(phone.page.get_by_text("waits on this phone")).to_have_count(0)
    arrives(phone, office, photo)
    assert missing(desk, photo) is None
    # The phone keeps its own, and the office knows that nothing waits there any more.
    (kept,) = camera.kept(phone.page, "b-t4")
    assert kept["file"] == photo["file"]
    assert kept["state"] == "sent"
    comes_true(phone.page, lambda: told_of(desk)["photos_unsent"] == 0)


def told_of(desk: Desk) -> dict[str, Any]:
    (told,) = [each for each in desk.get("devices")["items"] if each["name"] == NAME]
    return dict(told)


def test_one_that_is_cut_goes_on_where_it_was(phone: Phone, office: Office, tmp_path: Path) -> None:
    photo = takes(phone, "b-t5", camera.photograph(tmp_path / "leaf.jpg", seed=5))

    def cut(nth: int, route: Route) -> bool:
        if nth == 2:
            route.abort("connectionreset")
        return nth == 2

    air = Air(cut)
    phone.context.route(UPLOADS, air.carry)
    has_signal(phone)
    arrives(phone, office, photo)
    size = photo["bytes"]
    assert size < sum(air.slices) <= 1.3 * size
    assert air.asked == 1


def test_one_whose_signal_goes_waits_for_the_next_however_the_app_was_closed(
    phone: Phone, office: Office, tmp_path: Path
) -> None:
    photo = takes(phone, "b-t6", camera.photograph(tmp_path / "leaf.jpg", seed=6))

    def gone(nth: int, route: Route) -> bool:
        if nth == 3:
            phone.offline()
            route.abort("internetdisconnected")
        return nth == 3

    air = Air(gone)
    phone.context.route(UPLOADS, air.carry)
    has_signal(phone)
    part = at_the_office(office, photo).with_suffix(".part")
    comes_true(phone.page, lambda: len(air.slices) == 3)
    assert part.stat().st_size == sum(air.slices[:2])
    assert not at_the_office(office, photo).exists()
    phone.page.reload()
    has_signal(phone)
    arrives(phone, office, photo)
    comes_true(phone.page, lambda: not part.exists())
    assert photo["bytes"] < sum(air.slices) <= 1.3 * photo["bytes"]


def is_drawn_and_backed_up(phone: Phone, desk: Desk, photo: dict[str, Any]) -> None:
    def told() -> Any:
        found = desk.get("batches/b-t3/photos")["items"]
        return next(one for one in found if one["sha256"] == photo["sha256"])

    comes_true(phone.page, lambda: told()["state"] == "here")
    assert [one["longest"] for one in told()["sizes"]] == [320, 800, 1600]
    desk.ask("POST", "backup")
    comes_true(phone.page, lambda: (desk.get("backup")["tested"] or {}).get("photos", 0) > 0)


def test_one_in_a_tested_backup_leaves_the_phone_and_is_seen_at_the_office(
    phone: Phone, office: Office, desk: Desk, tmp_path: Path
) -> None:
    photo = takes(phone, "b-t3", camera.photograph(tmp_path / "leaf.jpg", seed=7))
    has_signal(phone)
    arrives(phone, office, photo)
    jobs = office.told(demo.EVENINGS[2])
    with running(jobs, office.folder / "worker.log", "worker"):
        is_drawn_and_backed_up(phone, desk, photo)
    # A phone asks now and then, and when the app is opened.
    phone.page.reload()
    has_signal(phone)
    phone.go("photos")
    safe = phone.page.get_by_text("in a tested backup; a small one stays here")
    expect(safe.first).to_be_visible()
    kept = camera.kept(phone.page, "b-t3", "thumb")
    assert [(one["id"], one["state"]) for one in kept] == [(photo["id"], "safe")]
