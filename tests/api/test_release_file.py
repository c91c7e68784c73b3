"""The release file over HTTP: its facts, its paper and its signed page, for whom they are."""

from typing import Any

import pytest

from nursery.paper import bundle_check
from nursery.services import signing
from tests.api.conftest import Cast

ADDRESS = "/api/v1/consignments/c-1/file"


@pytest.fixture(autouse=True)
def key(settings: Any) -> None:
    settings.SIGNING_KEYS = ["a secret of these tests"]


@pytest.mark.parametrize("who", ["grower", "inspector"])
def test_its_facts_are_json(cast: Cast, tray: str, who: str) -> None:
    told = getattr(cast, who).get(ADDRESS).json()
    assert told["account"]["ledger"]["alive"] == 54
    assert [one["id"] for one in told["batches"]] == [tray]
    assert told["on"] == "2031-03-03"
    assert told["as_of_seq"] >= 2


@pytest.mark.usefixtures("tray")
@pytest.mark.parametrize("who", ["grower", "inspector"])
@pytest.mark.parametrize("accept", ["application/json", "application/pdf", "*/*"])
def test_its_paper_is_a_pdf_in_the_language_asked_for(cast: Cast, who: str, accept: str) -> None:
    answer = getattr(cast, who).get(f"{ADDRESS}.pdf?language=es", headers={"Accept": accept})
    assert (answer.status_code, answer["Content-Type"]) == (200, "application/pdf")
    assert answer.content.startswith(b"%PDF-")
    assert b"/Lang(es)" in answer.content
    assert 'filename="c-1-2031-03-03.pdf"' in answer["Content-Disposition"]


@pytest.mark.usefixtures("tray")
@pytest.mark.parametrize("who", ["grower", "inspector"])
def test_its_signed_page_holds_and_is_kept_as_a_file(cast: Cast, who: str) -> None:
    answer = getattr(cast, who).get(f"{ADDRESS}.html")
    assert answer["Content-Type"] == "text/html"
    assert answer["Content-Disposition"].startswith("attachment;")
    found = bundle_check.check(answer.content, signing.of("veshmere").fingerprint)
    assert found.holds, found.faults
    assert found.records >= 2


@pytest.mark.usefixtures("tray")
def test_twice_on_one_day_gives_the_same_file(cast: Cast) -> None:
    first, second = (cast.grower.get(f"{ADDRESS}.html").content for _ in range(2))
    assert first == second


@pytest.mark.usefixtures("tray")
def test_another_nursery_s_consignment_is_unknown(cast: Cast) -> None:
    answer = cast.stranger.get(ADDRESS)
    assert (answer.status_code, answer.json()["code"]) == (404, "unknown")


@pytest.mark.usefixtures("tray")
@pytest.mark.parametrize("form", ["pdf", "html"])
def test_where_there_is_nothing_to_sign_with_it_is_said(
    cast: Cast, settings: Any, tmp_path: Any, form: str
) -> None:
    settings.SIGNING_KEYS, settings.SIGNING_FILE = [], tmp_path / "none"
    answer = cast.grower.get(f"{ADDRESS}.{form}")
    assert (answer.status_code, answer.json()["code"]) == (409, "nothing_to_sign_with")
