"""The first fifteen minutes, from an empty data folder to a printed card, counted in taps."""

import json
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, expect

from tests.journeys import seen
from tests.journeys.hands import Hand, sent
from tests.journeys.phones import DESK, PHONE
from tests.phone import Writer
from tests.product import answer, plain_environment, running, wait_until
from tests.servers import free_port

PASSWORD = "three tall kettles"
FORBIDDEN = {"en": "quarantine", "es": "cuarentena"}
PEOPLE, FIGURES = 2, 4
# As measured: who changes a step changes these.
TAPS, TYPED = 16, 11


@dataclass
class Empty:
    """A server that nobody has begun, and where the disk for its backups is."""

    url: str
    disk: Path


@pytest.fixture
def empty(tmp_path: Path) -> Iterator[Empty]:
    port = free_port()
    environment = {**plain_environment(), "NURSERY_DATA": str(tmp_path / "data")}
    disk = tmp_path / "disk"
    disk.mkdir()
    with running(environment, tmp_path / "up.log", "up", "--port", str(port)) as up:
        url = f"http://localhost:{port}"
        wait_until(lambda: answer(f"{url}/healthz")[0] == 200, why=up.said())
        wait_until(lambda: "No nursery is here yet" in up.said(), why=up.said())
        yield Empty(url, disk)


@dataclass
class Told:
    """How one grower begins: in a language, on a screen, with conditions or without."""

    language: str
    light: str
    size: tuple[int, int]
    conditions: bool


TELLINGS = {
    "a grower with a permit, at a desk": Told("en", "light", DESK, conditions=True),
    "una viverista sin permiso, con su teléfono": Told("es", "dark", PHONE, conditions=False),
}


def visitor(browser: Browser, url: str, told: Told) -> Hand:
    context = browser.new_context(
        base_url=url,
        locale="en-GB" if told.language == "en" else "es-PE",
        color_scheme=told.light,  # type: ignore[arg-type]
        timezone_id="America/Lima",
        viewport={"width": told.size[0], "height": told.size[1]},
    )
    return Hand(context.new_page(), told.language)


class Beginner:
    """Walks the steps, and holds each sheet on the way to what holds of all."""

    def __init__(self, browser: Browser, empty: Empty, told: Told, pictures: Path) -> None:
        self.hand = visitor(browser, empty.url, told)
        self.browser, self.empty, self.told, self.pictures = browser, empty, told, pictures
        self.wrong: dict[str, list[str]] = {}

    def look(self, name: str) -> None:
        page = self.hand.page
        page.wait_for_timeout(250)
        self.wrong[name] = seen.wrongs(page)
        seen.picture(page, self.pictures, f"{len(self.wrong):02}-{name}-{self.told.language}")
        if not self.told.conditions:
            text = page.locator("body").inner_text().lower()
            assert FORBIDDEN[self.told.language] not in text, name

    def before_there_is_a_nursery(self) -> None:
        hand = self.hand
        hand.page.goto("/")
        hand.is_at("begin.language")
        self.look("language")
        hand.tap(f"spoken.{self.told.language}")
        hand.is_at("begin.place")
        hand.type("begin.name", "Quillay Hollow")
        expect(hand.page.locator("main select")).to_have_value("America/Lima")
        self.look("place")
        hand.page.reload()  # left, and taken up again
        expect(hand.page.get_by_label(hand.says("begin.name"))).to_have_value("Quillay Hollow")
        hand.tap("begin.next")
        self.conditions_and_account()

    def conditions_and_account(self) -> None:
        hand = self.hand
        hand.is_at("begin.conditions")
        self.look("conditions")
        answer = "yes" if self.told.conditions else "no"
        hand.taps += 1
        hand.page.get_by_role("button", name=hand.says(f"begin.conditions_{answer}")).click()
        hand.is_at("begin.grower")
        hand.type("begin.your_name", "Ana Huenul")
        hand.type("begin.email", "ana@quillay.example")
        hand.page.get_by_label(hand.says("begin.password")).fill("professional")
        hand.one("begin.begin").click()
        hand.reads("problem.password_common")
        self.look("grower")
        hand.typed += 1
        hand.page.get_by_label(hand.says("begin.password")).fill(PASSWORD)
        hand.tap("begin.begin")

    def bench_and_people(self) -> None:
        hand = self.hand
        hand.is_at("begin.bench")
        hand.type("begin.room", "Shade 1")
        hand.type("begin.bench_name", "Bench 1")
        self.look("bench")
        hand.tap("begin.bench_save")
        hand.is_at("begin.people")
        hand.pad("2714")
        self.look("pin")
        hand.tap("pin.save", name="Ana Huenul")
        hand.type("people.name", "Davo Terrin")
        self.look("person")
        hand.tap("people.save", name="Davo Terrin")
        hand.reads("pin.choose", name="Davo Terrin")
        hand.pad("2714")
        hand.reads("pin.shared", name="Ana Huenul")
        hand.page.get_by_role("button", name=hand.says("keys.back")).click()
        hand.page.get_by_role("button", name="9", exact=True).click()
        expect(hand.page.get_by_text(hand.says("pin.shared", name="Ana Huenul"))).to_have_count(0)
        hand.tap("pin.save", name="Davo Terrin")
        expect(hand.one("begin.people_more")).to_be_visible()
        self.look("people")
        hand.tap("begin.next")

    def a_phone_joins(self) -> Hand:
        hand = self.hand
        hand.is_at("begin.phone")
        hand.tap("invite.show")
        expect(hand.page.get_by_role("img", name="")).not_to_have_count(0)
        hand.page.get_by_text(hand.says("invite.by_hand")).click()
        self.look("code")
        link = hand.page.locator("a.link").get_attribute("href") or ""
        phone = visitor(
            self.browser, self.empty.url, Told(self.told.language, "light", PHONE, conditions=True)
        )
        phone.page.goto(link)
        phone.tap("join.join")
        phone.tap_named("Davo Terrin")
        phone.pad("2719")
        expect(phone.page.locator("nav.thumbs")).to_be_visible()
        hand.reads("invite.joined", name=hand.says("invite.name_room"))
        self.look("joined")
        hand.tap("begin.next")
        return phone

    def try_it(self, phone: Hand) -> None:
        hand = self.hand
        hand.is_at("begin.try")
        hand.reads("begin.try_nothing")
        people = ask(hand, "rows/person")["items"]
        davo = next(row["id"] for row in people if row["body"]["name"] == "Davo Terrin")
        pen = Writer("try", author=davo)
        new = {"id": "b-1", "label": "K1", "place": "l-shade-1-bench-1"}
        body = {"batch": new, "alive": 120, "method": "full"}
        text = pen.write("taken_on", ["b-1"], body, datetime.now(UTC))
        assert sent(phone.page.context, self.empty.url, "i-try", text) == ["stored"]
        hand.reads("begin.try_came", n=1)
        self.look("try")
        hand.tap("begin.next")

    def backup_and_card(self) -> None:
        hand = self.hand
        hand.is_at("begin.backup")
        hand.type("backup.folder", str(self.empty.disk))
        hand.tap("backup.use")
        hand.reads("backup.making")
        expect(hand.one("backup.make")).to_be_enabled(timeout=90_000)
        self.look("backup")
        assert list(self.empty.disk.glob("nursery-*.zip"))
        hand.tap("begin.next")
        hand.is_at("begin.card")
        numbers = hand.page.locator("input[type=tel]")
        expect(numbers).to_have_count(6 if self.told.conditions else 5)
        for line, number in enumerate(("0550 3", "0550 118", "0550 77")):
            hand.typed += 1
            numbers.nth(line).fill(number)
        self.look("card")
        hand.tap("card.save")
        hand.reads("card.saved")
        self.look("card kept")
        hand.tap("card.print")
        hand.is_at("emergency.title")
        expect(hand.page.get_by_role("link", name="0550 118")).to_be_visible()
        hand.page.emulate_media(media="print")
        seen.picture(hand.page, self.pictures, f"printed-{self.told.language}")
        expect(hand.page.get_by_role("navigation")).to_be_hidden()
        hand.page.emulate_media(media="screen")


