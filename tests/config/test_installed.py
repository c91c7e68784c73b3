"""The wheel as a stranger gets it: in an environment of its own, away from the sources."""

import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from tests.product import answer, plain_environment, running, wait_until
from tests.servers import free_port
from tests.steps import ROOT

pytestmark = pytest.mark.slow


def run(*words: object, folder: Path, **variables: str) -> str:
    done = subprocess.run(
        [*map(str, words)],
        env=environment() | variables,
        cwd=folder,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout
    return done.stdout


def environment() -> dict[str, str]:
    """Without anything that could lead back to the sources."""
    return {
        key: value
        for key, value in plain_environment().items()
        if key not in {"PYTHONPATH", "VIRTUAL_ENV", "DJANGO_SETTINGS_MODULE"}
    }


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    place = tmp_path_factory.mktemp("wheel")
    run(sys.executable, "-m", "pip", "wheel", "--no-deps", "-w", place, ROOT, folder=place)
    (file,) = place.glob("*.whl")
    return file


@pytest.fixture(scope="module")
def nursery(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The command in a new environment that holds the wheel and what it asks for."""
    place = tmp_path_factory.mktemp("installed")
    run(sys.executable, "-m", "venv", place / "venv", folder=place)
    lock = ROOT / "config" / "requirements.lock"
    run(place / "venv/bin/pip", "install", "-q", "-c", lock, wheel, folder=place)
    return place / "venv" / "bin" / "nursery"


def test_the_wheel_holds_the_product_and_nothing_else(wheel: Path) -> None:
    names = zipfile.ZipFile(wheel).namelist()
    tops = {name.split("/")[0] for name in names}
    assert {top for top in tops if not top.endswith(".dist-info")} == {"nursery", "config"}
    assert {
        "nursery/web/index.html",
        "nursery/web/sw.js",
        "nursery/words/es.json",
        "config/trust.html",
        "config/trust.css",
        "nursery/paper/labels.typ",
        "nursery/paper/fonts/AtkinsonHyperlegibleNext-Bold.ttf",
        "nursery/paper/fonts/LICENSE.txt",
    } <= set(names)
    assert not [name for name in names if "node_modules" in name or name.endswith(".pyc")]


def test_installed_it_runs_the_demo_from_any_folder(nursery: Path, tmp_path: Path) -> None:
    # A folder of the user's that bears a name of ours must not be taken for it.
    (tmp_path / "config").mkdir()
    (tmp_path / "config" / "__init__.py").write_text("raise SystemExit('not this one')")
    os.chdir(tmp_path)
    port, data = free_port(), tmp_path / "data"
    words = ("up", "--demo", "--port", str(port), "--data", str(data))
    address = f"http://127.0.0.1:{port}"
    with running(environment(), tmp_path / "log", *words, program=(str(nursery),)) as process:
        process.greets(400)
        assert process.said().count("PIN ") >= 3
        wait_until(lambda: answer(f"{address}/readyz")[0] == 200, why="it is ready")
        status, page = answer(f"{address}/")
        assert status == 200
        assert b"<script" in page
        assert answer(f"{address}/api/v1/sync/ping")[0] == 200
        wait_until(lambda: [*data.glob("demo/backups/nursery-*.zip")], why="it backs itself up")
        said = run(nursery, "--demo", "doctor", folder=tmp_path, NURSERY_DATA=str(data))
        assert "NOT" not in said
        assert process.stop() == 0


def test_installed_its_code_is_the_wheels(nursery: Path, tmp_path: Path) -> None:
    python = nursery.with_name("python")
    said = run(python, "-c", "import nursery; print(nursery.__path__)", folder=tmp_path)
    assert str(nursery.parent.parent) in said
