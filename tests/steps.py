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
        shown: whether all it prints is shown, since it prints figures to be read.
        apart: files that have a step of their own under `--long`, and are then left out here.
        minutes: how long a command may take before it is stopped and counts as failed.
        again: where no more tests than this failed, they are asked once more, one after the other,
            and pass where all of them do; the line says so, and what they said at first is shown.
            For tests that wait for a browser to draw; never under `--long`, and never where a
            failure once in many runs may be an entry that was lost.
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
    shown: bool = False
    apart: tuple[str, ...] = ()
    again: int = 0


def _python(*words: str) -> tuple[str, ...]:
    return (sys.executable, *words)


def _tool(name: str, *words: str) -> tuple[str, ...]:
    """A program that was installed beside this Python, whether or not its folder is on the path."""
    return (str(Path(sys.executable).parent / name), *words)


def _pytest(*words: str) -> tuple[str, ...]:
    return _python("-m", "pytest", "-q", *words)


def _product(*words: str) -> tuple[str, ...]:
    return _python("-m", "config", *words)


def _parallel(more: int = 0) -> tuple[str, ...]:
    return ("-n", str(min(os.cpu_count() or 1, 4) + more))


def _ignored(*paths: str) -> tuple[str, ...]:
    return tuple(f"--ignore={path}" for path in paths)


# So many journeys may fail for want of a processor; where more do, it is no accident.
FEW = 3

# One process more than there are processors: many of these tests wait for another process.
WHOLE = (
    "tests",
    *_ignored(*APART),
    *("-m", "not slow"),
    *_parallel(more=1),
)

# Scripts that print their ratios; what falls short is read, not failed. The crowd is a step apart.
BENCHES = sorted(file.stem for file in (ROOT / "tests" / "bench").glob("bench_*.py"))
CROWD = _python("-m", "tests.bench.bench_crowd")

# What `--long` makes hours of: each is a step, so that it can be run alone.
SEEDS = _python("-m", "tests.long.seeds", "--seeds", "10000")
KILLS = "tests/sync/test_kills.py"
DATABASE_KILLS = "tests/sync/test_database_kills.py"
# What a phone's browser, the processes and the printed papers do by themselves, or what brings its
# databases with it: which database the office has is the long suite's matter.
PHONES = "tests/phone_sync"
ACROSS = "tests/services/test_book_across.py"
BESIDE = (PHONES, ACROSS, "tests/config", "tests/paper", "tests/long")
ENGINE = f"{PHONES}/test_the_engine.py"
MACHINES = ("tests/sync/test_three_phones.py", "tests/sync/test_numbers.py")
LONG = (KILLS, DATABASE_KILLS, ENGINE, *MACHINES)
# Journeys that show for one more act, light or width what others show of the same screens, or play
# at length what the story's and the phone's own tests play: half of the time of all journeys.
AT_LEISURE = tuple(
    f"tests/journeys/test_{name}.py"
    for name in (
        *("acts", "bad_link", "camera_kills", "count_skipped", "crop_profiles", "grading"),
        *("held_field", "hold_labels", "inspector", "joins_late", "labels", "may_day", "measuring"),
        *("nine_days", "old_label", "outline", "own_rows", "paper_round", "permits", "photos"),
        *("pictures", "plan_back", "plan_taken", "products", "qualified", "stock_file"),
        *("suspicion_again", "take_away", "take_on", "tears", "trust_page", "weather"),
        "week_not_done",
    )
)
BEATS = ("tests/tasks/test_reminding.py", "tests/services/test_jobs.py")

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
    Step(
        "sqlite",
        (_pytest(*WHOLE),),
        database="sqlite",
        needs=("pdftoppm",),
        minutes=40,
        apart=LONG,
    ),
    Step(
        "postgres",
        (_pytest(*WHOLE, *_ignored(*BESIDE)),),
        database="postgres",
        needs=SERVERS,
        minutes=40,
        apart=LONG,
    ),
    Step(
        "journeys",
        (_pytest("tests/journeys", *_parallel(), *_ignored(*AT_LEISURE)),),
        database="sqlite",
        needs=("Chromium",),
        minutes=70,
        again=FEW,
    ),
    Step("installed", (_pytest("tests", "-m", "slow"),), database="sqlite", needs=("Node",)),
    Step(
        "components",
        (("npm", "run", "lint:components"),),
        needs=("Node",),
        long=True,
        folder=FRONTEND,
    ),
    Step(
        "journeys-at-leisure",
        (_pytest(*AT_LEISURE, *_parallel()),),
        database="sqlite",
        needs=("Chromium",),
        long=True,
    ),
    Step("seeds", (SEEDS,), long=True, shown=True),
    Step("machines", (_pytest(*MACHINES),), database="sqlite", long=True),
    Step(
        "machines-postgres",
        (_pytest(*MACHINES),),
        database="postgres",
        needs=SERVERS,
        long=True,
    ),
    Step("engine", (_pytest(ENGINE),), database="sqlite", needs=("Node",), long=True),
    Step(
        "beside-postgres",
        (_pytest(*BESIDE, *_ignored(ENGINE), "-m", "not slow"),),
        database="postgres",
        needs=SERVERS,
        long=True,
    ),
    Step("kills", (_pytest(KILLS),), database="sqlite", long=True),
    Step("kills-postgres", (_pytest(KILLS),), database="postgres", needs=SERVERS, long=True),
    Step("kills-of-database", (_pytest(DATABASE_KILLS),), needs=("PostgreSQL",), long=True),
    Step("beats", (_pytest(*BEATS),), database="postgres", needs=SERVERS, long=True),
    Step("pictures", (_pytest("tests/services/test_darkroom.py"),), long=True),
    Step("pushes", (_pytest("tests/sync/test_pushes.py"),), database="sqlite", long=True),
    Step("crowd", (CROWD,), database="sqlite", long=True, shown=True),
    Step(
        "crowd-postgres",
        (CROWD,),
        database="postgres",
        needs=SERVERS,
        long=True,
        shown=True,
    ),
    Step(
        "drill",
        tuple(_python("-m", "tests.drill", "--database", name) for name in ("sqlite", "postgres")),
        needs=SERVERS,
        long=True,
        shown=True,
    ),
    Step(
        "bench",
        tuple(_python("-m", f"tests.bench.{name}") for name in BENCHES if name != "bench_crowd"),
        long=True,
        shown=True,
    ),
)
