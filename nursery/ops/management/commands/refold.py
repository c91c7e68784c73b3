"""Work out the state of every batch and place anew from the book; with --check, only compare."""

from typing import Any

from django.core.management import BaseCommand, CommandError, CommandParser

from nursery.ops import asked
from nursery.services import refold


class Command(BaseCommand):
    help = __doc__

    def add_arguments(self, parser: CommandParser) -> None:
        asked.add_nursery(parser)
        parser.add_argument(
            "--check", action="store_true", help="change nothing, and say what differs"
        )

    def handle(self, *_args: Any, **options: Any) -> None:
        differ = 0
        for nursery in asked.nurseries(options["nursery"]):
            wrong = refold.differences(nursery)
            differ += len(wrong)
            for subject in wrong:
                self.stdout.write(f"{nursery}: what is kept of {subject} is not what the book says")
            if not options["check"]:
                subjects = refold.everything(nursery)
                self.stdout.write(f"{nursery}: {subjects} batches and places worked out anew.")
            elif not wrong:
                self.stdout.write(f"{nursery}: all is as the book says.")
        if differ and options["check"]:
            raise CommandError(f"{differ} differ. Put it right with: nursery refold")
