"""Photos on a phone: taken small and without a place, kept first, never in the way of a record."""

import hashlib
import re
import tarfile
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

import pytest
from PIL import Image, ImageChops, ImageOps, ImageStat
from playwright.sync_api import Browser, Error, Page, expect

from nursery.services import demo
from tests.journeys import camera, seen
from tests.journeys.conftest import CHROMIUM
from tests.journeys.offices import Desk, Office, office_on
from tests.journeys.phones import PHONE, Phone, joined, phone_of

NAME = "A phone with a camera"
UPLOADS = "**/api/v1/uploads**"
# Protocol, requirement 23, in bytes.
TYPICAL, MOST, THUMB = 400_000, 1_500_000, 40_000


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_on(tmp_path_factory.mktemp("photos"), 2) as office:
        yield office


@pytest.fixture(scope="module")
def one(browser: Browser, office: Office) -> Iterator[Phone]:
    found = phone_of(browser, Desk(office.url), demo.W2, NAME)
    yield found
    found.context.close()


@pytest.fixture
def phone(one: Phone) -> Iterator[Phone]:
    """One phone for all; each test photographs batches of its own."""
    yield one
    assert one.faults == []


@pytest.fixture(scope="module")
def leaf(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A photograph of twelve megapixels, with EXIF and a place, lying on its side."""
    return camera.photograph(tmp_path_factory.mktemp("camera") / "leaf.jpg")


@pytest.fixture
def others(tmp_path: Path) -> list[Path]:
    """Three smaller ones, not alike."""
    return [
        camera.photograph(tmp_path / f"{seed}.jpg", seed=seed, size=(1600, 1200))
        for seed in (2, 3, 4)
    ]


def of(phone: Phone, subject: str) -> Page:
    phone.go(f"photo/{subject}")
    expect(phone.page.get_by_role("heading", name="Photos of")).to_be_visible()
    return phone.page


def says(page: Page, n: int) -> None:
    """Wait until so many photos are taken in the form, and none is on its way."""
    expect(page.get_by_role("heading", name="Photos of")).to_contain_text(f"{n} of 5")
    expect(page.get_by_text("made smaller and kept")).to_have_count(0)


def saves(phone: Phone, n: int) -> None:
    phone.page.get_by_role("button", name=f": {n} photo").first.click()
    expect(phone.page).to_have_url(re.compile("#/(batch/|$)"))


def alike(made: Image.Image, taken: Path) -> bool:
    """Whether a picture shows the same as the photograph that Pillow turns upright and shrinks."""
    upright = ImageOps.exif_transpose(Image.open(taken)).convert("RGB")
    size = (made.width // 4, made.height // 4)
    left = ImageChops.difference(made.convert("RGB").resize(size), upright.resize(size))
    # What the file's own coarseness leaves is about 2 of 255; a picture turned round leaves 40.
    return max(ImageStat.Stat(left).mean) < 6


def test_a_find_on_a_look_over_goes_with_its_pictures(
    phone: Phone, office: Office, others: list[Path]
) -> None:
    page = phone.page
    phone.go("look/b-t5")
    page.get_by_role("button", name=re.compile("^Found")).click()
    camera.take(page, "under the leaf", others[0])
    expect(page.get_by_role("heading", name="Photo")).to_contain_text("1 of 2")
    page.get_by_role("button", name="spots", exact=True).click()
    (photo,) = camera.kept(page, "b-t5")
    page.get_by_role("button", name="Save T5: found").click()
    expect(page).not_to_have_url(re.compile("#/look/"))
    phone.is_sent()
    desk = Desk(office.url)
    picture = desk.records("b-t5", "photographed")[-1]
    assert (picture["body"]["photo"], picture["body"]["shows"]) == (photo["id"], "underside")
    assert desk.records("b-t5", "looked")[-1]["body"]["answer"] == "found"


def test_requirement_23_twelve_megapixels_are_kept_small_upright_and_without_a_place(
    phone: Phone, office: Office, leaf: Path
) -> None:
    page = of(phone, "b-t4")
    shot = page.get_by_label("Take photo: whole plant")
    assert shot.get_attribute("accept") == "image/*"
    assert shot.get_attribute("capture") == "environment"
    assert b"Exif" in leaf.read_bytes()
    camera.take(page, "whole plant", leaf)
    says(page, 1)
    (photo,) = camera.kept(page, "b-t4")
    picture = photo["picture"]
    assert (picture.format, picture.size) == ("JPEG", (1200, 1600))
    assert (photo["width"], photo["height"], photo["bytes"]) == (1200, 1600, len(photo["file"]))
    assert len(photo["file"]) <= TYPICAL
    assert dict(picture.getexif()) == {}
    assert set(picture.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
    assert alike(picture, leaf)
    assert photo["sha256"] == hashlib.sha256(photo["file"]).hexdigest()
    (thumb,) = camera.kept(page, "b-t4", "thumb")
    assert thumb["picture"].size == (240, 320)
    assert len(thumb["file"]) <= THUMB
    assert dict(thumb["picture"].getexif()) == {}

    saves(phone, 1)
    phone.is_sent()
    bodies = [record["body"] for record in Desk(office.url).records("b-t4", "photographed")]
    (body,) = [body for body in bodies if body["photo"] == photo["id"]]
    assert body == {
        "photo": photo["id"],
        "sha256": photo["sha256"],
        "width": 1200,
        "height": 1600,
        "shows": "whole_plant",
    }


# Every way in which a camera can lie, as EXIF numbers it.
@pytest.mark.parametrize("lying", range(1, 9))
def test_a_picture_stands_upright_however_the_camera_lay(
    phone: Phone, lying: int, tmp_path: Path
) -> None:
    page = of(phone, "b-t1")
    taken = camera.photograph(tmp_path / "lying.jpg", size=(1800, 1200), lying=lying)
    again = page.get_by_label("Take again: whole plant").count() > 0
    camera.take(page, "whole plant", taken, again=again)
    says(page, 1)
    (photo,) = camera.kept(page, "b-t1")
    picture = photo["picture"]
    assert picture.size == ((1600, 1067) if lying < 5 else (1067, 1600))
    assert alike(picture, taken)
    assert not alike(picture.rotate(180), taken)
    assert not alike(ImageOps.mirror(picture), taken)


def test_requirement_23_whatever_comes_from_the_camera_is_kept_small_or_told(
    phone: Phone, tmp_path: Path
) -> None:
    page = of(phone, "b-t2")
    noise = camera.photograph(tmp_path / "noise.jpg", noise=True, lying=1)
    camera.take(page, "whole plant", noise)
    says(page, 1)
    glass = tmp_path / "glass.png"
    Image.new("RGBA", (640, 480), (0, 0, 0, 0)).save(glass)
    camera.take(page, "under the leaf", glass)
    says(page, 2)
    of_noise, of_glass = camera.kept(page, "b-t2")
    assert len(of_noise["file"]) <= MOST
    assert max(of_noise["picture"].size) <= 1600
    assert of_glass["picture"].size == (640, 480)
    assert of_glass["picture"].getpixel((320, 240)) == (255, 255, 255)
    letter = tmp_path / "letter.jpg"
    letter.write_bytes(b"\xff\xd8 this is a letter, not a leaf")
    camera.take(page, "label", letter)
    expect(page.get_by_role("alert")).to_contain_text("cannot read that file as a photo")
    says(page, 2)


def test_a_photo_can_be_taken_again_or_left_out_and_nothing_is_lost_by_it(
    phone: Phone, others: list[Path]
) -> None:
    page = of(phone, "b-t3")
    camera.take(page, "whole plant", others[0])
    says(page, 1)
    first = camera.kept(page, "b-t3")[0]["id"]
    camera.take(page, "whole plant", others[1], again=True)
    says(page, 1)
    (second,) = camera.kept(page, "b-t3")
    assert second["id"] != first
    page.get_by_role("button", name="Without whole plant").click()
    says(page, 0)
    assert page.get_by_role("button", name=": 0 photos").is_disabled()
    page.get_by_role("button", name="A photo of T3 taken").click()
    says(page, 1)
    saves(phone, 1)
    assert [photo["id"] for photo in camera.kept(page, "b-t3")] == [second["id"]]


def test_the_same_photo_with_two_batches_is_told(
    phone: Phone, leaf: Path, others: list[Path]
) -> None:
    page = of(phone, "b-t5")
    # T4's own, taken by the test before or here.
    if not camera.kept(page, "b-t4"):
        camera.take(of(phone, "b-t4"), "label", leaf)
        says(page, 1)
        of(phone, "b-t5")
    camera.take(page, "label", leaf)
    expect(page.get_by_role("alert")).to_contain_text("This photo is already with T4.")
    camera.take(page, "label", others[2], again=True)
    expect(page.get_by_role("alert")).to_have_count(0)
    says(page, 1)


LOOKS = [
    ("English", "day", 390, "100%"),
    ("Español", "night", 320, "100%"),
    ("English", "day", 390, "200%"),
]


def test_photos_are_open_to_everybody_whatever_became_of_them(
    phone: Phone, others: list[Path], tmp_path: Path
) -> None:
    page = of(phone, "b-t3")
    # Two that are alike, one turned down, one left out, one that is offered.
    camera.take(page, "whole plant", others[2])
    says(page, 1)
    camera.take(page, "under the leaf", others[2])
    says(page, 2)
    camera.take(page, "label", others[0])
    says(page, 3)
    letter = tmp_path / "letter.jpg"
    letter.write_bytes(b"a letter")
    camera.take(page, "close, with a scale", letter)
    page.get_by_role("button", name="Without label").click()
    expect(page.get_by_role("alert")).to_have_count(1)
    found = {}
    for language, light, width, letters in LOOKS:
        page.set_viewport_size({"width": width, "height": 844})
        seen.settings(page, language=language, light=light)
        page.evaluate("size => { document.documentElement.style.fontSize = size }", letters)
        seen.picture(page, tmp_path, f"{language}-{letters}")
        found[language, letters] = seen.wrongs(page)
    page.evaluate("document.documentElement.style.fontSize = ''")
    page.set_viewport_size({"width": 390, "height": 844})
    assert found == {(language, letters): [] for language, _, _, letters in LOOKS}


def test_the_office_is_told_what_waits_and_the_phone_says_so_without_signal(
    phone: Phone, office: Office, others: list[Path]
) -> None:
    page = of(phone, "b-t6")
    phone.offline()
    page.reload()
    for shot, taken in zip(("whole plant", "under the leaf"), others, strict=False):
        camera.take(page, shot, taken)
        expect(page.get_by_role("img", name=f"Photo: {shot}")).to_be_visible()
    saves(phone, 2)
    where = page.locator("header .where")
    expect(where).to_contain_text("2 not sent")
    expect(where).to_contain_text(re.compile(r"· \d photos"))
    assert [photo["state"] for photo in camera.kept(page, "b-t6")] == ["kept", "kept"]
    # Sent are the records. The photos wait, and that is what the phone and the office say.
    phone.context.route(UPLOADS, lambda route: route.abort())
    phone.offline(False)
    phone.is_sent()
    waiting = int(re.findall(r"· (\d) photos", where.inner_text())[0])
    phone.go("photos")
    expect(page.get_by_text(f"{waiting} photos wait on this phone.")).to_be_visible()
    sent = page.get_by_role("listitem").filter(has_text="T6:")
    expect(sent.filter(has_text="the office has its record; the photo goes next")).to_have_count(2)
    assert [photo["state"] for photo in camera.kept(page, "b-t6")] == ["described", "described"]
    (told,) = [each for each in Desk(office.url).get("devices")["items"] if each["name"] == NAME]
    assert (told["unsent"], told["photos_unsent"]) == (0, waiting)
    phone.context.unroute(UPLOADS)
    page.evaluate("dispatchEvent(new Event('online'))")
    expect(sent.filter(has_text="the office has it; it stays here too")).to_have_count(2)
    expect(where).not_to_contain_text("photos")


def test_all_photos_of_a_phone_go_into_one_file(
    phone: Phone, others: list[Path], tmp_path: Path
) -> None:
    page = of(phone, "b-oc1")
    camera.take(page, "whole plant", others[0])
    says(page, 1)
    saves(phone, 1)
    of(phone, "b-oc1")
    camera.take(page, "under the leaf", others[1])
    says(page, 1)
    phone.go("photos")
    ours = page.get_by_role("listitem").filter(has_text="OC1:")
    loose = ours.filter(has_text="no record names it")
    expect(loose).to_have_count(1)
    with page.expect_download() as download:
        page.get_by_role("button", name="Save all to a file").click()
    download.value.save_as(tmp_path / "photos.tar")
    with tarfile.open(tmp_path / "photos.tar") as archive:
        found = [archive.extractfile(one).read() for one in archive]  # type: ignore[union-attr]
    for photo in camera.kept(page, "b-oc1"):
        assert photo["file"] in found
    loose.get_by_role("button", name="Throw away").click()
    expect(loose).to_have_count(0)
    expect(ours.filter(has_text="in a file")).to_have_count(1)


# Neither the browser's own storage nor the disk takes what stands in forms.
DEAF = """() => {
  Storage.prototype.setItem = () => { throw new DOMException("gone") };
  const { put } = IDBObjectStore.prototype;
  IDBObjectStore.prototype.put = function (...what) {
    if (this.name === "marks") throw new DOMException("gone");
    return put.apply(this, what);
  };
}"""


def crashed(phone: Phone) -> Page:
    """Kill the page's process as a phone does while its camera is open; open the app anew."""
    page = phone.page
    with page.expect_event("crash"), suppress(Error):
        page.goto("chrome://crash")
    phone.page = phone.context.new_page()
    phone.page.set_default_timeout(20_000)
    phone.page.on("pageerror", lambda error: phone.faults.append(str(error)))
    phone.page.goto("/")
    page.close()
    return phone.page


def test_requirement_31_a_page_killed_while_the_camera_is_open_finds_its_form_as_it_was(
    phone: Phone, others: list[Path]
) -> None:
    page = of(phone, "b-pa1")
    camera.take(page, "whole plant", others[0])
    says(page, 1)
    with page.expect_file_chooser():
        page.get_by_label("Take photo: under the leaf").click()
    page = crashed(phone)
    of(phone, "b-pa1")
    says(page, 1)
    expect(page.get_by_role("img", name="Photo: whole plant")).to_be_visible()
    camera.take(page, "under the leaf", others[1])
    says(page, 2)
    saves(phone, 2)


def test_a_photo_that_came_back_before_its_page_was_killed_is_offered(
    phone: Phone, others: list[Path]
) -> None:
    page = of(phone, "b-pa1")
    # The form hears nothing of it any more: its page dies between the two.
    page.evaluate(DEAF)
    camera.take(page, "label", others[2])
    says(page, 1)
    page = crashed(phone)
    of(phone, "b-pa1")
    says(page, 0)
    page.get_by_role("button", name=re.compile("A photo of .+ taken")).click()
    says(page, 1)
    expect(page.get_by_role("img", name="Photo: label")).to_be_visible()
    saves(phone, 1)
    assert camera.kept(page, "b-pa1")[-1]["shows"] == "label"
    of(phone, "b-pa1")
    says(page, 0)
    expect(page.get_by_role("button", name=re.compile("A photo of .+ taken"))).to_have_count(0)


# Requirement 22: what the browser lets the app keep, of which the app itself takes some three. In
# five there is room for records alone, in twelve for some photos.
QUOTAS = {5_000_000: False, 12_000_000: True}
COUNTS = 10

# Something else of this origin takes the last of the room that photos left.
FILL = """async () => {
  const shelf = await new Promise((done) => {
    const opening = indexedDB.open("something else");
    opening.onupgradeneeded = () => opening.result.createObjectStore("things");
    opening.onsuccess = () => done(opening.result);
  });
  const fits = (size) => new Promise((done) => {
    const work = shelf.transaction("things", "readwrite");
    work.objectStore("things").put(new Blob([new Uint8Array(size)]), Math.random());
    work.oncomplete = () => done(true);
    work.onabort = () => done(false);
  });
  for (const size of [100_000, 10_000, 1_000]) while (await fits(size));
  shelf.close();
}"""


def small_phone(browser: Browser, office: Office, profile: Path, quota: int) -> Phone:
    """Make a phone with little room. Only a profile on the disk fills up as a phone does."""
    context = browser.browser_type.launch_persistent_context(
        profile,
        executable_path=CHROMIUM,
        args=["--no-sandbox"],
        base_url=office.url,
        locale="en-GB",
        viewport={"width": PHONE[0], "height": PHONE[1]},
    )
    # From the first byte on: the browser remembers for a while what it let through once.
    asked = {"origin": office.url, "quotaSize": quota}
    context.new_cdp_session(context.pages[0]).send("Storage.overrideQuotaForOrigin", asked)
    return joined(context, Desk(office.url), demo.W2, "A small phone")


def filled(phone: Phone, place: Path) -> int:
    """Take large photos and save them until one is turned down; return how many were kept."""
    page = phone.page
    for n in range(20):
        of(phone, "b-t2")
        coarse = camera.photograph(place / f"{n}.jpg", seed=n, noise=True, size=(1600, 1200))
        camera.take(page, "whole plant", coarse)
        told = page.get_by_role("alert").filter(has_text="No room for this photo")
        expect(told.or_(page.get_by_role("img", name="Photo: whole plant"))).to_be_visible()
        if told.count() > 0:
            return n
        saves(phone, 1)
    raise AssertionError("There was always room.")


def counts(phone: Phone) -> None:
    """Count a tray, all cells full."""
    phone.go("count/b-t2")
    phone.page.get_by_role("button", name="0", exact=True).click()
    phone.page.locator(".acts button").first.click()
    expect(phone.page).not_to_have_url(re.compile("#/count/"))


@pytest.mark.parametrize(("quota", "some"), QUOTAS.items(), ids=str)
def test_requirement_22_on_a_full_phone_a_record_is_saved_without_its_photo_and_text_goes_on(
    browser: Browser, office: Office, tmp_path: Path, quota: int, some: bool
) -> None:
    phone = small_phone(browser, office, tmp_path / "profile", quota)
    page = phone.page
    where = page.locator("header .where")
    phone.offline()
    photos = filled(phone, tmp_path)
    assert (photos > 0) == some
    assert len(camera.kept(page, "b-t2")) == photos
    if some:
        page.evaluate(FILL)
    for n in range(COUNTS):
        counts(phone)
        expect(where).to_contain_text(f"{photos + n + 1} not sent")
    camera.take(of(phone, "b-t2"), "whole plant", tmp_path / "0.jpg")
    expect(page.get_by_role("alert")).to_contain_text("Save the record without it")
    page.reload()
    expect(where).to_contain_text(f"{photos + COUNTS} not sent")
    phone.offline(False)
    phone.is_sent()
    assert phone.faults == []
    phone.context.close()
