"""A fresh database for a measurement: a folder's own SQLite, or one made on the server given.

`NURSERY_TEST_SERVER=postgresql://...` names a PostgreSQL server; without it the embedded database
is measured. Settings are read when Django starts, so nothing of Django is imported before
`database` was entered.
"""

# ruff: noqa: PLC0415  Django is loaded once the database to measure is there

import os
import secrets
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import urlsplit

from tests import servers


@contextmanager
def database() -> Iterator[str]:
    """Set Django up on an empty database with all tables, and give the engine's name."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
    server = os.environ.get("NURSERY_TEST_SERVER", "")
    with tempfile.TemporaryDirectory(prefix="nursery-bench-") as folder:
        os.environ["NURSERY_DATA"] = folder
        if not server:
            yield _migrated()
            return
        import psycopg

        name = f"bench_{secrets.token_hex(6)}"
        with psycopg.connect(servers.owner_of(server), autocommit=True) as admin:
            admin.execute(f'CREATE DATABASE "{name}"'.encode())
            os.environ |= servers.addresses(urlsplit(server)._replace(path=f"/{name}").geturl())
            try:
                yield _migrated()
            finally:
                from django.db import connection

                connection.close()
                admin.execute(f'DROP DATABASE IF EXISTS "{name}" WITH (FORCE)'.encode())


def _migrated() -> str:
    import django

    django.setup()
    from django.core.management import call_command
    from django.db import connection

    Path(os.environ["NURSERY_DATA"]).mkdir(parents=True, exist_ok=True)
    call_command("migrate", verbosity=0)
    return connection.vendor
