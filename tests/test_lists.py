"""Lists that must be complete: kinds, rules, refusals, doubts, words, and what the core imports."""

import ast
import json
import re
import sys
from collections import Counter
from pathlib import Path

import pytest

from nursery.domain import batch_steps, doubts, entry, fold, kinds, place_steps
from nursery.domain.errors import Refusal
from nursery.services import words
from nursery.services.errors import Refused

ROOT = Path(__file__).parents[1]
DOMAIN = ROOT / "nursery/domain"
ENTRIES = ROOT / "tests/vectors/entries"
LANGUAGES = words.languages()

# Kinds that no step of a fold takes up, and why that is right.
NO_STEP = {
    "pruned": "the authority's consent is asked for by a gate; the plants are the same",
    "rooted": "cuttings are counted plants; roots are read from the entries",
    "took": "unions that failed leave by their own loss; shares are read from the entries",
    "forecast": "kept in the record, from which toughening and the planting day read it",
    "measured": "growth is forecast from the entries themselves",
    "fed": "nothing later depends on it",
    "shown": "the plants stay in the officer's bag until they are disposed of",
    "inspected": "kept in the record, from which the release gate reads it",
    "told": "read from its entry by the release record",
    "plugged": "root classes are read from their entries by the plant clock",
    "wilted": "read from its entry by the toughening program",
    "thinned": "rows have their own history, made from the entries",
    "skipped": "kept in the record, from which the checks read it",
    "booked": "kept in the record, from which the checks read it",
    "noted": "free words decide nothing",
    "described": "the report of a breach is read from its entry, where the breach is told of",
    "photographed": "the picture travels by its own way",
    "withdrawn": "taken up by the timeline, before any step",
    "traced": "what a trace showed is read from its entry; the hold is an order of its own",
    "signed": "an override is read from its entry by the gate that it is about",
}


def python_files(folder: Path) -> list[Path]:
    return sorted(folder.rglob("*.py"))


# Kinds


def test_every_kind_has_a_version_and_each_version_a_way_to_the_next() -> None:
    assert set(kinds.VERSIONS) == set(kinds.KINDS)
    ways = {(kind, v) for kind, newest in kinds.VERSIONS.items() for v in range(1, newest)}
    assert set(kinds.UPCASTS) == ways


def test_every_kind_has_a_body_of_its_own() -> None:
    assert len(set(kinds.KINDS.values())) == len(kinds.KINDS)


def test_every_version_of_every_kind_has_a_stored_example_and_no_other_has() -> None:
    wanted = {
        f"{kind}.{v}" for kind, newest in kinds.VERSIONS.items() for v in range(1, newest + 1)
    }
    assert {file.stem for file in ENTRIES.glob("*.json")} == wanted


def test_every_kind_has_a_step_or_a_reason_for_having_none() -> None:
    steps = {**batch_steps.STEPS, **place_steps.STEPS}
    without = {kind for kind, body in kinds.KINDS.items() if body not in steps}
    assert without == set(NO_STEP)


@pytest.mark.parametrize("kind", NO_STEP)
def test_a_kind_without_a_step_changes_nothing_that_a_phone_folds(kind: str) -> None:
    raw = json.loads((ENTRIES / f"{kind}.1.json").read_text(encoding="utf-8"))
    one = entry.read(raw | {"corrects": None})
    for subject in one.about:
        assert fold.batch(subject, [one]).phone() == fold.batch(subject, []).phone()
        assert fold.place(subject, [one]).phone() == fold.place(subject, []).phone()


# Words


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_kind_every_doubt_and_every_refusal_has_a_sentence(language: str) -> None:
    wanted = {f"kind.{kind}" for kind in kinds.KINDS}
    wanted |= {f"doubt.{code}" for code in doubts.WEIGHTS}
    wanted |= {f"problem.{refusal.code}" for refusal in refusals()}
    assert wanted - set(words.catalogue(language)) == set()


def refusals() -> list[type[Refusal]]:
    """Return every way in which the rules and the services turn a request down."""
    found: list[type[Refusal]] = []
    waiting: list[type[Refusal]] = [Refused, *Refusal.__subclasses__()]
    while waiting:
        cls = waiting.pop()
        waiting += cls.__subclasses__()
        if "code" in vars(cls) and cls not in found:
            found.append(cls)
    return found


def test_every_refusal_has_a_code_of_its_own() -> None:
    codes = Counter(refusal.code for refusal in refusals())
    assert {code for code, times in codes.items() if times > 1} == set()
    assert len(codes) >= 4


def test_every_doubt_is_raised_somewhere() -> None:
    sources = [
        path.read_text(encoding="utf-8")
        for folder in ("domain", "services")
        for path in python_files(ROOT / "nursery" / folder)
        if path != DOMAIN / "doubts.py"
    ]
    never = {code for code in doubts.WEIGHTS if not any(f'"{code}"' in text for text in sources)}
    assert never == set()


RAISED = re.compile(r"""\b[Dd]oubt\(\s*"([a-z_]+)\"""")


def test_every_doubt_that_is_raised_has_a_weight() -> None:
    raised = {
        code
        for path in python_files(DOMAIN)
        for code in RAISED.findall(path.read_text(encoding="utf-8"))
    }
    assert len(raised) > 30
    assert raised - set(doubts.WEIGHTS) == set()


# Rules

RULE = re.compile(r"\b([A-Z])-(\d+)\b(?: to \1-(\d+)\b)?")


def rules() -> list[str]:
    text = (DOMAIN / "RULES.md").read_text(encoding="utf-8")
    return re.findall(r"^\| ([A-Z]-\d+) \|", text, re.MULTILINE)


def cited(files: list[Path]) -> set[str]:
    """Return the rules that docstrings and comments name, ranges like `B-1 to B-5` in full."""
    named: set[str] = set()
    for path in files:
        for letter, first, last in RULE.findall(path.read_text(encoding="utf-8")):
            named |= {f"{letter}-{k}" for k in range(int(first), int(last or first) + 1)}
    return named


def test_every_rule_has_a_number_of_its_own() -> None:
    assert [rule for rule, times in Counter(rules()).items() if times > 1] == []


def test_every_rule_says_where_it_comes_from() -> None:
    text = (DOMAIN / "RULES.md").read_text(encoding="utf-8")
    rows = [line.split("|") for line in text.splitlines() if re.match(r"\| [A-Z]-\d+ \|", line)]
    assert [row[1].strip() for row in rows if len(row) != 5 or not row[3].strip()] == []


def test_every_rule_is_kept_by_code() -> None:
    assert set(rules()) - cited(python_files(DOMAIN)) == set()


def test_every_rule_is_tried_by_a_test() -> None:
    assert set(rules()) - cited(python_files(ROOT / "tests")) == set()


def test_code_cites_no_rule_that_is_not_written_down() -> None:
    families = {rule[0] for rule in rules()}
    named = {rule for rule in cited(python_files(DOMAIN)) if rule[0] in families}
    assert named - set(rules()) == set()


# The core


@pytest.mark.parametrize(
    "path", python_files(DOMAIN), ids=lambda path: str(path.relative_to(DOMAIN))
)
def test_the_core_imports_the_standard_library_and_itself(path: Path) -> None:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    names = [alias.name for n in ast.walk(tree) if isinstance(n, ast.Import) for alias in n.names]
    names += [n.module or "." for n in ast.walk(tree) if isinstance(n, ast.ImportFrom)]
    foreign = [
        name
        for name in names
        if name.partition(".")[0] not in sys.stdlib_module_names
        and not name.startswith(("nursery.domain", "nursery.science"))
    ]
    assert foreign == []
