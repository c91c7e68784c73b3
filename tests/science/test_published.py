"""No published case lies unused in its file."""

import json
import re
from pathlib import Path

import pytest

HERE = Path(__file__).parent
FILES = sorted((HERE / "published").glob("*.json"))


def prefixes_asked_for(file: str) -> tuple[str, ...]:
    tests = "".join(path.read_text("utf-8") for path in sorted(HERE.glob("test_*.py")))
    asked = re.findall(rf'published\(\s*"{file}",([^)]*)\)', tests)
    return tuple(re.findall(r'"([^"]+)"', "".join(asked)))


@pytest.mark.parametrize("file", FILES, ids=lambda path: path.stem)
def test_every_published_case_is_run_by_some_test(file: Path) -> None:
    ids = [case["id"] for case in json.loads(file.read_text("utf-8"))]
    assert [i for i in ids if not i.startswith(prefixes_asked_for(file.stem))] == []
    assert len(set(ids)) == len(ids)


@pytest.mark.parametrize("file", FILES, ids=lambda path: path.stem)
def test_every_published_case_names_its_source_and_how_it_was_seen(file: Path) -> None:
    for case in json.loads(file.read_text("utf-8")):
        assert case["source"]
        assert case["seen"] in {"source", "memory", "computed"}
