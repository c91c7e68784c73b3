"""The tables, the forms and the page beside a book that is taken away, read by other programs."""

import csv
import io
import json
import os
import subprocess
import sys
import zipfile
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nursery.domain import formulas
from nursery.paper import export, export_cells, export_forms, export_readme, export_tables
from nursery.services import log, nurseries, rows, words
from nursery.services.installs import Outbox
from nursery.services.rows import Row
from tests.phone import Writer

NOW = datetime(2031, 3, 3, 2, tzinfo=UTC)
# FAO/Bioversity MCPD V.2.1 (2015): its rules of dates and of empty fields were read in a public
# copy, the order and number of the descriptors with their parts are from memory.
DESCRIPTORS = 41


@pytest.fixture
def book(db: None, settings: Any, tmp_path: Path) -> Path:
    settings.SIGNING_KEYS, settings.DATA = ["a secret of this test"], tmp_path
    settings.PHOTOS = tmp_path / "photos"
    nurseries.begin("veshmere", "Veshmere Terraces", "Etc/GMT-10")
    line = {"id": "l-1", "crop": "lime", "cultivar": "Green", "stated": 54}
    came = {"name": "March", "origin": "Orrin", "supplier": "=Sela", "arrived_on": "2031-03-03"}
    for kind, ident, body in (
        ("person", "p-w1", {"name": "+Nela", "role": "worker"}),
        ("place", "room", {"name": "Room", "kind": "room", "floor_m2": 12.5}),
        ("place", "trap-1", {"name": "Trap 1", "kind": "trap"}),
        ("crop", "lime", {"name": "Lime", "botanical": "Citrus aurantiifolia"}),
        ("consignment", "c-1", {**came, "lines": [line]}),
    ):
        rows.put("veshmere", Row(kind, ident, None, body), NOW)
    writer = Writer("a")

    def write(kind: str, about: str, body: dict[str, Any], **more: Any) -> str:
        text = writer.write(kind, [about], body, NOW, **more)
        log.receive("veshmere", Outbox("i-a", "d-a"), [text], NOW)
        ident: str = json.loads(text)["id"]
        return ident

    new = [{"id": "b-1", "label": "-T1", "crop": "lime", "place": "room"}]
    write("received", "b-1", {"consignment": "c-1", "batches": new})
    first = write("counted", "b-1", {"method": "full", "alive": 54})
    write("counted", "b-1", {"method": "full", "alive": 53}, corrects=first)
    write("lost", "b-1", {"count": 2, "fate": "died", "cause": "@cold"})
    tag = {"tag": "7", "height_cm": 12.5}
    write("measured", "b-1", {"plants": [tag, {"tag": "8", "collar_mm": 3.0}]})
    write("trapped", "trap-1", {"answer": "read"})
    notice = {"notice": "N-1", "count": 51, "plants": [{"id": "b-1", "count": 51}]}
    write("released", "b-1", notice)
    file = tmp_path / "book.zip"
    export.make("veshmere", file, NOW)
    return file


def read(file: Path, name: str) -> list[dict[str, str]]:
    with zipfile.ZipFile(file) as pack:
        text = pack.read(name).decode("utf-8-sig")
    return [*csv.DictReader(io.StringIO(text))]


def test_the_ledger_of_a_batch_adds_up_in_its_table(book: Path) -> None:
    (batch,) = read(book, "tables/batches.csv")
    out = ["died", "culled", "sampled", "destroyed", "stolen", "planted", "sent", "split"]
    out += ["joined", "mixed", "settled", "difference"]
    total = sum(int(batch[f"{name} (plants)"]) for name in ("alive", *out))
    assert (batch["in (plants)"], total) == ("53", 53)
    assert batch["label"] == "'-T1"
    assert batch["began"] == "2031-03-03"


def test_a_corrected_record_stays_and_says_that_it_does_not_count(book: Path) -> None:
    told = [(row["alive (plants)"], row["stands"]) for row in read(book, "tables/counts.csv")]
    assert told == [("54", "no"), ("53", "yes")]


def test_each_plant_that_was_measured_has_a_row_with_units_in_the_header(book: Path) -> None:
    told = read(book, "tables/measurements.csv")
    assert [(row["tag"], row["height (cm)"], row["collar (mm)"]) for row in told] == [
        ("7", "12.5", ""),
        ("8", "", "3.0"),
    ]


def test_a_trap_that_caught_nothing_has_its_row(book: Path) -> None:
    (row,) = read(book, "tables/traps.csv")
    assert (row["answer"], row["pest"], row["caught (insects)"]) == ("read", "", "")


