"""Make a backup, restore it into an empty place, look it through, and only then call it one."""

from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import BaseCommand, CommandError, CommandParser

from nursery.services import backup_photos, backups, engines
from nursery.services.backups import Backup


class Command(BaseCommand):
    help = __doc__

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--to", type=Path, metavar="FOLDER", help="where to put it")
        parser.add_argument("--check", type=Path, metavar="FILE", help="only try this one again")

    def handle(self, *_args: Any, **options: Any) -> None:
        try:
            if options["check"]:
                backups.check(options["check"])
                self.stdout.write(f"{options['check']} brings the book back.")
                return
            made = backups.make(options["to"])
        except (backups.BackupBroken, engines.ProgramMissing, engines.ProgramFailed) as error:
            raise CommandError(f"Not backed up. {error}") from error
        self.stdout.write(
            f"Backed up: {made.file} ({made.bytes / 1e6:.1f} MB, {made.rows} rows, "
            f"made in {made.seconds:.1f} s, brought back and looked through in "
            f"{made.trial_seconds:.1f} s)."
        )
        if made.photos or made.photos_lacking:
            self.stdout.write(_photos(made))
        if Path(settings.SIGNING_FILE).exists():
            self.stdout.write(
                f"The key that signs release files is not in it. Keep a copy of "
                f"{settings.SIGNING_FILE} apart from the backups, where nobody else reads it."
            )


def _photos(made: Backup) -> str:
    folder = made.file.parent / backup_photos.FOLDER
    said = f"{made.photos} photos lie beside it, each read through: copy {folder} along."
    if made.photos_lacking:
        said += f" {made.photos_lacking} could not be brought there; phones keep theirs."
    return said
