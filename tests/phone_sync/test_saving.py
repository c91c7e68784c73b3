"""What a person has saved is on the phone for good, whatever the browser does."""

import json
import re
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Error, expect

from nursery.services import demo
from tests.journeys.offices import Desk
from tests.journeys.phones import Phone
from tests.phone_sync import shelf
from tests.phone_sync.conftest import count, fill, phone_on, save, sent
from tests.phone_sync.front import Front
from tests.steps import FRONTEND

# What a sheet wants to know, where it wants to know what it is about.
ABOUT = {"batch": "b-t1", "count": "b-t1", "photo": "b-t1", "join": "a-code"}


def test_requirement_19_changing_hands_changes_no_record(phone: Phone, desk: Desk) -> None:
    phone.offline()
    count(phone, 53)
    phone.is_written_by(demo.W1)
    phone.offline(False)
    sent(phone)
    written = [json.loads(row["text"]) for row in shelf.outbox(phone.page)]
    assert [entry["author"] for entry in written] == [demo.W2.id]
    [mine] = [e for e in desk.records("b-t1", "counted") if e["id"] == written[0]["id"]]
    assert mine == written[0]


def every_sheet() -> list[str]:
    """Return the name of every sheet, as the app lists them."""
    listed = (FRONTEND / "src/screens/sheets.ts").read_text()
    return ["", *re.findall(r'^  "?([a-z-]+)"?: \{ load', listed, re.MULTILINE)]


def test_requirement_20_what_is_not_sent_stands_on_every_sheet_with_its_age(phone: Phone) -> None:
    phone.offline()
    count(phone, 53)
    count(phone, 52, "b-t2")
    sheets = every_sheet()
    assert len(sheets) > 20
    for sheet in sheets:
        phone.go(f"{sheet}/{ABOUT[sheet]}" if sheet in ABOUT else sheet)
        expect(phone.page.locator("main h1, main [role=alert]").first).to_be_visible()
        expect(phone.page.locator(".where")).to_contain_text(re.compile(r"2 not sent, oldest \d"))


def test_requirement_20_a_file_made_without_signal_gives_the_office_the_same_records(
    browser: Browser, desk: Desk, tmp_path: Path
) -> None:
    with phone_on(browser, desk, "lost phone") as phone:
        phone.offline()
        for batch, alive in (("b-t3", 53), ("b-t4", 52), ("b-t5", 48)):
            count(phone, alive, batch)
        phone.go("unsent")
        with phone.page.expect_download() as download:
            phone.page.get_by_role("button", name="Hand over as a file").click()
        file = tmp_path / "records.json"
        download.value.save_as(file)
        kept = [json.loads(row["text"])["id"] for row in shelf.outbox(phone.page)]
    # The phone is lost now; the grower hands the file in.
    answer = desk.ask("POST", "sync/rescue", json.loads(file.read_text()))
    assert [result["id"] for result in answer["results"]] == kept
    assert {result["status"] for result in answer["results"]} == {"stored"}
    assert desk.records("b-t5", "counted")[-1]["id"] == kept[-1]


@pytest.mark.parametrize("answer", [True, False])
def test_requirement_21_the_first_save_asks_to_keep_the_storage_and_tells_the_answer(
    browser: Browser, desk: Desk, front: Front, answer: bool
) -> None:
    script = f"""navigator.storage.persist = async () => {{
      sessionStorage.asked = Number(sessionStorage.asked ?? 0) + 1;
      return {str(answer).lower()};
    }}"""
    with phone_on(browser, desk, f"phone that says {answer}", script) as phone:
        assert shelf.own(phone.page)["persisted"] is None
        count(phone, 53)
        count(phone, 52)
        sent(phone)
        assert phone.page.evaluate("sessionStorage.asked") == "1"
        assert shelf.own(phone.page)["persisted"] is answer
    assert front.of("/push")[-1].told()["persisted"] is answer


