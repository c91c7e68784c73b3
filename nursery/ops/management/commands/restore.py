"""Put a backup in the place of the book. Phones then send again what they still hold."""

from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import BaseCommand, CommandError, CommandParser

from nursery.services import backups, engines, restore, signing


class Command(BaseCommand):
    help = __doc__
    requires_system_checks = ()

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", type=Path)
        parser.add_argument("--yes", action="store_true", help="do not ask")
        parser.add_argument(
            "--without-since",
            action="store_true",
            help="leave out the lines that were copied after this backup was made",
        )

    def handle(self, *_args: Any, **options: Any) -> None:
        file: Path = options["file"]
        try:
            if newer := restore.newer_than(file):
                self.stdout.write(
                    f"There is a newer backup: {newer[-1]}. What was written between the two may "
                    "be on no phone any more."
                )
            if not options["yes"] and not self._sure():
                raise CommandError("Nothing was changed.")
            since = not options["without_since"]
            done = restore.restore(file, self.stdout.write, since=since)
        except (
            backups.BackupBroken,
            restore.BookOpen,
            engines.ProgramMissing,
            engines.ProgramFailed,
        ) as error:
            raise CommandError(str(error)) from error
        for nursery, seq in done.heads.items():
            self.stdout.write(f"Restored: nursery {nursery} up to number {seq}.")
            self.stdout.write(f"  Its release files are signed here by {_signs(nursery)}.")
        self.stdout.write(
            "Is that not the key of files that were handed over before? Then put the copy of "
            f"{settings.SIGNING_FILE} that was kept apart back in its place: a backup holds no key."
        )
        self.stdout.write("A new epoch has begun; phones send again what they hold, by themselves.")

    def _sure(self) -> bool:
        return input("Put this backup in the place of the present book? yes/no ") == "yes"


def _signs(nursery: str) -> str:
    known = signing.fingerprints(nursery)
    return f"the key {known[0]}" if known else "no key yet"
