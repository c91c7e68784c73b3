"""When a hold has ended its labels are taken off: the sheet of labels says which."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from tests.journeys import seen
from tests.journeys.conftest import DESK
from tests.journeys.offices import Office, office_on
from tests.journeys.test_shell import settled, sign_in


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with office_on(tmp_path_factory.mktemp("hold-labels"), 4.5) as office:
        yield office


@pytest.mark.parametrize(("width", "height"), [DESK, (390, 844)])
def test_the_labels_of_a_hold_that_ended_are_named_and_no_more_are_printed(
    browser: Browser, office: Office, tmp_path: Path, width: int, height: int
) -> None:
    context = browser.new_context(
        base_url=office.url, locale="en-GB", viewport={"width": width, "height": height}
    )
    page = context.new_page()
    faults: list[str] = []
    page.on("pageerror", lambda error: faults.append(str(error)))
    sign_in(page)
    settled(page, "/#/labels")
    gone = page.get_by_role("list", name="Take off now")
    expect(gone.get_by_role("listitem")).to_have_count(1)
    expect(gone).to_contain_text("T1, T2, T3, T5, T6 and Quarantine room")
    expect(gone).to_contain_text("Held SUN 4 MAY to FRI 6 JUN, order EM-77.")
    expect(page.get_by_role("button", name="Labels of the hold")).to_have_count(0)
    assert seen.wrongs(page) == []
    seen.picture(page, tmp_path, "ended")
    made = page.request.post("/api/v1/labels", data={"batches": ["b-t1"], "hold": True})
    assert made.status in {403, 422}
    assert faults == []
    context.close()
