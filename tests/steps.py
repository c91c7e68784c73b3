"""The steps of `python -m tests`, in order: the cheap ones first."""

import os
import sys
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).absolute().parent.parent
FRONTEND = ROOT / "frontend"

PURE = ("tests/domain", "tests/science", "nursery/domain", "nursery/science")
# The core is covered whole, with branches; the limit stands in pyproject.toml.
COVERED = (
    "--cov=nursery.domain",
    "--cov=nursery.science",
    "--cov-report=term-missing:skip-covered",
)
APART = ("tests/domain", "tests/science", "tests/journeys", "tests/bench")
# The database and the queue, and what draws a PDF as another program does.
SERVERS = ("PostgreSQL", "Redis", "pdftoppm")


@dataclass(frozen=True)
class Step:
    """One line of the report: commands that stop at the first that fails.

    Attributes:
        database: the database that the product runs on meanwhile, or None where it needs none.
        needs: names in `machine.NEEDS`.
        abreast: whether the commands run side by side, none waiting for another: for those that
            keep one processor busy each.
        long: whether it belongs to `--long` alone.
        server: whether settings are those of a server behind https.
        minutes: how long a command may take before it is stopped and counts as failed.
    """

    name: str
    commands: tuple[tuple[str, ...], ...]
    database: str | None = None
    needs: tuple[str, ...] = ()
    abreast: bool = False
    long: bool = False
    server: bool = False
    folder: Path = ROOT
    minutes: float = 25


def _python(*words: str) -> tuple[str, ...]:
    return (sys.executable, *words)


def _tool(name: str, *words: str) -> tuple[str, ...]:
    """A program that was installed beside this Python, whether or not its folder is on the path."""
    return (str(Path(sys.executable).parent / name), *words)


def _pytest(*words: str) -> tuple[str, ...]:
    return _python("-m", "pytest", "-q", *words)


def _product(*words: str) -> tuple[str, ...]:
    return _python("-m", "config", *words)


def _parallel() -> tuple[str, ...]:
    return ("-n", str(min(os.cpu_count() or 1, 4)))


# One process more than there are processors: many of these tests wait for another process.
WHOLE = (
    "tests",
    *(f"--ignore={path}" for path in APART),
    *("-m", "not slow"),
    *("-n", str(min(os.cpu_count() or 1, 4) + 1)),
)

# Scripts that print their ratios; what falls short is read, not failed.
BENCHES = sorted(file.stem for file in (ROOT / "tests" / "bench").glob("bench_*.py"))

STEPS = (
    Step("format", (_tool("ruff", "format", "--check", "--quiet", "."),)),
    Step("lint", (_tool("ruff", "check", "."),)),
    Step("imports", (_tool("lint-imports"),)),
    Step("types", (_python("-m", "mypy"),)),
    Step("core", (_pytest(*PURE, *COVERED, *_parallel()),)),
    Step(
        "app",
        (_python(str(ROOT / "tests" / "packages.py")), ("npm", "run", "build")),
        needs=("Node",),
        folder=FRONTEND,
    ),
    Step(
        "frontend",
        (
            ("npm", "run", "lint"),
            ("npm", "run", "check"),
            ("npm", "run", "test", "--", "--reporter=default", "--reporter=junit"),
        ),
        needs=("Node",),
        abreast=True,
        folder=FRONTEND,
    ),
    Step("migrations", (_product("makemigrations", "--check", "--dry-run"),)),
    Step("deploy", (_product("check", "--deploy", "--fail-level", "WARNING"),), server=True),
    Step("sqlite", (_pytest(*WHOLE),), database="sqlite", needs=("pdftoppm",), minutes=40),
    Step("postgres", (_pytest(*WHOLE),), database="postgres", needs=SERVERS, minutes=40),
    Step(
        "journeys",
        (_pytest("tests/journeys", *_parallel()),),
        database="sqlite",
        needs=("Chromium",),
        minutes=70,
    ),
    Step("installed", (_pytest("tests", "-m", "slow"),), database="sqlite", needs=("Node",)),
    Step(
        "drill",
        tuple(_python("-m", "tests.drill", "--database", name) for name in ("sqlite", "postgres")),
        needs=SERVERS,
        long=True,
    ),
    Step("bench", tuple(_python("-m", f"tests.bench.{name}") for name in BENCHES), long=True),
)
