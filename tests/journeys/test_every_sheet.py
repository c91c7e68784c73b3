"""Every sheet of a joined phone, in both languages and lights, small and wide: open to all."""

import os
import re
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from nursery.ops.demo import law
from nursery.ops.demo import names as n
from nursery.services import demo, words
from tests.journeys import seen
from tests.journeys.conftest import CHROMIUM
from tests.journeys.offices import Desk, Office, office_on
from tests.journeys.phones import DESK, PHONE, Phone, phone_of
from tests.steps import ROOT

# What a sheet is opened about, and of it what: something of the demo's third evening. A sheet that
# may be opened of nothing in particular has an empty one too. What has no name stands in braces.
ABOUT: dict[str, tuple[str, ...]] = {
    "batch": (n.T4, n.T1, f"{n.T1}/sampled"),
    "acts": (n.T1,),
    "count": (n.T1,),
    "fix": ("{sample}",),
    "note": (n.T1, n.QUARANTINE),
    "split": (n.T1,),
    "lost-label": ("", n.T1),
    "relabel": (n.T1,),
    "join-batches": (n.T1, n.OPEN_CITRUS),
    "move": (n.T1, n.OPEN_CITRUS),
    "lose": (n.T1, f"{n.T1}/culled", f"{n.T1}/sampled", f"{n.T1}/destroyed"),
    "photo": (n.T4, n.QUARANTINE),
    "pictures": (n.T4, n.T1, f"{n.T4}/two"),
    "people": ("", "papers", "seen", *(
        f"{part}/{demo.W1.id}" for part in ("person", "pin", "seen", "erase")
    )),
    "account": ("", "password"),
    "begin": ("", "card"),
    "room": ("", *(f"{n.QUARANTINE}{act}" for act in (
        *("", "/read", "/water", "/bath", "/clean", "/torn", "/mend", "/missed", "/report"),
        *("/empty", "/ready"),
    ))),
    "treat": ("", n.QUARANTINE, n.T1, f"{n.QUARANTINE}/plan", f"{n.T1}/plan"),
    "papers": ("", *(f"{about}{term}" for about in (n.QUARANTINE, n.T4) for term in (
        "", "/order", "/accept", "/inspect", "/result", "/release",
    ))),
    "bag": ("", n.QUARANTINE, f"{n.QUARANTINE}/shown", f"{n.QUARANTINE}/gone"),
    "destroy": ("", n.QUARANTINE, n.T4),
    "sample": (n.T4,),
    "pot": (n.T1,),
    "measure": (n.T1,),
    "roots": (n.T1, n.QUARANTINE),
    "grade": (n.T1, n.SHADE_HOUSE, f"{n.T1}/{n.SHADE_HOUSE}"),
    "emerged": (n.SEEDBED,),
    "prick": (n.SEEDBED,),
    "cuttings": ("", n.OPEN_CITRUS, n.T1),
    "rooted": (n.SEEDBED,),
    "graft": (n.OPEN_CITRUS, n.T1),
    "take": (n.OPEN_CITRUS,),
    "feed": (n.T1, n.SHADE_HOUSE),
    "toughen": (n.T1, n.SHADE_HOUSE),
    "prune": (n.T1, n.QUARANTINE),
    "rooms": ("", n.QUARANTINE, n.FIELD, "new", f"new/{n.QUARANTINE}", f"{n.QUARANTINE}/edit"),
    "match": (law.CONSIGNMENT, f"{law.CONSIGNMENT}/type"),
    "access": ("", n.QUARANTINE, n.SHADE_HOUSE),
    "arrive": ("", *(f"{law.CONSIGNMENT}{step}" for step in (
        "", "/open", "/trays", "/second", "/dead", "/officer", "/packing", "/tell",
    ))),
    "scan": ("", n.T1),
    "plant": ("", *(f"{n.TERRACES[1]}{row}" for row in ("", "/1", "/2"))),
    "block": ("", n.TERRACES[1], f"{n.TERRACES[1]}/draw", f"{n.TERRACES[1]}/shelter"),
    "scan-out": ("", *(f"{n.TERRACES[1]}{way}" for way in ("", "/back", "/broken"))),
    "permits": ("", "new", "own-rules", "own-rules/new", "own-rules/own-citrus", *(
        f"{law.PERMIT}{part}" for part in (
            "", "/edit", "/templates", "/new", "/term:cq-118-inspection-2", "/after:cq-118-days",
        )
    )),
    "rows": ("", *(f"{kind}{part}" for kind, one in (
        ("pest", n.BLACKFLY), ("crop", n.FINGER_LIME), ("seed_lot", "new"), ("checklist", "weekly"),
        ("program", n.TOUGHENING),
    ) for part in ("", "/new", f"/{one}"))),
    "products": ("", "new", n.OIL_SOAP),
    "consignments": ("", law.CONSIGNMENT, f"{law.CONSIGNMENT}/type"),
    "season": ("", law.CONSIGNMENT),
    "survey": ("", n.TERRACES[2], f"{n.TERRACES[2]}/5"),
    "scout": ("", n.TERRACES[2], f"{n.TERRACES[2]}/5"),
    "fill": (n.TERRACES[2],),
    "standing": ("", n.FIELD, n.TERRACES[2]),
    "trace": ("", "drills", "hand", "take", f"batch:{n.T2},batch:{n.T5}"),
    "weather": ("", "new"),
    "site": ("",),
    "logger": ("",),
    "file": (law.CONSIGNMENT, f"{law.CONSIGNMENT}/visits"),
    "hand": (law.CONSIGNMENT,),
    "links": ("", "new", "{link}"),
    "read": ("no-such-link",),
    "labels": ("", n.T1, f"{n.T1}/hold", f"{n.QUARANTINE}/hold"),
    "reminders": ("", "push", "settings", "settings/nursery", f"settings/{demo.W1.id}", *(
        ("calendar", "calendar/new", "{reminder}")
    )),
    "round": ("", n.QUARANTINE, n.CITRUS_BLOCK),
    "look": (n.T1, n.CITRUS_BLOCK),
    # Without a find, opening it begins one.
    "suspect": (f"{n.T4}/{{find}}",),
    "lift": (n.T4,),
    "planting": ("", law.CONSIGNMENT, f"{law.CONSIGNMENT}/field"),
    "may": (f"moving/{n.T1}", f"entering/{n.QUARANTINE}", f"leaving/{n.QUARANTINE}"),
    "from-paper": (n.QUARANTINE, n.SHADE_HOUSE),
    "traps": ("", n.QUARANTINE),
    "trap": (n.TRAP_A, n.TRAP_VENT_2),
    "join": ("", "a-code"),
}  # fmt: skip
# What a sheet says that has nothing to show: of none that is opened here.
NOTHING = ("batch.not_here", "app.not_found", "app.sheet_missing")
SHEETS = ROOT / "frontend/src/screens/sheets.ts"


