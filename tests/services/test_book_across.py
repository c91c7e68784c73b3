"""The whole story taken away from one kind of database and brought in on the other, and back."""

import os
import subprocess
import sys
import zipfile
from collections.abc import Mapping
from pathlib import Path

import pytest

from nursery.services import book_file
from tests import product, servers
from tests.steps import ROOT

pytestmark = pytest.mark.skipif(servers.postgres_bin() is None, reason="no PostgreSQL here")
DUMP = """
from hashlib import sha256
from config import web
import django; django.setup()
from nursery.services import nurseries
from nursery.store.scope import scope
[nursery] = nurseries.every()
with scope(nursery) as book:
    rows = [*book.subjects.order_by('type', 'ident').values_list('type', 'ident', 'state')]
    print(len(rows), sha256(repr(rows).encode()).hexdigest(), book.head.chain)
"""


def asked(environment: Mapping[str, str], *words: str) -> str:
    done = subprocess.run(
        [sys.executable, *words],
        env={**environment},
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def place(folder: Path, address: str = "") -> dict[str, str]:
    plain = product.plain_environment() | {"NURSERY_DATA": str(folder)}
    plain |= {"DJANGO_SETTINGS_MODULE": "config.settings", "PATH": os.environ["PATH"]}
    return plain | (servers.addresses(address) if address else {})


def run(environment: Mapping[str, str], *words: str) -> str:
    return asked(environment, "-m", "config", *words)


def test_sqlite_to_postgresql_and_back_is_the_same_book(tmp_path: Path) -> None:
    first = place(tmp_path / "first") | {"NURSERY_DEMO": "yes"}
    run(first, "demo", "--day", "3")
    run(first, "export", "--out", str(tmp_path / "1.zip"))
    told = asked(first, "-c", DUMP)
    with servers.postgres(flush=False) as address:
        second = place(tmp_path / "second", address)
        run(second, "upgrade")
        assert "lines" in run(second, "import", str(tmp_path / "1.zip"))
        assert asked(second, "-c", DUMP) == told
        assert "holds" in run(second, "verify")
        assert "as the book says" in run(second, "refold", "--check")
        run(second, "export", "--out", str(tmp_path / "2.zip"))
    third = place(tmp_path / "third")
    run(third, "upgrade")
    run(third, "import", str(tmp_path / "2.zip"))
    assert asked(third, "-c", DUMP) == told
    run(third, "refold", "--check")
    run(third, "export", "--out", str(tmp_path / "3.zip"))
    feeds = set()
    photos = set()
    for name in ("1.zip", "2.zip", "3.zip"):
        with zipfile.ZipFile(tmp_path / name) as pack:
            feeds.add(pack.read(book_file.FEED))
            names = [one for one in pack.namelist() if one.startswith(book_file.PHOTOS)]
            photos.add(tuple(sorted(names)))
    assert len(feeds) == len(photos) == 1
