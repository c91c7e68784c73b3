"""The operators' window: shut by default; open, it shows and changes nothing."""

import subprocess
import sys

import pytest
from django.test import Client

from tests.steps import ROOT

LOOK = "from tests.ops.looking_in import main; main()"


@pytest.mark.django_db
def test_it_is_shut_unless_the_setting_opens_it() -> None:
    assert Client().get("/admin/").status_code == 404


def test_open_it_shows_every_table_and_lets_nobody_change_one(empty_place: dict[str, str]) -> None:
    environment = {**empty_place, "NURSERY_ADMIN": "yes"}
    done = subprocess.run(
        [sys.executable, "-m", "config", "shell", "-c", LOOK],
        env=environment, cwd=ROOT, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert "tables looked at" in done.stdout
