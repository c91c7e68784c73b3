"""The tables and the program: which is newer, and how the one is brought up to the other."""

import sqlite3
from contextlib import closing
from pathlib import Path

from django.core.management import call_command
from django.db import connection
from django.db.migrations.loader import MigrationLoader

from nursery.services import clock
from nursery.store import roles

COPIES_KEPT = 5


class SchemaNewer(Exception):
    """The book was written by a newer version of the program."""

    def __init__(self, unknown: list[str]) -> None:
        super().__init__(
            f"This book was written by a newer version: it has {', '.join(unknown)}, "
            "which this version does not know. Install the newer version; nothing was changed."
        )
        self.unknown = unknown


def unknown() -> list[str]:
    """Return the migrations that the database has and this program lacks."""
    loader = _loader()
    apps = loader.migrated_apps
    return sorted(
        f"{app}.{name}"
        for app, name in loader.applied_migrations
        if app in apps and (app, name) not in loader.disk_migrations
    )


def pending() -> list[str]:
    """Return the migrations that this program has and the database lacks."""
    loader = _loader()
    return sorted(
        f"{app}.{name}"
        for app, name in loader.disk_migrations
        if (app, name) not in loader.applied_migrations
    )


def bring_up_to_date(copies: Path) -> Path | None:
    """Apply what is pending; return the copy of the SQLite file that was made before, if one was.

    Raises:
        SchemaNewer: the book is newer than the program; nothing was changed.
    """
    with roles.whole_book():
        if found := unknown():
            raise SchemaNewer(found)
        if not pending():
            roles.let_serve()
            return None
        copied = _copy(copies) if _loader().applied_migrations else None
        call_command("migrate", verbosity=0, interactive=False)
        return copied


def _loader() -> MigrationLoader:
    return MigrationLoader(connection)


def _copy(copies: Path) -> Path | None:
    """Copy a SQLite book by its own backup call, which sees the write-ahead log too."""
    source = Path(str(connection.settings_dict["NAME"]))
    if connection.vendor != "sqlite" or not source.exists() or not source.stat().st_size:
        return None
    target = copies / f"before-upgrade-{clock.now():%Y%m%dT%H%M%S}.sqlite3"
    with closing(sqlite3.connect(source)) as old, closing(sqlite3.connect(target)) as new:
        old.backup(new)
    for stale in sorted(copies.glob("before-upgrade-*.sqlite3"))[:-COPIES_KEPT]:
        stale.unlink()
    return target
