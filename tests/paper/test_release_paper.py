"""The release file in words and on paper: one page, an annex, a code that names the signed file."""

import io
import re
from dataclasses import replace
from typing import Any

import pytest
import zxingcpp
from PIL import Image

from nursery.domain.ledger import Ledger
from nursery.paper import bundle, bundle_check, release_file, release_words, typeset
from nursery.paper.release_file import TEMPLATE, Made
from nursery.paper.release_voice import labels_of, voice_for
from nursery.services import words
from tests.domain.house import House, term, with_terms
from tests.domain.release_scene import file_of, whole
from tests.paper import releases

QR = zxingcpp.BarcodeFormats(zxingcpp.BarcodeFormat.QRCode)
ON = "2031-05-20"


@pytest.fixture(autouse=True)
def key(settings: Any) -> None:
    settings.SIGNING_KEYS = [releases.SECRET]


@pytest.fixture(scope="module")
def facts() -> dict[str, Any]:
    return file_of(whole(), ON)


def made() -> Made:
    release = releases.of_scene()
    pages = release_words.pages(release.facts)
    return Made(release, pages, bundle.make(release, pages))


def list_of(page: dict[str, Any], name: str) -> dict[str, Any]:
    found: dict[str, Any] = next(one for one in page["annex"]["lists"] if one["name"] == name)
    return found


# Words


@pytest.mark.parametrize("language", words.languages())
def test_every_language_has_the_same_lists_and_rows(facts: dict[str, Any], language: str) -> None:
    page, other = release_words.page(facts, language), release_words.page(facts, "en")
    shape = [(one["name"], len(one["rows"])) for one in page["annex"]["lists"]]
    assert shape == [(one["name"], len(one["rows"])) for one in other["annex"]["lists"]]
    for one in page["annex"]["lists"]:
        assert all(len(row) == len(one["columns"]) for row in one["rows"]), one["name"]
    assert len(page["account"]["rows"]) == 6


def test_it_says_that_it_is_no_certificate(facts: dict[str, Any]) -> None:
    assert "no official certificate" in release_words.page(facts, "en")["own"]
    assert "No es un certificado oficial" in release_words.page(facts, "es")["own"]


def test_no_code_word_and_no_hole_is_left_in_the_words(facts: dict[str, Any]) -> None:
    for language in words.languages():
        page = release_words.page(facts, language)
        told = " ".join(texts({**page, "clock": {**page["clock"], "svg": ""}, "looks": {}}))
        assert not re.findall(r"[{}]|\b(?:nil|none_|not_looked|by_hand)\b", told)
        assert "c-1" not in told


def texts(value: Any) -> list[str]:
    if isinstance(value, str):
        return [value]
    inside = value.values() if isinstance(value, dict) else value if isinstance(value, list) else ()
    return [text for one in inside for text in texts(one)]


SENTENCES = [
    ({"in": 318, "alive": 251, "died": 12}, "318 in = 251 alive + 12 dead"),
    ({"in": 54, "alive": 50, "split": 4}, "54 in = 50 alive + 4 split off"),
    ({"in": 0, "alive": 8, "mixed": -8}, "0 in + 8 by a lost label = 8 alive"),
    ({"in": 54, "alive": 50, "settled": 4}, "54 in = 50 alive + 4 accepted as missing"),
    ({"in": 54, "alive": 50, "difference": 4}, "54 in = 50 alive + difference 4"),
    ({"in": 50, "alive": 54, "difference": -4}, "50 in = 54 alive + difference −4"),
]


@pytest.mark.parametrize(("figures", "sentence"), SENTENCES)
def test_the_account_is_one_sentence(figures: dict[str, int], sentence: str) -> None:
    voice = voice_for({"nursery": {}, "on": ON, "names": {}}, "en")
    assert release_words.account_sentence({**Ledger().as_json(), **figures}, voice) == sentence


def test_the_first_page_names_what_differs_what_is_open_and_what_is_mixed(
    facts: dict[str, Any],
) -> None:
    told = " ".join(release_words.page(facts, "en")["notes"])
    assert "Certificate 324, counted 318: 6 short." in told
    assert "T3, T5 and U: label lost, they balance only together." in told
    assert "Still needs a look: " in told


def test_a_week_not_done_stands_with_its_reason_and_its_paper(facts: dict[str, Any]) -> None:
    page = release_words.page(facts, "en")
    told = "\n".join(page["looks"]["remarks"])
    assert "5 MAY to 11 MAY" in told
    assert "accepted AC-5" in told
    assert "T1: not done, screen" in told
    assert page["looks"]["sum"] == "11 weeks, 8 done, 3 not done"
    assert len(list_of(page, "looks")["rows"]) == 12


