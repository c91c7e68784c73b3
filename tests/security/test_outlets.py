"""What a person typed leaves as words: on paper, in pages, calendars, tables and drawings."""

import csv
import io
import re
import shutil
import subprocess
from datetime import UTC, date, datetime
from email.message import Message
from pathlib import Path
from typing import Any
from xml.etree import ElementTree as ET

import orjson
import pytest
from hypothesis import given
from hypothesis import strategies as st
from icalendar import Calendar

from nursery.api import layout
from nursery.domain import diary, formulas
from nursery.domain.diary import Told
from nursery.domain.field import positions
from nursery.domain.stock_file import cells
from nursery.paper import bundle, calendar, export_cells, handover, svg, typeset
from nursery.services import table_file, words
from nursery.services.calendars import Feed
from tests.steps import FRONTEND, ROOT

NOW = datetime(2031, 5, 4, 8, tzinfo=UTC)
ODD = {
    "typst's own code": '#import "/etc/passwd": *',
    "an expression": '#{read("labels.typ")}',
    "an end of content": "](#sys.version)[",
    "an end of a text": '"; #panic("x") //',
    "mathematics": "$x^2$",
    "a backslash": "\\u{41} \\ \\n",
    "a label and a reference": "<intro> @intro",
    "emphasis": "*b* _i_ `raw`",
    "a script": "<script>alert(1)</script>",
    "an attribute": "\"><img src=x onerror='alert(1)'>",
    "an entity": "&lt;b&gt; &#0; ]]>",
    "a hole of a sentence": "{n} {title} {place|day}",
    "a hole of a template": "{{ 7*7 }} ${7*7}",
}  # fmt: skip
NAMES = st.text(st.characters(exclude_categories=["Cs", "Cc"]), min_size=1, max_size=40)


def slip(word: str) -> bytes:
    one = {
        "id": "b-1", "label": word, "plants": 2, "crop": word, "parents": [word], "permit": word,
        "origins": [{"name": word, "supplier": word, "origin": word, "certificate": word}],
        "clock_started_on": None, "holds": [word],
    }  # fmt: skip
    facts = {
        "nursery": word, "record": "e-1", "on": "2031-05-04", "receiver": word, "paper": word,
        "batches": [one],
    }  # fmt: skip
    return handover.pdf({"facts": facts, "fingerprint": "0000 1111"}, "en")


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="the program that reads a PDF's text")
@pytest.mark.parametrize("word", ODD.values(), ids=ODD)
def test_paper_says_it_letter_by_letter(word: str, tmp_path: Path) -> None:
    """Read by poppler, which knows nothing of how the page was set."""
    (tmp_path / "a.pdf").write_bytes(slip(word))
    asked = ["pdftotext", "-raw", str(tmp_path / "a.pdf"), "-"]
    text = subprocess.run(asked, capture_output=True, check=True).stdout.decode()
    assert plain(word) in plain(text)


def plain(text: str) -> str:
    """Return a text without spaces, hyphens at a line's end and curly signs."""
    return re.sub(r"\s|\u00ad", "", text).translate({0x2019: "'", 0x201C: '"', 0x201D: '"'})


def test_every_template_takes_its_words_as_json_and_runs_none_of_them() -> None:
    templates = sorted((ROOT / "nursery" / "paper").glob("*.typ"))
    assert len(templates) >= 6
    for one in templates:
        text = one.read_text()
        assert text.count("sys.inputs.") - text.count("`sys.inputs.") == 1, one.name
        assert "json(bytes(sys.inputs.sheet))" in text, one.name
        assert not re.search(r"\beval\(|#import \"@|plugin\(", text), one.name


def test_a_template_reads_nothing_outside_its_folder(tmp_path: Path) -> None:
    secret = tmp_path / "secret.txt"
    secret.write_text("secret")
    with pytest.raises(Exception, match=r"access denied|not found|escape"):
        typeset._compiled(
            "labels.typ", {}, NOW.date(), "pdf",
            {"labels.typ": f'#read("{"../" * 8}{secret}")'.encode()},
        )  # fmt: skip


@pytest.mark.parametrize("word", ODD.values(), ids=ODD)
def test_a_drawing_holds_it_as_text_alone(word: str) -> None:
    drawn = ET.fromstring(svg.picture(20, [svg.words(1, 2, word), svg.path("M0 0", 1)]))
    names = [one.tag.rpartition("}")[2] for one in drawn.iter()]
    assert names == ["svg", "text", "path"]
    assert drawn[0].text == word


