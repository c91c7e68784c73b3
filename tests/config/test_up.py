"""`nursery up` as a person runs it: started, killed at, stopped, and started where it cannot."""

import json
import os
import signal
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import psycopg
import pytest
from django.conf import settings

from tests.product import Process, answer, running, wait_until
from tests.servers import free_port
from tests.steps import ROOT

EMBEDDED = settings.DATABASES["default"]["ENGINE"].endswith("sqlite3")


@contextmanager
def up(environment: dict[str, str], log: Path) -> Iterator[tuple[Process, str]]:
    """A running product and its address."""
    port = free_port()
    with running(environment, log, "up", "--port", str(port)) as process:
        address = f"http://127.0.0.1:{port}"
        process.greets()
        yield process, address


def ready(address: str) -> bool:
    return answer(f"{address}/readyz")[0] == 200


def children(parent: int) -> dict[int, str]:
    """The processes below one, by number, with the word that says what they are.

    `prove`, by which the worker tries a backup, comes and goes.
    """
    listed = subprocess.run(
        ["ps", "-e", "-o", "pid=,ppid=,args="], capture_output=True, text=True, check=True
    ).stdout
    rows = [line.split(None, 2) for line in listed.splitlines()]
    below, found = {parent}, {}
    for _ in range(3):
        for number, above, words in rows:
            lasts = "-m config" in words and "-m config prove" not in words
            if int(above) in below and lasts:
                below.add(int(number))
                found[int(number)] = words.split("-m config ")[1].split()[0]
    return found


def kill(numbers: list[int]) -> None:
    for number in numbers:
        os.kill(number, signal.SIGKILL)


def test_it_says_where_it_is_gets_ready_and_stops_cleanly(
    empty_place: dict[str, str], tmp_path: Path
) -> None:
    with up(empty_place, tmp_path / "log") as (process, address):
        assert f"Open {address}/  (this computer only)" in process.said()
        wait_until(lambda: "No nursery is here yet" in process.said(), why="it is empty")
        wait_until(lambda: ready(address), why="it is ready")
        checks = json.loads(answer(f"{address}/readyz")[1])["checks"]
        assert set(checks) == {"database", "migrations", "queue", "beat"}
        everybody = children(process.process.pid)
        assert sorted(set(everybody.values())) == ["web", "worker"]
        assert process.stop() == 0
        assert "Stopped. Nothing is lost." in process.said()
        assert answer(f"{address}/healthz")[0] == 0
        assert not any(Path(f"/proc/{number}").exists() for number in everybody)


def test_it_survives_the_death_of_any_child(empty_place: dict[str, str], tmp_path: Path) -> None:
    with up(empty_place, tmp_path / "log") as (process, address):
        wait_until(lambda: ready(address), why="it is ready")
        for victim in ("worker", "web"):
            before = children(process.process.pid)
            dead = [number for number, word in before.items() if word == victim]
            kill(dead[:1])  # of two web processes, the one that is a child of `up`
            wait_until(
                lambda gone=dead[0]: gone not in children(process.process.pid),  # type: ignore[misc]
                why=f"{victim} is gone",
            )
            wait_until(
                lambda word=victim: word in children(process.process.pid).values(),  # type: ignore[misc]
                why=f"{victim} is started again",
            )
            wait_until(lambda: ready(address), why=f"it is ready after {victim} was killed")
        (server,) = (
            number
            for number, word in children(process.process.pid).items()
            if word == "web" and parent_of(number) != process.process.pid
        )
        kill([server])
        wait_until(lambda: answer(f"{address}/healthz")[0] == 200, why="the server is replaced")


def parent_of(number: int) -> int:
    return int(Path(f"/proc/{number}/stat").read_text().rsplit(")", 1)[1].split()[1])


def test_when_it_is_killed_itself_its_children_follow(
    empty_place: dict[str, str], tmp_path: Path
) -> None:
    with up(empty_place, tmp_path / "log") as (process, address):
        everybody = children(process.process.pid)
        assert len(everybody) == 3
        kill([process.process.pid])
        wait_until(
            lambda: not any(Path(f"/proc/{number}").exists() for number in everybody),
            why="the children notice",
        )
        assert answer(f"{address}/healthz")[0] == 0


