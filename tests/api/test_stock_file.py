"""Stock out of a spreadsheet: looked at, brought in as it was seen, never twice, or not at all."""

import csv
import io
import json
from typing import Any

import openpyxl
import pytest
from django.test import Client

from nursery.domain.stock_file import CODES, Field, cells
from nursery.paper import stock_template
from nursery.services import rows, stock_file, table_file, words
from nursery.services.rows import Row
from nursery.store.scope import scope
from tests.api.conftest import NOW, Cast
from tests.phone import Writer

AT = "/api/v1/stock-file"
HEAD = "Label,Crop,Count,Counted on,Place\n"
GOOD = HEAD + "S1,Bay,54,2031-03-02,Shade house\nS2,bay,12,2031-03-01,Shade house\n"
BAD = GOOD + "S2,Plum,-1,2031-03-09,Nowhere\n"


@pytest.fixture
def house(cast: Cast) -> Cast:
    for kind, ident, body in (
        ("crop", "bay", {"name": "Bay"}),
        ("place", "shade", {"name": "Shade house", "kind": "house"}),
        ("place", "bench", {"name": "Bench 1", "kind": "bench", "parent": "shade"}),
        ("permit", "p-1", {"reference": "CQ-117", "holder": "Ana", "terms": []}),
        ("person", "p-g", {"name": "Ana", "role": "grower"}),
    ):
        rows.put("veshmere", Row(kind, ident, None, body), NOW)
    return cast


def ask(caller: Client, text: str | bytes, way: str = "/preview", **said: Any) -> Any:
    query = {"name": said.pop("name", "stock.csv")}
    if seal := said.pop("seal", None):
        query["seal"] = seal
    return caller.post(
        AT + way,
        text,
        content_type="text/csv",
        query_params={**query, "choices": json.dumps(said)},
    )


def look(caller: Client, text: str | bytes, **said: Any) -> dict[str, Any]:
    answer = ask(caller, text, **said)
    assert answer.status_code == 200, answer.content
    found: dict[str, Any] = answer.json()
    return found


def bring(caller: Client, text: str | bytes, **said: Any) -> Any:
    seal = look(caller, text, **said)["seal"]
    return ask(caller, text, "", seal=seal, **said)


def batches(caller: Client) -> dict[str, dict[str, Any]]:
    found = caller.get("/api/v1/batches?closed=true").json()["items"]
    return {one["label"]: one for one in found}


def written() -> list[dict[str, Any]]:
    with scope("veshmere") as book:
        return [json.loads(one.text) for one in book.entries.order_by("seq")]


def test_nothing_is_written_by_looking(house: Cast) -> None:
    """Rule I-4."""
    found = look(house.grower, GOOD)
    assert found["figures"] == {
        "batches": 2, "plants": 66, "estimates": 0, "known": 0, "faulty": 0, "faults": 0,
    }  # fmt: skip
    assert found["may_come"] is True
    [at] = found["places"]
    assert (at["name"], at["batches"], at["plants"], at["told"]) == ("Shade house", 2, 66, [])
    assert [(one["row"], one["label"], one["plants"]) for one in found["rows"]] == [
        (2, "S1", 54), (3, "S2", 12),
    ]  # fmt: skip
    assert batches(house.grower) == {}


def test_what_was_seen_comes_in_as_records_like_any_others(house: Cast) -> None:
    """Rule I-4."""
    answer = bring(house.grower, GOOD)
    assert answer.status_code == 201, answer.content
    done = answer.json()
    assert (done["batches"], done["plants"], done["records"]) == (2, 66, 2)
    there = batches(house.grower)
    assert {label: one["alive"] for label, one in there.items()} == {"S1": 54, "S2": 12}
    entry, _ = written()
    assert (entry["kind"], entry["about"]) == ("taken_on", [there["S1"]["id"]])
    assert entry["author"] == "p-g"
    assert entry["body"]["file"]["name"] == "stock.csv"
    assert (entry["body"]["file"]["row"], len(entry["body"]["file"]["sha256"])) == (2, 64)
    # The hour is told by no row: noon of its day, in the nursery's zone.
    assert entry["occurred_at"] == "2031-03-02T01:59:00.000Z"


def test_what_came_in_can_be_taken_back_like_any_record(house: Cast, writer: Writer) -> None:
    """Rule I-7."""
    bring(house.grower, GOOD)
    first, _ = written()
    undo = writer.write("withdrawn", first["about"], {}, NOW, corrects=first["id"])
    house.phone.push(undo)
    there = house.grower.get(f"/api/v1/batches/{first['about'][0]}").json()
    assert (there["began_at"], there["alive"]) == (None, None)
    again = look(house.grower, GOOD)
    assert (again["figures"]["known"], again["figures"]["batches"]) == (2, 0)