def listed() -> dict[str, Path]:
    """Return the file of every sheet by its name, as the app lists them."""
    found = re.findall(
        r'^  "?([a-z-]+)"?: \{ load: \(\) => import\("(.+?)"\)', SHEETS.read_text(), re.MULTILINE
    )
    return {name: SHEETS.parent / path for name, path in found}


def addresses(records: dict[str, str]) -> list[str]:
    """Return what is opened, one after the other; `records` are the ids that have no name."""
    sheets = ["", "who"]
    for name in listed():
        sheets += [
            f"{name}/{about}".strip("/").format(**records) for about in ABOUT.get(name, ("",))
        ]
    return sheets


def test_each_sheet_that_is_about_something_is_opened_about_something() -> None:
    sheets = listed()
    taking = {
        name
        for name, file in sheets.items()
        if re.search(r"^  let \{ id\b.*\$props\(\)", file.read_text(), re.MULTILINE)
    }
    assert taking == {name for name, about in ABOUT.items() if any(about)}
    assert ABOUT.keys() <= sheets.keys()


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_on(tmp_path_factory.mktemp("sheets"), 3) as office:
        yield office


@pytest.fixture(scope="module")
def desk(office: Office) -> Desk:
    return Desk(office.url)


@pytest.fixture(scope="module")
def records(desk: Desk) -> dict[str, str]:
    until = (demo.EVENINGS[3] + timedelta(days=7)).isoformat()
    return {
        "link": desk.ask("POST", "links", {"name": "Orrin office", "ends_at": until})["id"],
        "sample": desk.records(n.T4, "sampled")[-1]["id"],
        "reminder": desk.get("reminders")["items"][0]["id"],
        "find": desk.records(n.T4, "found")[-1]["id"],
    }


def signed_in(page: Page) -> None:
    page.get_by_label("Your e-mail address").fill(demo.G.email)
    page.get_by_label("Password").fill(demo.G.password)
    page.get_by_role("button", name="Sign in").click()
    expect(page.get_by_label("Password")).to_have_count(0)


@pytest.fixture(scope="module")
def phone(browser: Browser, desk: Desk) -> Iterator[Phone]:
    """The grower's phone, on which she is signed in as well: nothing is shut to her."""
    found = phone_of(browser, desk, demo.G, "Grower's phone")
    found.go("people")
    signed_in(found.page)
    yield found
    found.context.close()


