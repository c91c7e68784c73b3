"""What every test may ask for. The database and the queue are those of the environment:

without a word SQLite and the embedded queue, else `NURSERY_DATABASE_URL`, `NURSERY_BROKER_URL`.
"""

import os
from collections.abc import Iterator
from pathlib import Path

import hypothesis
import pytest
from django.conf import settings

from config import folder

SLOW_MACHINE = (hypothesis.HealthCheck.too_slow,)

for name, examples in {"dev": 50, "ci": 200, "long": 5000}.items():
    hypothesis.settings.register_profile(
        name,
        max_examples=examples,
        deadline=None,  # two cores shared by servers and tests make any deadline a coin toss
        print_blob=True,
        suppress_health_check=SLOW_MACHINE,
    )
hypothesis.settings.load_profile(os.environ.get("NURSERY_TEST_PROFILE", "dev"))


@pytest.fixture(scope="session", autouse=True)
def data_folder(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """A data folder of the session's own, so that no test writes into a person's."""
    place = tmp_path_factory.mktemp("data")
    folder.prepare(place)
    before, settings.DATA = settings.DATA, place
    yield place
    settings.DATA = before


@pytest.fixture(scope="session")
def django_db_modify_db_settings(
    data_folder: Path, django_db_modify_db_settings_parallel_suffix: None
) -> None:
    """Put SQLite's test database into a file: in memory, threads would share one lock."""
    description = settings.DATABASES["default"]
    if description["ENGINE"].endswith("sqlite3"):
        description["TEST"] = {**description.get("TEST", {}), "NAME": data_folder / "test.sqlite3"}