def test_every_look_over_stands_with_its_minutes(facts: dict[str, Any]) -> None:
    grid = list_of(release_words.page(facts, "en"), "minutes")
    assert grid["columns"] == ["week", "T1", "T2", "T3", "T4", "T5", "T6"]
    rows = {row[0]: row[1:] for row in grid["rows"]}
    assert rows["24 MAR – 30 MAR"] == ["9"] * 6
    assert rows["5 MAY – 11 MAY"] == [""] * 6
    assert rows["12 MAY – 18 MAY"][:3] == ["–", "8*", ""]


def test_more_batches_than_go_side_by_side_stand_in_several_tables() -> None:
    house = House()
    trays = tuple(f"b{at}" for at in range(1, 16))
    house.arrive("2031-03-03 07:30", trays)
    house.looked("2031-03-04 08:00", trays)
    lists = release_words.page(file_of(house, ON), "en")["annex"]["lists"]
    grids = [one["columns"][1:] for one in lists if one["name"] == "minutes"]
    assert grids == [[f"B{at}" for at in range(1, 13)], [f"B{at}" for at in range(13, 16)]]


def test_corrections_stand_with_both_versions_who_when_and_why(facts: dict[str, Any]) -> None:
    rows = list_of(release_words.page(facts, "en"), "corrections")["rows"]
    assert [row[2] for row in rows] == [
        "first: loss: 3 dead",
        "then: loss: 2 dead",
        "first: loss: 1 dead",
        "then: cancelled",
    ]
    assert [row[3] for row in rows] == ["W2", "G", "W2", "G"]
    assert [row[4] for row in rows] == ["", "counted wrong", "", "written twice"]


TORN_AT = "2031-05-19 05:40"
CHECKED = {"last_good_at": "2031-05-18T06:30:00.000Z"}
SPANS: list[tuple[dict[str, Any], str | None, str, str]] = [
    (CHECKED, "2031-05-19 05:55", "open for 13 h 25 min at most", "13 h 25 min"),
    ({}, "2031-05-19 05:55", "nobody can tell how long it was open", ""),
    (CHECKED, None, "not mended", ""),
]


@pytest.mark.parametrize(("known", "mended", "told", "short"), SPANS)
def test_a_breach_stands_with_how_long_the_room_was_open(
    known: dict[str, Any], mended: str | None, told: str, short: str
) -> None:
    house = whole()
    tear = house.add("breached", "room", TORN_AT, {"what": "screen", "size_cm": 35, **known})
    if mended:
        house.add("repaired", "room", mended, {"what": "tape", "breach": tear})
    page = release_words.page(file_of(house, "2031-05-20"), "en")
    (row,) = (row for row in list_of(page, "room")["rows"] if row[2].startswith("breach"))
    assert row[2].endswith(told)
    (act,) = (row for row in page["acts"]["rows"] if row[1].startswith("breach"))
    assert act[1].endswith(told)
    assert ["19 MAY", "breach", short] in page["acts"]["short"]


def read(house: House, at: str, **figures: float) -> None:
    readings = [{"what": what, "value": value} for what, value in figures.items()]
    house.add("read", "bench", at, {"readings": readings})


def test_readings_stand_month_by_month_with_their_unit() -> None:
    house = whole()
    read(house, "2031-04-24 08:40", ph=6.1, ec_ms_cm=0.9)
    read(house, "2031-04-28 08:40", ph=5.8)
    rows = list_of(release_words.page(file_of(house, ON), "en"), "readings")["rows"]
    assert rows[-2:] == [
        ["APR 2031", "room", "EC of the drain water, mS/cm", "0.9", "0.9", "1", "1"],
        ["APR 2031", "room", "pH of the drain water", "5.8", "6.1", "2", "2"],
    ]


WARMTH = [
    (
        "generations",
        {"pest": "thrips", "number": 2, "degree_days": 100.5, "lower": 10, "method": "average"},
        [
            [
                "MAR 2031",
                "T1",
                "degree-days of Thrips, 201 wanted (CQ-118)",
                "8",
                "1",
                "52.5",
                "52.5",
            ]
        ],
    ),
    (
        "qualifying_days",
        {"what": "air_c", "least": 17, "days": 30},
        [["MAR 2031", "T1", "days that count by air temperature, 30 wanted (CQ-118)"]],
    ),
    (
        "qualifying_days",
        {"what": "air_c", "least": 17, "share": 0.9},
        [["MAR 2031", "T1", "days that count by air temperature (CQ-118)"]],
    ),
]


