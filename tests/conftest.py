"""What every test may ask for. The database and the queue are those of the environment:

without a word SQLite and the embedded queue, else `NURSERY_DATABASE_URL`, `NURSERY_BROKER_URL`.
"""

import os
from collections.abc import Callable, Iterable, Iterator
from datetime import datetime
from pathlib import Path
from typing import Any

import hypothesis
import pytest
import redis
from django.conf import settings
from django.db import connection, connections
from whitenoise import WhiteNoise  # type: ignore[import-untyped]  # it has no types
from xdist.scheduler import LoadFileScheduling

from config import folder
from config.celery import app
from nursery.services import clock
from nursery.store import append_only
from tests import looking, product

for name, examples in {"dev": 50, "ci": 100, "long": 5000}.items():
    hypothesis.settings.register_profile(
        name,
        max_examples=examples,
        deadline=None,  # two cores shared by servers and tests make any deadline a coin toss
        print_blob=True,
        suppress_health_check=(hypothesis.HealthCheck.too_slow,),
    )
hypothesis.settings.load_profile(os.environ.get("NURSERY_TEST_PROFILE", "dev"))


# Where the story is told once for all.
STORY = "tests/story"
# What a test asks for that has to do with the database in force.
DATABASE = {"db", "transactional_db", "django_db_setup", "django_db_blocker", "empty_place"}


class Files(LoadFileScheduling):  # type: ignore[misc]
    """Tests that share what takes long stay on one process: those of a file, and the story's."""

    def _split_scope(self, nodeid: str) -> str:
        file = str(super()._split_scope(nodeid))
        return STORY if file.startswith(f"{STORY}/") else file


# What takes long by the file begins first: left for the end, it keeps one processor of them all.
LONGEST = ("story", "phone_sync", "sync", "tasks", "config", "ops", "security")


def pytest_configure(config: pytest.Config) -> None:
    """Hand files out in the order in which they stand, not by how many tests they hold."""
    config.option.loadscopereorder = False


def _turn(item: pytest.Item) -> int:
    """Return how early a test's file begins."""
    folder = item.nodeid.split("/")[1] if item.nodeid.startswith("tests/") else ""
    return LONGEST.index(folder) if folder in LONGEST else len(LONGEST)


def pytest_xdist_make_scheduler(config: pytest.Config, log: Any) -> Files:
    return Files(config, log)


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Have the longest first; leave out on PostgreSQL what asks for no database.

    SQLite's step has run that.
    """
    items.sort(key=_turn)
    if settings.DATABASES["default"]["ENGINE"].endswith("postgresql"):
        left = [item for item in items if not fixtures(item) & DATABASE]
        config.hook.pytest_deselected(items=left)
        items[:] = [item for item in items if fixtures(item) & DATABASE]


def fixtures(item: pytest.Item) -> set[str]:
    """Return the names of all that a test asks for, directly or not."""
    asked = {*getattr(item, "fixturenames", ())}
    return asked | {"db"} if item.get_closest_marker("django_db") else asked


@pytest.fixture(scope="session", autouse=True)
def data_folder(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """A data folder of the session's own, so that no test writes into a person's."""
    place = tmp_path_factory.mktemp("data")
    folder.prepare(place)
    before = settings.DATA, settings.BACKUPS, settings.PUSH_FILE
    settings.DATA, settings.BACKUPS = place, place / "backups"
    settings.PUSH_FILE = folder.push_file(place)
    yield place
    settings.DATA, settings.BACKUPS, settings.PUSH_FILE = before


@pytest.fixture(scope="session", autouse=True)
def built_app_once() -> Iterator[None]:
    """Read what lies in the built app's folder once, and not again for each client of a test."""
    read, kept = WhiteNoise.update_files_dictionary, dict[str, Any]()

    def once(self: WhiteNoise, root: str, prefix: str) -> None:
        if (root, prefix) != (built, "/"):
            read(self, root, prefix)
            return
        if not kept:
            read(self, root, prefix)
            kept.update(self.files)
        self.files.update(kept)

    built = f"{settings.WHITENOISE_ROOT}{os.sep}"
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(WhiteNoise, "update_files_dictionary", once)
        yield


@pytest.fixture(scope="session", autouse=True)
def own_queue(worker_id: str) -> None:
    """A numbered database of Redis for each process of the tests: their jobs must not mix."""
    if not settings.EMBEDDED_QUEUE:
        number = int(worker_id.removeprefix("gw")) + 1 if worker_id.startswith("gw") else 0
        address = f"{settings.QUEUE['broker_url'].rsplit('/', 1)[0]}/{number}"
        settings.QUEUE["broker_url"] = address
        app.conf.update(broker_url=address)


@pytest.fixture(scope="session")
def django_db_modify_db_settings(
    data_folder: Path, django_db_modify_db_settings_parallel_suffix: None
) -> Iterator[None]:
    """Put SQLite's test database where a process of the product looks for it.

    In memory, threads would share one lock, and no other process could see it. A database of
    PostgreSQL's is made, and thrown away, by the owner of its tables.
    """
    description = settings.DATABASES["default"]
    if description["ENGINE"].endswith("sqlite3"):
        description["TEST"]["NAME"] = data_folder / "nursery.sqlite3"
        yield
        return
    serving = connections["default"]
    owner = serving.copy()
    owner.settings_dict = {**serving.settings_dict, **(settings.DATABASE_OWNER or {})}
    connections["default"] = owner
    yield
    connections["default"] = serving


@pytest.fixture(scope="session")
def django_db_setup(django_db_setup: None) -> Iterator[None]:
    """Let a test that committed be cleared away, although the feed refuses to forget.

    The tests then run as the role that serves.
    """
    owner = connections["default"]
    if owner.vendor == "postgresql":
        owner.close()
        connections["default"] = owner.copy()
        connections["default"].settings_dict = settings.DATABASES["default"]
        looking.begin()
    clear: Callable[[Iterable[str]], None] = connection.ops.execute_sql_flush

    def execute_sql_flush(statements: Iterable[str]) -> None:
        append_only.remove(connection)
        clear(statements)
        append_only.install(connection)

    connection.ops.execute_sql_flush = execute_sql_flush  # type: ignore[assignment,method-assign]
    yield
    connection.close()
    connections["default"] = owner


@pytest.fixture
def other_process(transactional_db: None) -> dict[str, str]:
    """The variables by which a process of the product works on this test's database."""
    if not settings.EMBEDDED_QUEUE:
        redis.Redis.from_url(settings.QUEUE["broker_url"]).flushdb()
    return product.on_test_database()


@pytest.fixture
def empty_place(tmp_path: Path) -> Iterator[dict[str, str]]:
    """The variables of a product that nobody has started yet, on the database in force."""
    with product.empty_place(tmp_path / "place") as environment:
        yield environment


@pytest.fixture
def shifted_clock() -> Iterator[Callable[[datetime], None]]:
    """Start the product's clock at an instant; it runs on from there, and is set right after."""
    with clock.kept():
        yield clock.start_at
