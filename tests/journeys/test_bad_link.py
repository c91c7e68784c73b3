"""Photos over a link that is late, cuts, loses answers and doubles: each comes whole, and once."""

import re
import sys
from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path
from time import monotonic
from typing import Any

import pytest
from playwright.sync_api import Browser, expect

from nursery.services import demo
from tests.journeys import camera
from tests.journeys.bad_link import HARMS, BadLink
from tests.journeys.offices import Desk, Office, office_on
from tests.journeys.phones import Phone, phone_of

PATIENCE_S = 60
# Chosen so that each sort of harm is done; which call comes when is the browser's own.
SEED = 5
MOST_HARM = 16
BATCHES = ("b-t3", "b-t4", "b-t5", "b-t6")


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_on(tmp_path_factory.mktemp("bad-link"), 2) as office:
        yield office


@pytest.fixture
def link(office: Office) -> Iterator[BadLink]:
    with BadLink(office.port, SEED, MOST_HARM).running() as link:
        yield link


@pytest.fixture
def phone(browser: Browser, link: BadLink) -> Iterator[Phone]:
    found = phone_of(browser, Desk(link.url), demo.W2, "A phone behind a bad link")
    yield found
    assert found.faults == []
    found.context.close()


def photographs(phone: Phone, batch: str, file: Path) -> dict[str, Any]:
    """Photograph a batch and save it; return the photo as the phone keeps it."""
    page = phone.page
    phone.go(f"photo/{batch}")
    camera.take(page, "whole plant", file)
    expect(page.get_by_role("heading", name="Photos of")).to_contain_text("1 of 5")
    expect(page.get_by_text("made smaller and kept")).to_have_count(0)
    (photo,) = camera.kept(page, batch)
    page.get_by_role("button", name=": 1 photo").first.click()
    expect(page).to_have_url(re.compile("#/batch/"))
    return photo


def all_arrive(phone: Phone, places: list[Path]) -> float:
    """Wait until every photo is at the office; return the seconds that it took."""
    began = monotonic()
    while not all(place.is_file() for place in places):
        assert monotonic() < began + PATIENCE_S
        # The link comes and goes, and the phone is told so.
        phone.page.evaluate("dispatchEvent(new Event('online'))")
        phone.page.wait_for_timeout(250)
    return monotonic() - began


def test_each_photo_is_at_the_office_whole_and_once(
    phone: Phone, link: BadLink, office: Office, tmp_path: Path
) -> None:
    phone.offline()
    photos = {
        batch: photographs(phone, batch, camera.photograph(tmp_path / f"{n}.jpg", seed=40 + n))
        for n, batch in enumerate(BATCHES)
    }
    link.harmful = True
    phone.offline(False)
    kept = office.folder / "demo/photos" / demo.NURSERY
    places = [kept / str(photo["sha256"]) for photo in photos.values()]
    seconds = all_arrive(phone, places)
    phone.is_sent()
    link.harmful = False
    size = sum(photo["bytes"] for photo in photos.values())
    told = f"seed {SEED}: {len(photos)} photos, {link.slices / size:.3f} times {size} bytes"
    sys.stdout.write(f"{told}, {seconds:.1f} s, {link.calls} calls, {dict(link.done)}\n")
    assert set(link.done) == set(HARMS)
    assert size < link.slices <= 1.3 * size
    for photo, place in zip(photos.values(), places, strict=True):
        assert sha256(place.read_bytes()).hexdigest() == photo["sha256"]
        assert place.read_bytes() == photo["file"]
    assert list(kept.glob("*.part")) == []
    # Half a slice, or one slice twice at once, is no fault of the office's.
    assert "Traceback" not in (office.folder / "web.log").read_text()
    desk = Desk(office.url)
    for batch, photo in photos.items():
        bodies = [record["body"]["photo"] for record in desk.records(batch, "photographed")]
        assert bodies.count(photo["id"]) == 1
        seen = [one["photo"] for one in desk.get(f"batches/{batch}/photos")["items"]]
        assert seen.count(photo["id"]) == 1