def test_requirement_24_a_connection_that_breaks_under_a_save_is_opened_anew(phone: Phone) -> None:
    fill(phone, 53)
    phone.page.evaluate(
        """() => {
          const real = IDBDatabase.prototype.transaction;
          let broken = false;
          IDBDatabase.prototype.transaction = function (stores, mode, options) {
            if (broken || this.name !== "outbox" || mode !== "readwrite")
              return real.call(this, stores, mode, options);
            broken = true;
            throw new DOMException("Connection to the database lost", "UnknownError");
          };
        }"""
    )
    save(phone)
    assert len(shelf.outbox(phone.page)) == 1


def test_requirement_24_where_nothing_can_be_kept_the_form_stays_and_says_so(phone: Phone) -> None:
    fill(phone, 53)
    phone.page.evaluate(
        """() => {
          const real = IDBDatabase.prototype.transaction;
          window.mend = () => { IDBDatabase.prototype.transaction = real; };
          IDBDatabase.prototype.transaction = function () {
            throw new DOMException("Internal error opening backing store", "UnknownError");
          };
        }"""
    )
    phone.page.get_by_role("button", name="Save ").click()
    expect(phone.page.get_by_role("alert").first).to_contain_text("cannot keep records now")
    expect(phone.page.get_by_role("button", name="Save T1: 53")).to_be_visible()
    phone.page.evaluate("mend()")
    save(phone)
    assert len(shelf.outbox(phone.page)) == 1


def test_requirement_30_a_phone_is_emptied_only_once_nothing_would_be_lost(phone: Phone) -> None:
    phone.offline()
    count(phone, 53)
    phone.go("unsent")
    phone.page.get_by_text("This phone leaves the nursery").click()
    expect(phone.page.get_by_text("in no tested backup and in no file")).to_be_visible()
    expect(phone.page.get_by_role("button", name="Empty this phone")).to_have_count(0)
    with phone.page.expect_download():
        phone.page.get_by_role("button", name="Hand over as a file").click()
    phone.page.get_by_role("button", name="Empty this phone").click()
    with phone.page.expect_navigation():
        phone.page.get_by_role("button", name="Tap again").click()
    expect(phone.page.locator("header")).to_contain_text("has not heard from the office yet")
    assert shelf.outbox(phone.page) == []
    names = phone.page.evaluate("indexedDB.databases().then((all) => all.map(({ name }) => name))")
    assert not {"copy-a", "copy-b"} & {*names}


def test_requirement_31_a_form_outlives_a_page_that_is_killed(phone: Phone) -> None:
    phone.offline()
    fill(phone, 53)
    expect(phone.page.get_by_role("button", name="Save T1: 53")).to_be_visible()
    killed = phone.page
    with pytest.raises(Error):
        killed.goto("chrome://crash")
    phone.page = phone.context.new_page()
    killed.close()
    phone.page.goto("/")
    phone.go("count/b-t1")
    save(phone)
    assert json.loads(shelf.outbox(phone.page)[0]["text"])["body"]["alive"] == 53


def test_requirement_22_a_phone_too_full_for_a_picture_still_saves_records(phone: Phone) -> None:
    """Full to the brim but for less than a picture takes: browsers count their last bytes late."""
    session = phone.context.new_cdp_session(phone.page)
    origin = phone.page.evaluate("location.origin")
    phone.offline()
    used = phone.page.evaluate("navigator.storage.estimate().then(({ usage }) => usage)")
    quota = {"origin": origin, "quotaSize": max(5_000_000, used + 1_000_000)}
    session.send("Storage.overrideQuotaForOrigin", quota)
    filled = phone.page.evaluate(
        """async () => {
          const cache = await caches.open("filler");
          await cache.put("/room", new Response(new Uint8Array(300_000)));
          let bytes = 0;
          for (const size of [1_000_000, 100_000, 10_000, 1000, 100]) for (;;) {
            const piece = new Uint8Array(size);
            for (let at = 0; at < size; at += 65536)
              crypto.getRandomValues(piece.subarray(at, Math.min(size, at + 65536)));
            try { await cache.put(`/filler-${bytes}`, new Response(piece)); bytes += size; }
            catch { break; }
          }
          await cache.delete("/room");
          return bytes;
        }"""
    )
    assert 0 < filled < quota["quotaSize"] - used
    for alive in range(30, 50):
        count(phone, alive)
    assert len(shelf.outbox(phone.page)) == 20