@pytest.fixture(scope="module")
def computer(browser: Browser, desk: Desk) -> Iterator[Phone]:
    """The office's computer: no phone has joined there."""
    context = browser.new_context(base_url=desk.url, locale="en-GB")
    page = context.new_page()
    found = Phone(context, page)
    page.on("pageerror", lambda error: found.faults.append(str(error)))
    page.goto("/")
    signed_in(page)
    yield found
    context.close()


LOOKS = {
    "a phone by day": ("English", "day", PHONE, "100%"),
    "un teléfono de noche": ("Español", "night", PHONE, "100%"),
    "a desk by lamp": ("English", "night", DESK, "100%"),
    "un escritorio de día": ("Español", "day", DESK, "100%"),
    "the narrowest phone": ("Español", "day", (320, 700), "100%"),
    "letters twice as large": ("English", "day", PHONE, "200%"),
}
LONG = os.environ.get("NURSERY_TEST_PROFILE") == "long"
# The look in which most goes wrong sees every sheet; the others take turns, so that each sheet is
# seen in two looks and each look sees a part. `--long` shows every sheet in every look.
HARDEST = "the narrowest phone"
TURNS = [look for look in LOOKS if look != HARDEST]
# The grower's own lists, as the office answers them and not the phone's copy.
AT_THE_OFFICE = (
    *("stock", "looks", "batch", "rooms", "match", "labels", "consignments", "file"),
    *("permits", "products", "rows", "what-if", "plan-back", "weeks", "season", "planting"),
    *("links", "people", "account", "begin", "backup", "take-away", "bring-in", "reminders"),
    "pictures",
)


def turn_of(look: str, looks: list[str], sheets: list[str]) -> list[str]:
    """Return the sheets of which it is this look's turn, or all of them in a long run."""
    if LONG or look not in looks:
        return sheets
    return sheets[looks.index(look) :: len(looks)]


def walked(phone: Phone, look: str, sheets: list[str], pictures: Path) -> dict[str, list[str]]:
    """Open sheet after sheet as somebody sees it; return what speaks against each."""
    language, light, (width, height), letters = LOOKS[look]
    page, wrong = phone.page, {}
    page.set_viewport_size({"width": width, "height": height})
    phone.go("")
    seen.settings(page, language=language, light=light)
    page.evaluate("size => { document.documentElement.style.fontSize = size }", letters)
    nothing = [words.say(language[:2].lower(), key, {}) for key in NOTHING]
    for name in sheets:
        phone.go(name)
        expect(page.locator("main h1, main [role=alert]").first, name).to_be_attached()
        seen.rests(page)
        seen.picture(page, pictures, name.replace("/", "-") or "home")
        found = [one for one in nothing if page.get_by_text(one, exact=True).count()]
        if found := found + seen.wrongs(page):
            wrong[name] = found
    page.evaluate("document.documentElement.style.fontSize = ''")
    return wrong


@pytest.mark.parametrize("look", LOOKS, ids=LOOKS.keys())
def test_every_sheet_is_open_to_everybody(
    phone: Phone, records: dict[str, str], look: str, tmp_path: Path
) -> None:
    sheets = turn_of(look, TURNS, addresses(records))
    assert walked(phone, look, sheets, tmp_path) == {}
    assert phone.faults == []


OFFICE_LOOKS = ["a desk by lamp", "un escritorio de día"]


@pytest.mark.parametrize("look", OFFICE_LOOKS)
def test_every_sheet_of_the_office_is_open_to_everybody(
    computer: Phone, records: dict[str, str], look: str, tmp_path: Path
) -> None:
    sheets = [one for one in addresses(records) if one.split("/")[0] in AT_THE_OFFICE]
    sheets = turn_of(look, OFFICE_LOOKS, ["", *sheets])
    assert walked(computer, look, sheets, tmp_path) == {}
    assert computer.faults == []


def test_the_browser_finds_nothing_against_installing_the_app(
    browser: Browser, office: Office, tmp_path: Path
) -> None:
    # Only a profile that is kept can install; a context as the others have is one in private.
    kept = browser.browser_type.launch_persistent_context(
        tmp_path, executable_path=CHROMIUM, args=["--no-sandbox"]
    )
    try:
        page = kept.new_page()
        page.goto(office.url)
        page.evaluate("navigator.serviceWorker.ready.then(() => true)")
        asked = kept.new_cdp_session(page)
        assert asked.send("Page.getInstallabilityErrors")["installabilityErrors"] == []
        assert asked.send("Page.getAppManifest")["errors"] == []
    finally:
        kept.close()