def test_a_file_with_faults_comes_in_mended_or_without_them_and_told(house: Cast) -> None:
    """Rule I-5."""
    found = look(house.grower, BAD)
    assert [(one["row"], one["column"], one["code"]) for one in found["faults"]] == [
        (4, "count", "negative"),
        (4, "crop", "unknown"),
        (4, "place", "unknown"),
        (4, "counted_on", "day_ahead"),
        (4, "label", "label_twice"),
    ]
    assert (found["may_come"], found["figures"]["faulty"]) == (False, 1)
    refused = bring(house.grower, BAD)
    assert (refused.status_code, refused.json()["code"]) == (422, "stock_file_unfit")
    assert refused.json()["params"] == {"n": 1, "value": "stock.csv"}
    assert batches(house.grower) == {}
    without = bring(house.grower, BAD, left_out=1)
    assert (without.status_code, without.json()["batches"]) == (201, 2)
    mended = BAD.replace("S2,Plum,-1,2031-03-09,Nowhere", "S3,Bay,7,2031-03-02,Bench 1")
    rest = bring(house.grower, mended)
    assert (rest.json()["batches"], rest.json()["known"]) == (1, 2)
    assert set(batches(house.grower)) == {"S1", "S2", "S3"}


def test_another_number_of_faulty_rows_than_was_seen_lets_nothing_in(house: Cast) -> None:
    """Rule I-5."""
    assert bring(house.grower, BAD, left_out=2).status_code == 422
    assert bring(house.grower, GOOD, left_out=1).status_code == 422
    assert batches(house.grower) == {}


def test_the_same_file_a_second_time_adds_nothing(house: Cast) -> None:
    """Rule I-7."""
    assert bring(house.grower, GOOD).status_code == 201
    assert look(house.grower, GOOD)["figures"]["known"] == 2
    again = bring(house.grower, GOOD)
    assert (again.status_code, again.json()["code"]) == (422, "stock_file_unfit")
    as_book = workbook([line.split(",") for line in GOOD.splitlines()])
    assert look(house.grower, as_book)["figures"]["known"] == 2
    assert len(batches(house.grower)) == 2


def test_what_was_seen_before_the_book_changed_is_seen_again_first(house: Cast) -> None:
    """Rule I-4."""
    seal = look(house.grower, GOOD)["seal"]
    bring(house.grower, HEAD + "S1,Bay,3,2031-03-02,Shade house\n")
    late = ask(house.grower, GOOD, "", seal=seal)
    assert (late.status_code, late.json()["code"]) == (409, "stock_file_changed")
    assert ask(house.grower, GOOD, "").status_code == 409
    assert list(batches(house.grower)) == ["S1"]


def test_two_that_bring_one_file_in_at_once_bring_it_in_once(
    house: Cast, monkeypatch: pytest.MonkeyPatch
) -> None:
    seal = look(house.grower, GOOD)["seal"]
    whole = stock_file._look

    def slowly(*args: Any) -> Any:
        found = whole(*args)
        monkeypatch.setattr(stock_file, "_look", whole)
        assert ask(house.grower, GOOD, "", seal=seal).status_code == 201
        return found

    monkeypatch.setattr(stock_file, "_look", slowly)
    late = ask(house.grower, GOOD, "", seal=seal)
    assert (late.status_code, late.json()["code"]) == (409, "stock_file_changed")
    assert len(batches(house.grower)) == 2


# What is made besides


def test_a_crop_that_is_new_is_made_with_the_batches_that_name_it(house: Cast) -> None:
    text = HEAD + "S1,Plum,5,2031-03-02,Shade house\nS2,plum,6,2031-03-02,Shade house\n"
    found = look(house.grower, text)
    assert [(one["column"], one["said"], one["made"]) for one in found["unknown"]] == [
        ("crop", "Plum", True),
    ]
    done = bring(house.grower, text, names={"crop": {" PLUM": "+"}})
    assert (done.status_code, done.json()["crops"]) == (201, 1)
    crops = house.grower.get("/api/v1/rows/crop").json()["items"]
    assert sorted(one["body"]["name"] for one in crops) == ["Bay", "plum"]
    assert len({one["crop"] for one in batches(house.grower).values()}) == 1
    assert look(house.grower, text)["figures"]["known"] == 2


