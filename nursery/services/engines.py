"""What a backup needs of a database: a copy of one moment, and an empty place to try it in."""

import os
import shutil
import sqlite3
import subprocess
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.parse import quote

from django.db import connection, transaction

from nursery.services import counts
from nursery.services.counts import Counts
from nursery.store import isolation
from nursery.store.roles import whole_book

# A book that is tried out runs in a process of its own, with these variables and no other of ours.
Place = Mapping[str, str]


class ProgramMissing(Exception):
    """A program of PostgreSQL's that backups need is not on this machine."""

    def __init__(self, program: str) -> None:
        super().__init__(
            f"{program} is not installed. On Debian: apt-get install postgresql-client"
        )


class ProgramFailed(Exception):
    """A program of PostgreSQL's ended with an error."""

    def __init__(self, program: str, said: str) -> None:
        super().__init__(f"{program} said: {said.strip()[-400:]}")


def in_force() -> "Sqlite | Postgres":
    """Return the kind of database that the settings name.

    Each can `dump` the book as it is at one moment, telling what it held then; bring a dump up in
    an empty place where it is `tried`; `replace` the book by a dump; and say how many `others`
    have the book open.
    """
    return Sqlite() if connection.vendor == "sqlite" else Postgres()


@dataclass(frozen=True)
class Sqlite:
    """The embedded database: one file, copied by its own backup call."""

    suffix: str = "sqlite3"

    def dump(self, target: Path) -> Counts:
        with closing(sqlite3.connect(self._file(), isolation_level=None)) as source:
            source.execute("BEGIN")  # counts and copy are of the same moment
            counted = counts.read(lambda sql: source.execute(sql).fetchall())
            with closing(sqlite3.connect(target)) as copy:
                source.backup(copy)
        return counted

    @contextmanager
    def tried(self, source: Path) -> Iterator[Place]:
        with tempfile.TemporaryDirectory(prefix="nursery-trial-") as name:
            shutil.copyfile(source, Path(name) / "nursery.sqlite3")
            yield {"NURSERY_DATA": name}

    def replace(self, source: Path) -> None:
        file = self._file()
        connection.close()
        draft = file.with_suffix(".restoring")
        shutil.copyfile(source, draft)
        for part in ("-wal", "-shm"):
            Path(f"{file}{part}").unlink(missing_ok=True)
        draft.replace(file)

    def others(self) -> int:
        return 0  # the lock on the data folder says it

    def _file(self) -> Path:
        return Path(str(connection.settings_dict["NAME"]))


@dataclass(frozen=True)
class Postgres:
    """The database server: dumped and restored by its own programs."""

    suffix: str = "dump"

    def dump(self, target: Path) -> Counts:
        with whole_book(), transaction.atomic(), connection.cursor() as cursor:
            cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
            cursor.execute("SELECT pg_export_snapshot()")
            moment = cursor.fetchone()[0]

            def ask(sql: str) -> list[tuple[Any, ...]]:
                cursor.execute(sql)
                return [*cursor.fetchall()]

            counted = counts.read(ask)
            if len(counted.heads) != counted.rows["nursery"]:
                # It would be a whole backup of the nothing that this role is shown.
                raise ProgramFailed("pg_dump", "NURSERY_OWNER_DATABASE_URL must name the owner")
            options = ("-Fc", "--enable-row-security", f"--snapshot={moment}", "-f", str(target))
            self._run("pg_dump", *options)
        return counted

    @contextmanager
    def tried(self, source: Path) -> Iterator[Place]:
        name = f"{self._settings['NAME'][:40]}_trial_{os.getpid()}"
        with whole_book(), connection.cursor() as cursor, tempfile.TemporaryDirectory() as folder:
            cursor.execute(f'DROP DATABASE IF EXISTS "{name}"')
            cursor.execute(f'CREATE DATABASE "{name}" TEMPLATE template0')
            try:
                self._load(source, name)
                yield {"NURSERY_DATABASE_URL": self._address(name), "NURSERY_DATA": folder}
            finally:
                cursor.execute(f'DROP DATABASE IF EXISTS "{name}" WITH (FORCE)')

    def replace(self, source: Path) -> None:
        with whole_book():
            with connection.cursor() as cursor:
                cursor.execute("DROP SCHEMA public CASCADE")
                cursor.execute("CREATE SCHEMA public")
            connection.close()
            self._load(source, self._settings["NAME"])

    def others(self) -> int:
        with connection.cursor() as cursor:
            cursor.execute(
                "SELECT count(*) FROM pg_stat_activity WHERE datname = current_database() "
                # Of another role's session its name is all that everybody may see.
                "AND pid <> pg_backend_pid() AND usename IS NOT NULL"
            )
            return int(cursor.fetchone()[0])

    def _load(self, source: Path, name: str) -> None:
        options = ("--single-transaction", "--exit-on-error", "--no-owner", "--no-privileges")
        self._run("pg_restore", *options, "--schema=public", str(source), name=name)

    @property
    def _settings(self) -> dict[str, Any]:
        return dict(connection.settings_dict)

    def _address(self, name: str) -> str:
        user, password = (quote(str(self._settings[key]), safe="") for key in ("USER", "PASSWORD"))
        host, port = quote(str(self._settings["HOST"]), safe=""), self._settings["PORT"]
        return f"postgresql://{user}:{password}@{host}{f':{port}' if port else ''}/{quote(name)}"

    def _run(self, program: str, *options: str, name: str | None = None) -> None:
        """Run a program on a database; the password goes by the environment, not the command."""
        found = shutil.which(program)
        if found is None:
            raise ProgramMissing(program)
        known = {
            "PGHOST": self._settings["HOST"],
            "PGPORT": self._settings["PORT"],
            "PGUSER": self._settings["USER"],
            "PGPASSWORD": self._settings["PASSWORD"],
            "PGOPTIONS": f"-c {isolation.EVERYTHING}=yes",
        }
        environment = os.environ | {key: str(value) for key, value in known.items() if value}
        done = subprocess.run(  # noqa: S603  no shell, and every word is ours
            [found, "-d", name or self._settings["NAME"], *options],
            env=environment,
            capture_output=True,
            text=True,
            check=False,
        )
        if done.returncode:
            raise ProgramFailed(program, done.stderr)