@pytest.mark.parametrize(("rule", "says", "rows"), WARMTH)
def test_days_that_count_by_the_warmth_stand_month_by_month(
    rule: str, says: dict[str, Any], rows: list[list[str]]
) -> None:
    house = with_terms(term("warm", rule, says))
    house.row("pest", "thrips", {"name": "Thrips"})
    house.arrive("2031-03-03 07:30", ("t1",))
    for n in range(4, 11):
        read(house, f"2031-03-{n:02} 18:00", air_low_c=13, air_high_c=22)
    told = list_of(release_words.page(file_of(house, "2031-03-12"), "en"), "counted_days")["rows"]
    assert [row[: len(rows[0])] for row in told] == rows


def test_the_permit_stands_with_its_plants_what_holds_here_and_who_may_go_in() -> None:
    level = {"at": "inspection", "all_plants": True, "prevalence": 0.05, "confidence": 0.95}
    house = with_terms(
        term("most", "most_plants", {"plants": 330}),
        term("level", "sample_level", level),
        term("late", "growing_days", {"days": 365}, since="2031-05-01"),
    )
    house.arrive("2031-03-03 07:30", ("t1", "t2"))
    for tray in ("t1", "t2"):
        house.count(tray, 50, "2031-03-03 08:10")
    house.row("consignment", "c-2", {"name": "Later", "permit": "cq-118", "lines": []})
    house.arrive("2031-04-03 07:30", ("t7",), consignment="c-2", place="shade")
    house.count("t7", 20, "2031-04-03 08:00")
    house.order("room", "2031-05-04 09:30", "hold", "EM-77", admits=["w1", "g"])
    page = release_words.page(file_of(house, ON), "en")
    assert list_of(page, "under_permits")["rows"] == [
        ["CQ-118", "Liners", "T1, T2 in bench", "100", "100", ""],
        ["CQ-118", "Later", "T7 in shade", "20", "20", ""],
        ["CQ-118", "all", "", "120", "120", "330"],
    ]
    (plan,) = list_of(page, "plans")["rows"]
    assert plan[0] == "official inspection"
    assert plan[1].startswith("45 plants would show 5 % with 95 % confidence.")
    assert list_of(page, "admitted")["rows"] == [["room", "EM-77", "G, W1"]]
    late = list_of(page, "permits")["rows"][2]
    assert "does not reach plants inside" in late[4]


POT = {"container": "pot", "full_days": 180, "source": "own records"}
WEEKS = [{"first": "10-01", "last": "11-15"}, {"first": "03-01", "last": "03-31"}]


def test_the_bed_line_shows_the_planting_weeks_and_ties_a_knot_where_pots_are_full() -> None:
    house = House()
    house.row("nursery", "veshmere", {"name": "V", "zone": "Etc/GMT-10", "planting": WEEKS})
    house.row("crop", "finger-lime", {"name": "Finger-lime", "pots": [POT]})
    house.arrive("2031-03-03 07:30", ("t1",), crop="finger-lime")
    house.count("t1", 50, "2031-03-03 08:10")
    bare = release_words.page(file_of(house, ON), "en")["clock"]
    assert "plant 1 OCT to 15 NOV" in bare["alt"]
    assert "pots full" not in bare["alt"]
    house.add("potted", "t1", "2031-05-05 07:00", {"container": "pot"})
    told = file_of(house, ON)
    assert told["season"] == {
        "weeks": ["2031-10-01", "2031-11-15"],
        "lost": None,
        "pots_full": "2031-11-01",
    }
    clock = release_words.page(told, "en")["clock"]
    assert "pots full 1 NOV" in clock["alt"]
    assert clock["svg"].count("a4 4 0 1 0") == 2 > bare["svg"].count("a4 4 0 1 0")


def test_many_batches_stand_in_the_annex_with_their_sum_on_the_first_page() -> None:
    house = House()
    trays = tuple(f"b{at:02d}" for at in range(1, 21))
    house.arrive("2031-03-03 07:30", trays)
    for tray in trays:
        house.count(tray, 54, "2031-03-03 08:10")
    page = release_words.page(file_of(house, ON), "en")
    assert page["account"]["rows"] == [["20 batches, each in the annex.", "1080", "1080"]]
    assert len(page["annex"]["account"]["rows"]) == 21
    assert list_of(page, "arrivals")["rows"][0][1] == "B01–B20"


LABELS = {"a": "T1", "b": "T2", "c": "T3", "d": "T10", "e": "U"}


@pytest.mark.parametrize(
    ("batches", "told"),
    [
        ("abc", ["T1–T3"]),
        ("ab", ["T1", "T2"]),
        ("abcde", ["T1–U"]),
        ("acd", ["T1", "T3", "T10"]),
        ("eba", ["T1", "T2", "U"]),
        ("ax", ["T1", "x"]),
        ("", []),
    ],
)
def test_labels_that_follow_each_other_are_one_run(batches: str, told: list[str]) -> None:
    voice = voice_for({"nursery": {}, "on": ON, "names": {"batch": LABELS}}, "en")
    assert labels_of(list(batches), voice) == told