def test_goods_that_are_new_are_made_and_no_gate_opens_for_them(house: Cast) -> None:
    head = "Label,Crop,Count,Counted on,Place,Came from,Arrived on,Lot\n"
    text = head + "S1,Bay,5,2031-03-02,Shade house,Hill nursery,2031-02-01,L-4\n"
    names = {"goods": {"hill nursery": "+"}}
    found = look(house.grower, text, names=names)
    assert found["goods"] == ["Hill nursery"]
    assert found["told"] == {"no_conditions": 0, "goods_without_permit": 1}
    done = bring(house.grower, text, names=names)
    assert (done.json()["goods"], done.json()["records"]) == (1, 3)
    [goods] = house.grower.get("/api/v1/rows/consignment").json()["items"]
    assert goods["body"]["supplier"] == "Hill nursery"
    assert (goods["body"]["arrived_on"], goods["body"]["without_conditions"]) == (
        *("2031-02-01", False),
    )
    ident = batches(house.grower)["S1"]["id"]
    entries = written()
    assert [one["kind"] for one in entries] == ["received", "counted", "noted"]
    assert entries[0]["occurred_at"].startswith("2031-02-01")
    asked = house.grower.get(f"/api/v1/may?act=sending&subject={ident}").json()
    assert asked["answer"] != "yes"


def test_stock_under_a_permit_has_its_clock(house: Cast) -> None:
    head = "Label,Crop,Count,Counted on,Place,Arrived on,Permit\n"
    text = head + "S1,Bay,5,2031-03-02,Shade house,2031-02-01,CQ-117\n"
    assert look(house.grower, text)["told"] == {"no_conditions": 0, "goods_without_permit": 0}
    assert bring(house.grower, text).status_code == 201
    [entry] = written()
    assert (entry["body"]["permit"], entry["body"]["clock_started_on"]) == ("p-1", "2031-02-01")


def test_where_no_plant_is_under_conditions_nothing_is_told_of_any(house: Cast) -> None:
    own = {"name": "Veshmere", "zone": "Etc/GMT-10", "conditions": False}
    rows.put("veshmere", Row("nursery", "veshmere", None, own), NOW)
    assert look(house.grower, GOOD)["told"] == {}
    text = HEAD.strip() + ",Came from,Arrived on\nS1,Bay,5,2031-03-02,Shade house,Hill,2031-02-01\n"
    assert bring(house.grower, text, names={"goods": {"hill": "+"}}).status_code == 201
    [goods] = house.grower.get("/api/v1/rows/consignment").json()["items"]
    assert goods["body"]["without_conditions"] is True


def test_a_held_room_is_told_and_keeps_no_row_out(house: Cast) -> None:
    """Rule I-9."""
    bring(house.grower, HEAD + "H1,Bay,5,2031-02-20,Shade house\n")
    ident = batches(house.grower)["H1"]["id"]
    find = {"kind": "found", "about": [ident], "body": {"suspicion": True}}
    said = house.grower.post("/api/v1/records", json.dumps(find), content_type="application/json")
    assert said.status_code == 201, said.content
    found = look(house.grower, GOOD)
    assert [one["code"] for one in found["places"][0]["told"]] == ["room_held"]
    assert bring(house.grower, GOOD).status_code == 201
    assert batches(house.grower)["S1"]["alive"] == 54


# As it is read


def test_columns_are_named_and_their_meaning_can_be_said(house: Cast) -> None:
    text = GOOD.replace("Label,", "Nr,")
    found = look(house.grower, text)
    assert (found["lacking"], found["may_come"]) == (["label"], False)
    assert [(one["at"], one["heading"], one["field"]) for one in found["columns"][:2]] == [
        (0, "Nr", None), (1, "Crop", "crop"),
    ]  # fmt: skip
    assert bring(house.grower, text).status_code == 422
    said = look(house.grower, text, columns={"0": "label"})
    assert (said["lacking"], said["may_come"]) == ([], True)


def test_a_day_that_may_be_two_is_asked_about(house: Cast) -> None:
    """Rule I-6."""
    text = HEAD + "S1,Bay,5,03/02/2031,Shade house\n"
    found = look(house.grower, text)
    assert (found["asks_order"], found["faults"][0]["code"]) == (True, "either_day")
    said = look(house.grower, text, order="day_first")
    assert said["rows"][0]["counted_on"] == "2031-02-03"


def workbook(lines: list[list[Any]]) -> bytes:
    made = openpyxl.Workbook()
    sheet = made.active
    assert sheet is not None
    for line in lines:
        sheet.append(line)
    made.create_sheet("Other").append(["Nothing"])
    out = io.BytesIO()
    made.save(out)
    return out.getvalue()


def test_a_workbook_is_read_like_a_text(house: Cast) -> None:
    content = workbook([["Etiqueta", "Cultivo", "Conteo (plantas)", "Contado el", "Lugar"],
                        ["S1", "Bay", 54, NOW.date(), "Bench 1"]])  # fmt: skip
    found = look(house.grower, content, name="stock.xlsx")
    assert found["file"]["sheets"] == ["Sheet", "Other"]
    assert (found["figures"]["plants"], found["may_come"]) == (54, True)
    assert ask(house.grower, content, sheet="Other").status_code == 422
    assert bring(house.grower, content, name="stock.xlsx").status_code == 201