def test_no_table_of_people_holds_a_pin(book: Path) -> None:
    (row,) = read(book, "tables/people.csv")
    assert row["name"] == "'+Nela"
    assert not any("pin" in name for name in row)


@pytest.mark.parametrize("name", [*export_tables.HEADERS])
def test_each_table_begins_with_its_header_and_no_cell_is_a_formula(book: Path, name: str) -> None:
    with zipfile.ZipFile(book) as pack:
        text = pack.read(f"tables/{name}.csv").decode("utf-8-sig")
    header, *lines = csv.reader(io.StringIO(text))
    assert tuple(header) == export_tables.HEADERS[name]
    assert {len(line) for line in lines} <= {len(header)}
    for line in lines:
        for cell in line:
            assert not cell.startswith(("=", "+", "@", "\t", "\r"))
            assert not cell.startswith("-") or float(cell) <= 0


@given(st.text())
def test_any_text_comes_back_from_its_cell_and_is_no_formula(text: str) -> None:
    cell = export_cells.cell(text)
    assert formulas.undone(cell) == text
    assert not cell.startswith(("=", "+", "-", "@", "\t", "\r"))


@pytest.mark.parametrize("language", words.languages())
def test_the_page_says_what_each_column_of_each_table_means(language: str) -> None:
    page = export_readme.text({"nursery": {"name": "Veshmere"}, "lines": 3}).decode()
    for table, header in export_tables.HEADERS.items():
        for column in header:
            line = f"    {column}: {export_readme.meaning(language, table, column)}"
            assert line in page.splitlines(), (table, column)


def test_the_page_in_both_languages_proves_the_chain_without_us(book: Path, tmp_path: Path) -> None:
    with zipfile.ZipFile(book) as pack:
        pack.extractall(tmp_path / "out")
    page = (tmp_path / "out" / "README.txt").read_text(encoding="utf-8")
    assert "Take" not in page.splitlines()[0]
    assert page.count("tables/batches.csv") == 2
    begin = page.index("    import hashlib")
    lines = page[begin:].splitlines()
    code = "\n".join(line[4:] for line in lines[: len(export_readme.PROOF.splitlines())])

    def proved() -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [sys.executable, "-I", "-c", code],
            cwd=tmp_path / "out",
            env={"PATH": os.environ["PATH"]},
            capture_output=True,
            text=True,
            check=False,
        )

    with zipfile.ZipFile(book) as pack:
        link = json.loads(pack.read("nursery.json"))["link"]
    assert proved().stdout == f"the chain holds up to {link}\n"
    feed = tmp_path / "out" / "feed.jsonl"
    feed.write_text(feed.read_text(encoding="utf-8").replace("@cold", "@heat"), encoding="utf-8")
    assert proved().returncode != 0


def test_passport_descriptors_say_what_the_book_says_and_nothing_else(book: Path) -> None:
    (row,) = read(book, "forms/mcpd.csv")
    assert len(export_forms.MCPD) == len(set(export_forms.MCPD)) == DESCRIPTORS
    told = {name: value for name, value in row.items() if value}
    assert told == {
        "ACCENUMB": "c-1/l-1",
        "GENUS": "Citrus",
        "SPECIES": "aurantiifolia",
        "CROPNAME": "Lime",
        "ACCENAME": "Green",
        "ACQDATE": "20310303",
        "DONORNAME": "'=Sela",
        "REMARKS": "ORIGCTY:Orrin",
    }


def test_what_a_plant_passport_would_say_is_a_draft_of_released_plants(book: Path) -> None:
    (row,) = read(book, "forms/plant_passports.csv")
    assert row["draft for the authorised operator to issue"] == "draft"
    assert row["A botanical name"] == "Citrus aurantiifolia"
    assert row["B registration number"] == ""
    assert row["C traceability code"] == "'-T1"
    assert row["D country of origin"] == "Orrin"


def test_positions_are_one_collection_of_points(book: Path) -> None:
    with zipfile.ZipFile(book) as pack:
        told = json.loads(pack.read("forms/positions.geojson"))
    assert told == {"type": "FeatureCollection", "features": []}


def test_every_file_is_listed_with_its_hash_and_bears_a_name_of_ours(book: Path) -> None:
    with zipfile.ZipFile(book) as pack:
        listed = json.loads(pack.read("manifest.json"))["members"]
        assert {*pack.namelist()} == {*listed, "signature.json"} | {"manifest.json"}
        for name, told in listed.items():
            assert pack.getinfo(name).file_size == told["bytes"]
