"""Take a whole book away: every line as it was written, tables, photos, in one signed file."""

from pathlib import Path
from typing import Any

from django.core.management import BaseCommand, CommandError, CommandParser

from nursery.ops import asked
from nursery.paper import export
from nursery.services import clock, exports, words
from nursery.services.errors import Refused


class Command(BaseCommand):
    help = __doc__

    def add_arguments(self, parser: CommandParser) -> None:
        asked.add_nursery(parser)
        parser.add_argument("--out", type=Path, metavar="FILE", help="where to put it")

    def handle(self, *_args: Any, **options: Any) -> None:
        every = asked.nurseries(options["nursery"])
        if len(every) != 1:
            there = ", ".join(every) or "none"
            raise CommandError(f"Which nursery? Name one with --nursery ID. Here is: {there}.")
        file: Path = options["out"] or exports.next_file(every[0])
        if file.exists():
            raise CommandError(f"{file} is there already. Name another file.")
        try:
            export.make(every[0], file, clock.now())
        except OSError as error:
            raise CommandError(f"{file}: {error.strerror}. Name another place.") from error
        except Refused as no:
            raise CommandError(words.say("en", f"problem.{no.code}", no.params)) from None
        self.stdout.write(f"Taken away: {file} ({file.stat().st_size / 1e6:.1f} MB).")
        self.stdout.write(
            "It holds people's names, and their PINs as hashes that are easily guessed: the "
            "chain is over their exact text. Keep it as you keep the book itself."
        )
