"""What the phone app rests on stays as the product has it: shapes, and the hash of its sources."""

import importlib.util
import sys
from pathlib import Path
from types import ModuleType

import pytest

FRONTEND = Path(__file__).parents[2] / "frontend"


def tool(name: str, path: str, monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    """Load a build tool by its path: they lie beside the app, in no package."""
    found = importlib.util.spec_from_file_location(name, FRONTEND / path)
    assert found is not None
    assert found.loader is not None
    module = importlib.util.module_from_spec(found)
    monkeypatch.setattr(sys, "path", [*sys.path])
    found.loader.exec_module(module)
    return module


def test_the_phone_reads_bodies_by_the_shapes_of_the_domain(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    shapes = tool("shapes", "tools/shapes.py", monkeypatch)
    stored = (FRONTEND / "src/log/shapes.json").read_text(encoding="utf-8")
    assert stored == shapes.text(), "Run: python frontend/tools/shapes.py"


def test_a_build_is_fresh_only_for_the_very_sources(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    hook = tool("hatch_build", "hatch_build.py", monkeypatch)
    stamp = tmp_path / ".sources"
    monkeypatch.setattr(hook, "STAMP", stamp)
    assert not hook.is_fresh()
    stamp.write_text(hook.sources(FRONTEND) + "\n", encoding="ascii")
    assert hook.is_fresh()
    stamp.write_text(hook.sources(FRONTEND, ["src"]) + "\n", encoding="ascii")
    assert not hook.is_fresh()


def test_the_install_takes_the_hash_of_sources_as_the_build_does(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    hook = tool("hatch_build", "hatch_build.py", monkeypatch)
    for name, text in {"b.html": "ä\n", "src/a.ts": "1", "src/__pycache__/x": "never"}.items():
        file = tmp_path / name
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(text, encoding="utf-8")
    # The same files and hash stand in frontend/tools/stamp.test.ts.
    wanted = "92ac0417e168cb4073942d038c2dd26d3dd59551dab57364d98dfa6ceb2ae7cc"
    assert hook.sources(tmp_path, ["src", "b.html"]) == wanted
    watched = (FRONTEND / "tools/stamp.ts").read_text(encoding="utf-8")
    assert [name for name in hook.WATCHED if f'"{name}"' not in watched] == []