def test_an_empty_file_is_a_page_all_the_same() -> None:
    for language in words.languages():
        page = release_words.page(file_of(House(), ON, "c-9"), language)
        assert page["clock"]["svg"] == page["looks"]["svg"] == ""
        assert page["acts"]["rows"] == []
        assert all(one["none"] for one in page["annex"]["lists"])


# Paper


def printed(one: Made, language: str = "en") -> list[Image.Image]:
    sheet, day, files = release_file.composed(one, language)
    found = typeset.pictures(TEMPLATE, sheet, day, 110, files)
    return [Image.open(io.BytesIO(page)).convert("L") for page in found]


@pytest.mark.parametrize("language", words.languages())
def test_it_is_a_pdf_that_a_screen_reader_can_read(language: str) -> None:
    content = release_file.pdf(made(), language)
    assert content.startswith(b"%PDF-")
    assert b"pdfuaid" in content
    assert f"/Lang({language})".encode() in content


def test_the_printed_code_names_the_seal_and_the_key() -> None:
    one = made()
    (seen,) = [
        code for page in printed(one)[:1] for code in zxingcpp.read_barcodes(page, formats=QR)
    ]
    assert seen.text == f"SHA256 {one.bundle.digest.upper()} KEY {one.bundle.fingerprint}"


def test_the_signatures_stand_on_the_first_page_however_much_happened() -> None:
    one = made()
    acts = one.pages["en"]["acts"]
    rows = acts["rows"] * 20
    more = [f"{n} more" for n in range(1, len(rows) + 1)]
    full = {**one.pages["en"], "acts": {**acts, "short": rows, "more": more}}
    pages = printed(replace(one, pages={"en": full}))
    assert zxingcpp.read_barcodes(pages[0], formats=QR)


def with_photos(*names: str) -> Made:
    """Return the file with a black picture for each of these, as if it had been gathered."""
    content = io.BytesIO()
    Image.new("RGB", (64, 48), "black").save(content, "JPEG")
    read = releases.of_scene()
    told = [
        {**one, "picture": {"sha256": "cd" * 32}} if one["name"] in names else one
        for one in read.facts["photos"]
    ]
    photos = dict.fromkeys(names, content.getvalue())
    return release_file.signed(replace(read, facts={**read.facts, "photos": told}), photos)


def test_photos_stand_in_the_annex() -> None:
    one = with_photos("picture-1")
    bare, full = printed(made()), printed(one)

    def ink(pages: list[Image.Image]) -> int:
        return sum(page.histogram()[0] for page in pages)

    assert ink(full) > ink(bare) * 1.2
    paper = release_file.pdf(one, "en")
    assert paper.count(b"/DCTDecode") == 1
    assert b"pdfuaid" in paper
    assert bundle_check.check(one.bundle.content).photos == 1


def test_each_photo_has_its_record_who_when_and_hash_and_a_missing_one_says_why() -> None:
    told = list_of(with_photos("picture-1").pages["en"], "photos")["figures"]
    figures = {one["photo"]: one for one in told}
    there, named = figures["picture-1"], figures["picture-2"]
    assert told[0] == there  # those without a time stand last
    assert (there["missing"], there["shows"]) == ("", "T4: find")
    when, records, digest = there["lines"]
    assert when.startswith("SUN 4 MAY")
    assert re.fullmatch(r"record \d+( · find: record \d+)?", records)
    assert digest == f"SHA-256 as taken {'ab' * 8}…"
    assert named["shows"] == "find"
    assert named["missing"].startswith("Not here: ")


@pytest.mark.parametrize("why", ["not_sent", "not_described", "held_back", "unreadable"])
def test_every_reason_why_a_photo_is_missing_has_words(facts: dict[str, Any], why: str) -> None:
    photos = [{**one, "missing": why} for one in facts["photos"]]
    told = {
        language: list_of(release_words.page({**facts, "photos": photos}, language), "photos")
        for language in words.languages()
    }
    said = {language: one["figures"][0]["missing"] for language, one in told.items()}
    assert len(set(said.values())) == 2
    assert why not in str(said)


def test_the_same_book_on_the_same_day_prints_the_same_bytes() -> None:
    assert release_file.pdf(made(), "en") == release_file.pdf(made(), "en")


def test_without_a_language_it_speaks_the_nursery_s_first() -> None:
    one = made()
    assert b"/Lang(en)" in release_file.pdf(one)
    spoken = {**one.release.facts, "nursery": {"languages": ["xx", "es", "en"]}}
    spanish = replace(one, release=replace(one.release, facts=spoken))
    assert b"/Lang(es)" in release_file.pdf(spanish, "xx")
