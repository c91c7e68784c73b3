"""Give the grower of a book that was brought in an account to sign in with."""

import getpass
import sys
from typing import Any

from django.core.management import BaseCommand, CommandError, CommandParser

from nursery.ops import asked
from nursery.services import bring_in, words
from nursery.services.bring_in import Account
from nursery.services.errors import Refused


class Command(BaseCommand):
    help = __doc__

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("nursery", metavar="ID")
        parser.add_argument("--email", required=True, help="the address the grower signs in with")

    def handle(self, *_args: Any, **options: Any) -> None:
        (ident,) = asked.nurseries(options["nursery"])
        typed = sys.stdin.isatty()
        password = getpass.getpass("Password: ") if typed else sys.stdin.readline().rstrip("\n")
        try:
            bring_in.let_in(ident, Account(options["email"], password))
        except Refused as no:
            raise CommandError(words.say("en", f"problem.{no.code}", no.params)) from None
        self.stdout.write(f"Sign in to {ident} as {options['email']}.")
