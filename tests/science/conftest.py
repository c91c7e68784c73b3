"""Published cases: the data files beside the tests, handed to them case by case."""

import json
from pathlib import Path
from typing import Any

import pytest

PUBLISHED = Path(__file__).parent / "published"


def pytest_configure(config: pytest.Config) -> None:
    config.addinivalue_line(
        "markers",
        "published(file, *prefixes): run once for each case of published/<file>.json whose id "
        "starts with one of the prefixes, as the argument `case`",
    )


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    marker = metafunc.definition.get_closest_marker("published")
    if marker is None:
        return
    file, *prefixes = marker.args
    cases: list[dict[str, Any]] = json.loads((PUBLISHED / f"{file}.json").read_text("utf-8"))
    wanted = [case for case in cases if case["id"].startswith(tuple(prefixes))]
    if not wanted:
        raise ValueError(f"{file}.json has no case that starts with {prefixes}")
    metafunc.parametrize("case", wanted, ids=[case["id"] for case in wanted])
