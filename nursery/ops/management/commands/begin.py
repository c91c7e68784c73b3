"""Begin a nursery of your own: its name, its time zone, and its grower's account."""

import getpass
import sys
from dataclasses import replace
from typing import Any

from django.conf import settings
from django.core.management import BaseCommand, CommandError, CommandParser

from nursery.services import beginning, clock, schema, words
from nursery.services.beginning import Beginning
from nursery.services.errors import Refused


class Command(BaseCommand):
    help = __doc__

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("name", help="what the nursery is called")
        parser.add_argument("--zone", required=True, help="its time zone, such as Etc/GMT-10")
        parser.add_argument("--grower", required=True, help="the grower's name")
        parser.add_argument("--email", required=True, help="the address the grower signs in with")
        parser.add_argument("--language", default="en", choices=words.languages())
        parser.add_argument(
            "--no-conditions", action="store_true", help="no plant here is held under a permit"
        )

    def handle(self, *_args: Any, **options: Any) -> None:
        asked = Beginning(
            options["name"],
            options["zone"],
            options["grower"],
            options["email"],
            "",
            options["language"],
            conditions=not options["no_conditions"],
        )
        try:
            # The first command in a new folder finds no tables there.
            schema.bring_up_to_date(settings.BACKUPS)
            beginning.look_through(asked)
            asked = replace(asked, password=_password())
            ident, account = beginning.begin(asked, clock.now())
        except schema.SchemaNewer as error:
            raise CommandError(str(error)) from error
        except Refused as no:
            raise CommandError(words.say("en", f"problem.{no.code}", no.params)) from None
        self.stdout.write(f"{asked.name} is begun, as {ident}. Sign in as {account.email}.")


def _password() -> str:
    """Ask for a password twice, or read one line where no person sits at the keyboard."""
    if not sys.stdin.isatty():
        return sys.stdin.readline().rstrip("\n")
    password = getpass.getpass("Password for the grower: ")
    if getpass.getpass("Once more: ") != password:
        raise CommandError("The two are not the same. Begin again.")
    return password
