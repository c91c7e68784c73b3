"""The test command itself: what it lacks, what it counts, and the one line that everybody runs."""

import os
import sys
import tempfile
from pathlib import Path

import pytest

from tests import machine
from tests.running import Report, Run, _results, said
from tests.steps import ROOT, STEPS, Step


def test_what_the_machine_lacks_is_named_with_the_line_that_brings_it(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    absent = {
        name: machine.Need(lambda: None, need.packages, need.hint)
        for name, need in machine.NEEDS.items()
    }
    monkeypatch.setattr(machine, "NEEDS", absent)
    lines = machine.missing({"PostgreSQL", "Redis", "Chromium"})
    assert lines[0] == "These are missing: PostgreSQL, Redis, Chromium. Nothing was run."
    assert lines[-1] == (
        "apt-get install -y --no-install-recommends "
        "postgresql redis-server chromium fonts-dejavu-core"
    )
    assert machine.missing(set()) == []


def test_every_need_of_a_step_is_one_that_can_be_named() -> None:
    assert {need for step in STEPS for need in step.needs} <= set(machine.NEEDS)


OUTCOMES = {
    "a command that ends well counts as one passed": ("pass", Report(passed=1)),
    "a command that ends badly counts as one failed": ("raise SystemExit(1)", Report(failed=1)),
}


@pytest.mark.parametrize(("code", "report"), OUTCOMES.values(), ids=OUTCOMES.keys())
def test_a_step(code: str, report: Report) -> None:
    with Run(long=False, all_output=False) as run:
        assert run.step(Step("x", ((sys.executable, "-c", code),))) == report


def test_a_step_stops_at_its_first_failure_and_shows_all_that_was_said(
    capsys: pytest.CaptureFixture[str],
) -> None:
    says = (sys.executable, "-c", "print('said before')")
    fails = (sys.executable, "-c", "raise SystemExit('said last')")
    with Run(long=False, all_output=False) as run:
        assert run.step(Step("x", (says, fails, says))) == Report(passed=1, failed=1)
    shown = capsys.readouterr().out
    assert shown.count("said before") == 1 + 1  # the command line is shown too
    assert "said last" in shown


def _step(folder: Path, *tests: str) -> Step:
    """A step of these tests, of which one may fail by accident; `tries` tells which of them ran."""
    tries = f"import pathlib; tries = pathlib.Path({str(folder / 'tries')!r})"
    (folder / "test_x.py").write_text("\n".join((tries, *tests)))
    (folder / "pytest.ini").write_text("[pytest]\n")
    words = (*(sys.executable, "-m", "pytest", "-q"), *("-p", "no:django", str(folder)))
    return Step("x", (words,), folder=folder, again=1)


SECOND_TRIES = {
    "passes then: it is told as such, with what was said at first": (
        "tries.stat().st_size > 1",
        Report(passed=1, again=1),
    ),
    "fails again": ("False", Report(passed=1, failed=1)),
}


@pytest.mark.parametrize(("passes", "report"), SECOND_TRIES.values(), ids=SECOND_TRIES.keys())
def test_of_a_step_that_waits_for_others_what_failed_is_asked_once_more(
    passes: str, report: Report, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    waits = f"def test_it(): tries.open('a').write('x'); assert {passes}, 'said ' + 'at first'"
    with Run(long=False, all_output=False) as run:
        assert run.step(_step(tmp_path, "def test_calm(): pass", waits)) == report
    assert (tmp_path / "tries").read_text() == "xx"
    shown = capsys.readouterr().out
    assert "said at first" in shown
    assert ("passed at the second try" in shown) is (report.again == 1)


@pytest.mark.parametrize(("long", "failing"), [(False, 2), (True, 1)])
def test_more_than_an_accident_makes_and_the_long_suite_are_not_asked_again(
    tmp_path: Path, *, long: bool, failing: int
) -> None:
    fails = [f"def test_{n}(): tries.open('a').write('x'); assert False" for n in range(failing)]
    with Run(long=long, all_output=False) as run:
        assert run.step(_step(tmp_path, *fails)) == Report(failed=failing)
    assert (tmp_path / "tries").read_text() == "x" * failing


def test_commands_side_by_side_all_run_and_each_says_its_own(
    capsys: pytest.CaptureFixture[str],
) -> None:
    # Each waits for the other to have begun: one after the other they would never end.
    waits = "import pathlib, sys, time; mine, other = map(pathlib.Path, sys.argv[1:]); mine.touch()"
    waits += (
        "\nwhile not other.exists(): time.sleep(0.01)\nraise SystemExit('said by ' + mine.name)"
    )
    with tempfile.TemporaryDirectory() as folder, Run(long=False, all_output=False) as run:
        one, two = f"{folder}/one", f"{folder}/two"
        words = (sys.executable, "-c", waits)
        step = Step("x", ((*words, one, two), (*words, two, one)), abreast=True, minutes=1)
        assert run.step(step) == Report(failed=2)
    shown = capsys.readouterr().out
    assert shown.index("said by one") < shown.index("said by two")


def test_a_step_that_passes_is_one_line(capsys: pytest.CaptureFixture[str]) -> None:
    with Run(long=False, all_output=False) as run:
        run.step(Step("x", ((sys.executable, "-c", "print('said')"),)))
    assert capsys.readouterr().out.count("\n") == 1


def test_figures_are_shown_though_nothing_failed(capsys: pytest.CaptureFixture[str]) -> None:
    with Run(long=False, all_output=False) as run:
        run.step(Step("x", ((sys.executable, "-c", "print('3 of ' + '4')"),), shown=True))
    assert "3 of 4" in capsys.readouterr().out


def test_a_step_of_the_long_suite_is_not_passed_over_in_silence() -> None:
    code, output = said(
        [sys.executable, "-m", "tests", "--only", "seeds"], ROOT, {**os.environ}, 60
    )
    assert code == 2
    assert "seeds: of the long suite; add --long" in output


@pytest.mark.parametrize("long", [False, True])
def test_what_has_a_step_of_its_own_in_the_long_suite_runs_once(
    capsys: pytest.CaptureFixture[str], *, long: bool
) -> None:
    tells = (sys.executable, "-c", "import sys; print(sys.argv[1:])", "pytest")
    with Run(long=long, all_output=True) as run:
        run.step(Step("x", (tells,), apart=("tests/far_away.py",)))
    assert ("--ignore=tests/far_away.py" in capsys.readouterr().out) is long


def test_each_file_of_the_long_suite_is_there() -> None:
    words = {word for step in STEPS for command in step.commands for word in command}
    named = {word for word in words if word.startswith("tests/") and word.endswith(".py")}
    assert named >= {file for step in STEPS for file in step.apart}
    assert [name for name in named if not (ROOT / name).is_file()] == []


def test_results_of_a_test_run_are_added_up(tmp_path: Path) -> None:
    file = tmp_path / "results.xml"
    file.write_text(
        '<testsuites><testsuite tests="7" failures="1" errors="1" skipped="2"/>'
        '<testsuite tests="3" failures="0" errors="0" skipped="0"/></testsuites>'
    )
    assert _results(file) == Report(passed=6, failed=2, skipped=2)
    assert str(_results(file)) == "2 failed, 6 passed, 2 skipped"


def test_ci_runs_the_line_that_the_readme_shows() -> None:
    line = (ROOT / ".ci" / "run").read_text().splitlines()[-1]
    assert line.endswith("&& python -m tests")
    assert line in (ROOT / "README.md").read_text()


def test_the_lock_names_no_registry() -> None:
    lock = (ROOT / "config" / "requirements.lock").read_text()
    assert "://" not in lock
    assert "--index" not in lock


def test_a_command_that_hangs_is_stopped_and_said() -> None:
    words = [sys.executable, "-c", "import time; print('begun', flush=True); time.sleep(600)"]
    code, output = said(words, ROOT, dict(os.environ), 2)
    assert code == 124
    assert output == "begun\n\nstopped: not done after 2 s\n"


def test_what_a_command_leaves_behind_does_not_hold_the_run_up() -> None:
    sleeper = "[sys.executable, '-c', 'import time; time.sleep(600)']"
    left = f"import subprocess, sys; subprocess.Popen({sleeper})"
    code, output = said([sys.executable, "-c", left], ROOT, dict(os.environ), 60)
    assert (code, output) == (0, "")
