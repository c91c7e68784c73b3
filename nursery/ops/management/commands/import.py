"""Bring in a book that was taken away, as a nursery of its own that is not here yet."""

import getpass
import sys
from pathlib import Path
from typing import Any

from django.core.management import BaseCommand, CommandError, CommandParser

from nursery.services import bring_in, clock, words
from nursery.services.bring_in import Account, BroughtIn
from nursery.services.errors import Refused


class Command(BaseCommand):
    help = __doc__

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", type=Path, metavar="FILE")
        parser.add_argument("--as", dest="called", metavar="NAME", help="else as it was called")
        parser.add_argument("--email", help="the address the grower signs in with")

    def handle(self, *_args: Any, **options: Any) -> None:
        account = None
        if options["email"]:
            account = Account(options["email"], _password())
        try:
            done = bring_in.bring_in(
                options["file"], options["called"], clock.now(), account, self.stdout.write
            )
        except Refused as no:
            said = words.say("en", f"problem.{no.code}", no.params)
            raise CommandError(f"Nothing was brought in. {said}") from None
        self._say(done)
        if account is None:
            self.stdout.write(
                f"Nobody can sign in to it yet: nursery let_in {done.ident} --email ADDRESS"
            )

    def _say(self, done: BroughtIn) -> None:
        self.stdout.write(f"{done.name} is here, as {done.ident}: {done.lines} lines.")
        self.stdout.write(f"Its list was signed by the key {done.fingerprint}: compare it.")
        self.stdout.write(f"{done.photos} photos came with it.")
        for digest in done.left_out:
            self.stdout.write(f"  left out, its bytes are others than its record says: {digest}")
        for digest in done.lost:
            self.stdout.write(f"  not in the file, though it is listed: {digest}")
        self.stdout.write("People keep their PINs. Each phone has to join anew.")


def _password() -> str:
    """Ask for a password twice, or read one line where no person sits at the keyboard."""
    if not sys.stdin.isatty():
        return sys.stdin.readline().rstrip("\n")
    password = getpass.getpass("Password for the grower: ")
    if getpass.getpass("Once more: ") != password:
        raise CommandError("The two are not the same. Begin again.")
    return password