@pytest.mark.parametrize("word", ODD.values(), ids=ODD)
def test_a_signed_page_holds_it_inside_its_part(word: str) -> None:
    written = bundle.written(["file", {"name": word}])
    assert b"<" not in written
    assert orjson.loads(written) == ["file", {"name": word}]


SINKS = re.compile(
    r"innerHTML|outerHTML|insertAdjacentHTML|document\.write|\{@html|\beval\(|new Function|"
    r"srcdoc|javascript:|dangerously"
)
PROGRAMS = [
    *(ROOT / "nursery" / "paper" / "release_page").glob("*"),
    *(one for one in (FRONTEND / "src").rglob("*") if one.suffix in {".ts", ".svelte"}),
    FRONTEND / "index.html",
]


def test_no_program_of_ours_makes_markup_of_words() -> None:
    assert len(PROGRAMS) > 300
    found = [
        one.name
        for one in PROGRAMS
        if not one.name.endswith(".test.ts") and SINKS.search(one.read_text())
    ]
    assert found == []


BREAKS = ("\n", "\r\n", "\r", "\u0085", "\u2028", "\x0b", "\x0c")


@pytest.mark.parametrize("sign", BREAKS, ids=ascii)
def test_a_calendar_has_no_line_of_a_person_s(sign: str) -> None:
    name = f"Room{sign}ATTACH:https://elsewhere.invalid/{sign}END:VEVENT{sign}BEGIN:VALARM"
    params = {"check": "trap", "place": name, "n": 1, "labels": [name]}
    event = diary.Event(
        uid="a" * 32, code="check", first=NOW.date(), last=NOW.date(), params=params
    )
    feed = Feed("veshmere", name, "UTC", "en", NOW.date(), (Told(event, 0, NOW),))
    raw = calendar.ics(feed)
    assert not [one for one in raw.decode().splitlines() if one.startswith(("ATTACH", "BEGIN:VA"))]
    [one] = Calendar.from_ical(raw).walk("VEVENT")
    assert "ATTACH" not in one
    assert one.errors == []


FORMULAS = (
    "=1+1",
    "+1",
    "-1+2",
    "@SUM(A1)",
    "\t=1",
    "\r=1",
    "\n=1",
    "＝1+1",
    "'=1",
    "=cmd|' /C'!A0",
)


@pytest.mark.parametrize("word", FORMULAS, ids=ascii)
def test_no_cell_of_a_table_is_a_formula_and_our_own_import_has_it_back(word: str) -> None:
    position = dict.fromkeys(positions.COLUMNS) | {"species": word, "longitude": -70.1}
    for out in (export_cells.cell(word), positions.cells(position)[4]):
        assert out[0] == "'"
        assert formulas.undone(out) == word
    assert "-70.1" in positions.cells(position)
    text = b"".join(export_cells.table(["label", "count"], [[word, -3]]))
    [row] = csv.reader(io.StringIO(text.decode("utf-8-sig").partition("\r\n")[2], newline=""))
    assert row[1] == "-3"
    [(_, read)] = table_file.read(text).sheet.rows
    assert cells.text(read[0]) == word.strip()


@given(NAMES)
def test_any_name_goes_out_in_a_table_and_comes_in_again(name: str) -> None:
    assert cells.text(export_cells.cell(name.strip())) == name.strip()


@pytest.mark.parametrize(
    "ident", ['b";filename="a.html', "b;x", "b\\", "Ñ-1", "b'1", "b%22%0d%0aX: y", "../b"]
)
def test_a_file_is_called_by_its_block_and_nothing_else(ident: str) -> None:
    """Read by Python's own reader of such headers."""
    answer = layout._file("", "text/csv", f"{ident}.csv")
    head = Message()
    head["Content-Disposition"] = answer.headers["Content-Disposition"]
    assert head.get_content_disposition() == "attachment"
    assert {name for name, _ in head.get_params([], "content-disposition")} <= {
        "attachment", "filename",
    }  # fmt: skip
    name: Any = head.get_filename()
    assert name == f"{ident}.csv"


@pytest.mark.parametrize("word", ODD.values(), ids=ODD)
def test_a_sentence_never_reads_a_name_as_a_hole(word: str) -> None:
    said = words.say("en", "calendar.name", {"nursery": word})
    assert word in said
    assert date.fromisoformat("2031-05-04") == NOW.date()
