"""Lose a book that is in use and bring it back, timed: `python -m tests.drill [--entries 20000]`.

The product runs as anybody runs it (`nursery up`); phones and an office work in it; a backup is
made; all go on, and then the server and its database are gone at once. What is left is the folder
of the backups. `nursery restore` puts one into an empty server, the chain is walked, every state is
held against the book, and the phones come back. Ends with 1 where anything is lost or is not as it
was; times are shown beside their goals and fail nothing.
"""

# ruff: noqa: PLC0415  the settings are read when they are first asked for

import os
import signal
import subprocess
import sys
import tempfile
from argparse import ArgumentParser
from contextlib import ExitStack
from pathlib import Path
from typing import TYPE_CHECKING

from tests import servers

if TYPE_CHECKING:
    from tests.drill.drill import Figures

DATABASES = ("sqlite", "postgres")
RECOVERY_POINT_GOAL, RECOVERY_TIME_GOAL = 60.0, 900.0


def main() -> int:
    parser = ArgumentParser(prog="python -m tests.drill", description=__doc__)
    parser.add_argument("--entries", type=int, default=20_000, help="in the book at the backup")
    parser.add_argument("--phones", type=int, default=4)
    parser.add_argument("--seconds", type=float, default=60, help="of work after the backup")
    parser.add_argument("--database", choices=DATABASES, help="this one alone")
    choice = parser.parse_args()
    if choice.database is None:
        # The settings of one process know one database.
        words = [sys.executable, "-m", "tests.drill", *sys.argv[1:], "--database"]
        return max(subprocess.run([*words, one], check=False).returncode for one in DATABASES)
    # Stopped from outside it leaves by the way that stops the product and the servers.
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(143))
    with ExitStack() as stack:
        folder = Path(
            stack.enter_context(
                tempfile.TemporaryDirectory(prefix="nursery-drill-", ignore_cleanup_errors=True)
            )
        )
        for name in [name for name in os.environ if name.startswith("NURSERY_")]:
            del os.environ[name]
        os.environ["DJANGO_SETTINGS_MODULE"] = "config.settings"
        os.environ["NURSERY_DATA"] = str(folder)
        if choice.database == "postgres":
            os.environ["NURSERY_DATABASE_URL"] = stack.enter_context(servers.postgres(flush=True))
            os.environ["NURSERY_BROKER_URL"] = stack.enter_context(servers.redis())
        import django

        django.setup()
        from tests import product
        from tests.drill import drill

        size = drill.Size(choice.entries, choice.phones, choice.seconds)
        print(f"{choice.database}: {size.entries} entries, {size.phones} phones", flush=True)
        figures = drill.run(folder, product.empty_place, size, _say)
    _show(figures)
    return 1 if figures.faults or figures.lost else 0


def _say(text: str) -> None:
    for line in text.splitlines():
        print(f"  | {line}", flush=True)


def _show(found: "Figures") -> None:
    def row(what: str, measured: str, goal: str = "") -> None:
        print(f"  {what:<58} {measured:>12}   {goal}")

    def seconds(what: str, measured: float, goal: float | None = None) -> None:
        word = "" if goal is None else "reached" if measured <= goal else "MISSED"
        row(what, f"{measured:.1f} s", "" if goal is None else f"goal {goal:.0f} s: {word}")

    row("entries acknowledged before the loss", str(found.entries))
    row("of these since the backup", str(found.since_backup))
    seconds("age of the backup at the loss", found.backup_age)
    seconds("longest that a record waited to be copied", found.waited, RECOVERY_POINT_GOAL)
    row("entries that the server alone had lost", str(found.lacking))
    seconds("recovery point: age of the oldest of these", found.recovery_point, RECOVERY_POINT_GOAL)
    row("lines typed at the office that nobody brings back", str(found.typed_lost))
    seconds("restore, with its trial and its walk of the chain", found.restored)
    seconds("nursery verify", found.verified)
    seconds("nursery refold --check", found.refolded)
    seconds("recovery time: until a push is answered", found.answered, RECOVERY_TIME_GOAL)
    seconds("until every phone had sent and pulled", found.healed)
    row("photos, and of these sent once more", f"{found.photos}, {found.photos_sent_again}")
    row("entries lost of all ever acknowledged", str(found.lost), "goal 0")
    for fault in found.faults:
        print(f"  NOT AS IT WAS: {fault}")
    if not found.faults:
        print("  Each entry is there once, every state is as it was, every outbox is empty.")


if __name__ == "__main__":
    sys.exit(main())
