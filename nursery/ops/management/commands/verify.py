"""Prove the book: work out every link of its chain anew, and say where it breaks first."""

from typing import Any

from django.core.management import BaseCommand, CommandError, CommandParser

from nursery.ops import asked
from nursery.services import verify


class Command(BaseCommand):
    help = __doc__

    def add_arguments(self, parser: CommandParser) -> None:
        asked.add_nursery(parser)

    def handle(self, *_args: Any, **options: Any) -> None:
        broken = 0
        for nursery in asked.nurseries(options["nursery"]):
            faults = verify.chain(nursery)
            broken += bool(faults)
            said = "the chain is broken" if faults else "the chain holds"
            self.stdout.write(f"{nursery}: {said}.")
            for fault in faults:
                self.stdout.write(f"  {fault}")
        if broken:
            raise CommandError("Restore a backup: nursery restore FILE. Phones send again.")