def refused(environment: dict[str, str], *words: str) -> str:
    """Run a command that must end at once with a line of its own; return the line."""
    done = subprocess.run(
        [sys.executable, "-m", "config", *words],
        env=environment,
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
        timeout=300,
    )
    assert done.returncode == 2
    assert "Traceback" not in done.stderr
    return done.stderr


def test_a_second_one_on_the_same_folder_is_turned_away(
    empty_place: dict[str, str], tmp_path: Path
) -> None:
    with up(empty_place, tmp_path / "log") as (process, _):
        said = refused(empty_place, "up", "--port", str(free_port()))
        assert f"in use by process {process.process.pid}" in said
        assert "in use by process" in refused(empty_place, "restore", "x.zip", "--yes")


def test_a_port_that_is_taken_is_named_with_the_remedy(
    empty_place: dict[str, str], tmp_path: Path
) -> None:
    with up(empty_place, tmp_path / "log") as (_, address):
        port = address.rsplit(":", 1)[1]
        other = empty_place | {"NURSERY_DATA": str(tmp_path / "other")}
        assert "Choose another with --port" in refused(other, "up", "--port", port)


@pytest.mark.parametrize("port", ["0", "65536", "abc"])
def test_a_port_that_is_none_is_named(empty_place: dict[str, str], port: str) -> None:
    assert f"'{port}' is no port; give a number from 1 to 65535" in refused(
        empty_place, "up", "--port", port
    )


def sql(environment: dict[str, str], statement: str) -> None:
    if EMBEDDED:
        file = Path(environment["NURSERY_DATA"]) / "nursery.sqlite3"
        with closing(sqlite3.connect(file)) as book, book:
            book.execute(statement)
    else:
        with psycopg.connect(environment["NURSERY_DATABASE_URL"]) as server:
            server.execute(statement.encode())


def upgrade(environment: dict[str, str]) -> str:
    done = subprocess.run(
        [sys.executable, "-m", "config", "upgrade"],
        env=environment,
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )
    return done.stdout


def test_a_book_of_a_newer_version_is_refused_and_left_alone(empty_place: dict[str, str]) -> None:
    upgrade(empty_place)
    sql(
        empty_place,
        "INSERT INTO django_migrations (app, name, applied) "
        "VALUES ('store', '9999_later', '2099-01-01 00:00:00')",
    )
    said = refused(empty_place, "up", "--port", str(free_port()))
    assert "it has store.9999_later, which this version does not know" in said
    assert "nothing was changed" in said


# What migrations after 0002 make, each before what it hangs from.
NEW_TABLES = (
    *("access", "limit_used", "calendar", "calendar_link", "push"),
    *("reminder_attempt", "reminder", "reminder_setting", "photo"),
    *("forecast", "weather_year", "weather_series", "upload", "session"),
)


@pytest.mark.skipif(not EMBEDDED, reason="the server's own backups stand in for a copied file")
def test_a_book_is_copied_before_its_tables_are_changed(empty_place: dict[str, str]) -> None:
    assert "copied" not in upgrade(empty_place)
    sql(empty_place, "DELETE FROM django_migrations WHERE app = 'store' AND name > '0002'")
    sql(empty_place, "ALTER TABLE backup DROP COLUMN trial_seconds")
    for column in ("backup DROP COLUMN photos", "backup DROP COLUMN photos_lacking"):
        sql(empty_place, f"ALTER TABLE {column}")
    sql(empty_place, "ALTER TABLE install DROP COLUMN wrong_pins")
    for table in NEW_TABLES:
        sql(empty_place, f"DROP TABLE {table}")
    # What 0001 made and a later version took away.
    sql(empty_place, "CREATE TABLE sign_in_try (id INTEGER PRIMARY KEY, name TEXT, failed INTEGER)")
    sql(empty_place, "DROP TABLE link_read")
    sql(empty_place, "DROP TABLE link")
    sql(empty_place, "DROP TRIGGER feed_no_update")
    sql(empty_place, "DROP TRIGGER feed_no_delete")
    assert "The book was copied to" in upgrade(empty_place)
    copies = [*(Path(empty_place["NURSERY_DATA"]) / "backups").glob("before-upgrade-*.sqlite3")]
    with closing(sqlite3.connect(copies[0])) as copy:
        names = {row[0] for row in copy.execute("SELECT name FROM django_migrations")}
    assert "0001_book" in names
    assert "0002_append_only" not in names