FORMULAS = '=HYPERLINK(""x"")'


def test_what_begins_like_a_formula_stays_text_and_leaves_as_text(house: Cast) -> None:
    """Rule I-6."""
    text = HEAD.strip() + ',Notes\nS1,Bay,5,2031-03-02,Shade house,"' + FORMULAS + '"\n'
    assert bring(house.grower, text).status_code == 201
    entries = written()
    assert entries[-1]["body"]["text"] == '=HYPERLINK("x")'


UNFIT: dict[str, tuple[bytes, dict[str, Any], int, str]] = {
    "no table": (b"\x89PNG\x00", {}, 422, "table_unreadable"),
    "nothing": (b"", {}, 422, "table_empty"),
    "too many bytes": (bytes(table_file.MOST_BYTES + 1), {}, 413, "table_too_large"),
    "no name": (GOOD.encode(), {"name": " "}, 400, "body_unreadable"),
    "a column that means nothing here": (
        GOOD.encode(), {"columns": {"0": "weight"}}, 400, "body_unreadable",
    ),
    "an order that is none": (GOOD.encode(), {"order": "year"}, 400, "body_unreadable"),
    "fewer rows than none": (GOOD.encode(), {"left_out": -1}, 400, "body_unreadable"),
    "names of nothing": (GOOD.encode(), {"names": {"crop": 3}}, 400, "body_unreadable"),
    "more said than is read": (GOOD.encode(), {"sheet": "x" * 30_000}, 400, "body_unreadable"),
}  # fmt: skip


@pytest.mark.parametrize(("content", "said", "status", "code"), UNFIT.values(), ids=UNFIT.keys())
def test_what_cannot_be_read_is_turned_down_by_name(
    house: Cast, content: bytes, said: dict[str, Any], status: int, code: str
) -> None:
    answer = ask(house.grower, content, **said)
    assert (answer.status_code, answer.json()["code"]) == (status, code)


# The empty file


@pytest.mark.parametrize("name", stock_template.names())
def test_an_empty_file_is_read_by_what_reads_the_full_one(house: Cast, name: str) -> None:
    answer = house.grower.get(f"{AT}/templates/{name}")
    assert answer.status_code == 200
    assert name in answer["Content-Disposition"]
    content = answer.content
    tongue = name[6:8]
    headings, meant = stock_template.lines(tongue)
    if name.endswith(".csv"):
        separator = stock_template.SEPARATORS.get(tongue, ",")
        lines = list(csv.reader(io.StringIO(content.decode("utf-8-sig")), delimiter=separator))
        assert lines == [headings, meant]
        row = separator.join(["S1", "Bay", "54", "", "2031-03-02", "Bench 1"])
        content += (row + "\r\n").encode()
    else:
        book = openpyxl.load_workbook(io.BytesIO(content))
        sheet = book.worksheets[0]
        assert [cell.value for cell in sheet[1]] == headings
        for at, value in enumerate(["S1", "Bay", 54, None, "2031-03-02", "Bench 1"], start=1):
            sheet.cell(3, at, value)
        out = io.BytesIO()
        book.save(out)
        content = out.getvalue()
    found = look(house.grower, content, name=name)
    assert [one["field"] for one in found["columns"]] == [one.value for one in Field]
    assert (found["figures"]["batches"], found["file"]["remarks"]) == (1, 1)
    assert found["faults"] == []


def test_there_is_no_empty_file_of_another_name(house: Cast) -> None:
    assert house.grower.get(f"{AT}/templates/stock-xx.csv").status_code == 404


@pytest.mark.parametrize("language", words.languages())
def test_every_fault_and_every_column_has_its_words(language: str) -> None:
    wanted = [f"stock_fault.{code}" for code in (*CODES, "at", "at_empty")]
    wanted += [f"{family}.{f}" for f in Field for family in ("stock_column", "stock_means")]
    wanted += [f"stock_also.{f}" for f in Field]
    assert [key for key in wanted if not words.has(language, key)] == []


def test_no_heading_means_two_things() -> None:
    said: dict[str, set[str]] = {}
    for language in words.languages():
        for column in Field:
            also = words.say(language, f"stock_also.{column}").split(",")
            for one in (words.say(language, f"stock_column.{column}"), *also):
                key = cells.key(one.partition("(")[0])
                said.setdefault(key, set()).add(column)
    assert {key: columns for key, columns in said.items() if len(columns) > 1} == {}
