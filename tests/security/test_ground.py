"""What everything stands on: pinned dependencies, no statement of SQL put together from words, and
rules of the linter that nobody turned off without a reason that stands here."""

import json
import re
import tomllib
from collections import Counter

import pytest

from tests.steps import FRONTEND, ROOT

LOCK = (ROOT / "config" / "requirements.lock").read_text()
PINNED = re.compile(r"([a-z0-9][a-z0-9.-]*)==([0-9][\w.]*)( ; .+)?")
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text())
REGISTRY = "https://registry.npmjs.org/"
SOURCES = [one for top in ("nursery", "config") for one in (ROOT / top).rglob("*.py")]

# Each rule of security that is turned off for a line, by file; the reason stands beside the line.
TURNED_OFF = Counter(
    {
        ("config/serving.py", "S104"): 1,
        ("config/supervisor.py", "S603"): 1,
        ("config/trust.py", "S308"): 2,
        ("nursery/ops/demo/wire.py", "S310"): 2,
        ("nursery/ops/large/frame.py", "S105"): 1,
        ("nursery/ops/large/life.py", "S311"): 1,
        ("nursery/ops/large/telling.py", "S311"): 2,
        ("nursery/ops/management/commands/doctor.py", "S310"): 1,
        ("nursery/services/access.py", "S105"): 1,
        ("nursery/services/counts.py", "S608"): 1,
        ("nursery/services/darkroom.py", "S603"): 1,
        ("nursery/services/engines.py", "S603"): 1,
        ("nursery/services/labelled.py", "S101"): 2,
        ("nursery/services/log.py", "S110"): 1,
        ("nursery/services/workbook.py", "S603"): 1,
        ("nursery/store/each_push.py", "S608"): 3,
        ("nursery/store/isolation.py", "S105"): 1,
        ("nursery/store/many.py", "S608"): 3,
    }
)


def test_every_dependency_is_pinned_to_one_version() -> None:
    lines = [one for one in LOCK.splitlines() if one and not one.startswith("#")]
    assert [one for one in lines if not PINNED.fullmatch(one)] == []
    names = {found[1] for one in lines if (found := PINNED.fullmatch(one))}
    asked = [*PROJECT["project"]["dependencies"]]
    asked += [one for some in PROJECT["project"]["optional-dependencies"].values() for one in some]
    wanted = {re.split(r"[<>=\[; ]", one)[0].lower().replace("_", "-") for one in asked}
    assert wanted - names == {"lathhouse"}


def test_the_lock_is_what_the_server_is_built_from() -> None:
    built = (ROOT / "config" / "Dockerfile").read_text()
    assert "-c /tmp/requirements.lock" in built
    assert "npm ci" in built
    assert "USER nursery" in built


def test_every_package_of_the_app_has_its_hash_and_one_source() -> None:
    lock = json.loads((FRONTEND / "package-lock.json").read_text())
    packages = {name: one for name, one in lock["packages"].items() if name}
    assert len(packages) > 100
    for name, one in packages.items():
        assert one["integrity"].startswith("sha512-"), name
        assert one.get("resolved", REGISTRY).startswith(REGISTRY), name
    told = json.loads((FRONTEND / "package.json").read_text())
    wishes = {**told["dependencies"], **told["devDependencies"]}
    assert [name for name, wish in wishes.items() if not re.fullmatch(r"[0-9.]+", wish)] == []


def test_the_linter_looks_for_holes_and_is_turned_off_where_it_is_said_here() -> None:
    lint = PROJECT["tool"]["ruff"]["lint"]
    assert "S" in lint["select"]
    off = [one for one in lint["ignore"] if re.fullmatch(r"S\d*", one)]
    for place, rules in lint["per-file-ignores"].items():
        if not place.startswith(("tests/", "frontend/", "**/migrations/")):
            off += [one for one in rules if re.fullmatch(r"S\d*", one)]
    assert off == []
    found = Counter(
        (str(one.relative_to(ROOT)), rule)
        for one in SOURCES
        for line in one.read_text().splitlines()
        if (said := line.partition("# noqa:")[2])
        for rule in re.findall(r"\bS\d{3}\b", said)
    )
    assert found == TURNED_OFF


@pytest.mark.parametrize("way", [r"\.extra\(", "RawSQL", r"\.raw\(", "shell=True", r"os\.system"])
def test_there_is_no_other_way_to_a_statement_or_a_shell(way: str) -> None:
    found = [one.name for one in SOURCES if re.search(way, one.read_text())]
    assert found == []


# Where a statement is put together from words, and why no word of anybody else comes into it.
PUT_TOGETHER = {
    "engines.py": "the name of a database that is made for a trial: letters and figures of ours",
    "health.py": "names of settings that stand in a table above",
    "isolation.py": "a number, a hash or a yes, held to a pattern, before the statement itself",
    "roles.py": "rights that stand there, and a role's name out of the settings, in quotes",
}


def test_statements_are_put_together_in_few_places_of_names_of_ours() -> None:
    put = {
        one.name
        for one in SOURCES
        for line in one.read_text().splitlines()
        if re.search(r"execute\(\s*f[\"']", line)
    }
    assert put == PUT_TOGETHER.keys()
