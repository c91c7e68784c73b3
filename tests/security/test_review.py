"""The review names tests that exist, and leaves no chapter and no row without an answer."""

import re
from pathlib import Path

from tests.steps import ROOT

TEXT = Path(__file__).with_name("REVIEW.md").read_text()
NAMED = sorted(set(re.findall(r"`((?:tests|frontend)/[^`]+)`", TEXT)))
ROWS = [
    [cell.strip() for cell in line.strip("|").split(" | ")]
    for line in TEXT.splitlines()
    if line.startswith("|") and not line.startswith(("|---", "| number"))
]


def test_every_chapter_is_gone_through() -> None:
    chapters = re.findall(r"^## V(\d+) ", TEXT, re.MULTILINE)
    assert chapters == [str(n) for n in range(1, 15)]


def is_there(name: str) -> bool:
    path, _, test = name.partition("::")
    if not (ROOT / path).is_file():
        return False
    text = (ROOT / path).read_text()
    if path.endswith(".ts"):
        return f'test("{test}"' in text
    return not test or re.search(rf"^def {re.escape(test)}\(", text, re.MULTILINE) is not None


def test_each_test_that_is_named_exists() -> None:
    assert len(NAMED) > 100
    assert [name for name in NAMED if not is_there(name)] == []


def test_a_test_that_was_renamed_is_missed() -> None:
    assert not is_there(NAMED[0] + "_anew")
    assert not is_there("tests/security/test_none.py::test_x")


def test_each_row_has_a_test_or_a_reason() -> None:
    answer = re.compile(r"`(tests|frontend)/|reason: .{10,}|falls short|process: ")
    assert {len(row) for row in ROWS} == {4}
    assert [row[:2] for row in ROWS if not all(row) or not answer.search(row[3])] == []