@pytest.mark.parametrize("name", TELLINGS)
def test_an_empty_server_becomes_a_nursery_in_fifteen_minutes(
    browser: Browser, empty: Empty, name: str, tmp_path: Path
) -> None:
    told = TELLINGS[name]
    walk = Beginner(browser, empty, told, tmp_path)
    walk.before_there_is_a_nursery()
    walk.bench_and_people()
    phone = walk.a_phone_joins()
    walk.try_it(phone)
    walk.backup_and_card()
    hand = walk.hand
    hand.page.goto("/#/begin")
    expect(hand.one("begin.finished")).to_be_visible()
    expect(hand.page.get_by_text(hand.says("begin.is_open"), exact=True)).to_have_count(0)
    walk.look("all steps")
    for sheet, title in (("people", "people.title"), ("backup", "backup.title")):
        hand.page.goto(f"/#/{sheet}")
        hand.is_at(title)
        walk.look(sheet)
    card = ask(hand, "rows/emergency_card/card")["body"]["calls"]
    assert (card[0]["what"], card[0]["number"]) == ("ambulance", "0550 3")
    nursery = ask(hand, "rows/nursery/quillay-hollow")["body"]
    assert (nursery["conditions"], nursery["languages"]) == (told.conditions, [told.language])
    assert {name: found for name, found in walk.wrong.items() if found} == {}
    assert hand.faults == phone.faults == []
    assert (hand.taps, hand.typed, hand.figures) == (TAPS, TYPED, PEOPLE * FIGURES)
    assert (phone.taps, phone.figures) == (2, FIGURES)


def ask(hand: Hand, path: str) -> Any:
    answered = hand.page.context.request.get(f"/api/v1/{path}")
    assert answered.ok
    return answered.json()


def test_nobody_else_begins_it_again(browser: Browser, empty: Empty) -> None:
    told = TELLINGS["a grower with a permit, at a desk"]
    first, second = (visitor(browser, empty.url, told) for _ in range(2))
    second.page.goto("/#/begin/grower")
    second.is_at("begin.grower")
    said = {"name": "Other", "zone": "UTC", "language": "en", "conditions": True}
    said |= {"grower": "Ana", "email": "ana@quillay.example", "password": PASSWORD}
    headers = {"Content-Type": "application/json", "Origin": empty.url}
    began = first.page.context.request.post("/api/v1/begin", data=json.dumps(said), headers=headers)
    assert began.status == 201
    second.type("begin.your_name", "Eve")
    second.type("begin.email", "eve@elsewhere.example")
    second.page.get_by_label(second.says("begin.password")).fill(PASSWORD)
    second.tap("begin.begin")
    expect(second.page.get_by_role("alert")).to_be_visible()
    second.page.goto("/#/begin")
    second.page.reload()
    second.is_at("sign_in.title")
