"""Begin a nursery of your own: its name, its time zone, and its grower's account."""

import getpass
import re
import sys
import unicodedata
from typing import Any
from zoneinfo import available_timezones

from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.core.management import BaseCommand, CommandError, CommandParser
from django.core.validators import validate_email

from nursery.services import clock, nurseries, people, rows
from nursery.services.nurseries import Newcomer

GROWER = "p-grower"


class Command(BaseCommand):
    help = __doc__

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("name", help="what the nursery is called")
        parser.add_argument("--zone", required=True, help="its time zone, such as Etc/GMT-10")
        parser.add_argument("--grower", required=True, help="the grower's name")
        parser.add_argument("--email", required=True, help="the address the grower signs in with")
        parser.add_argument("--language", default="en", choices=["en", "es"])

    def handle(self, *_args: Any, **options: Any) -> None:
        ident = _ident(options["name"])
        if ident in nurseries.every():
            raise CommandError(f"{ident} is begun already. Sign in, or choose another name.")
        if options["zone"] not in available_timezones():
            raise CommandError(f"{options['zone']!r} is no time zone. Etc/GMT-10 would be one.")
        try:
            validate_email(options["email"])
        except ValidationError:
            raise CommandError(f"{options['email']!r} is no address. Type it again.") from None
        password = _password()
        nurseries.begin(ident, options["name"], options["zone"])
        who = Newcomer(options["email"], password, options["grower"], people.GROWER, GROWER)
        nurseries.add_account(ident, who)
        self._first_rows(ident, options)
        self.stdout.write(f"{options['name']} is begun, as {ident}. Sign in as {who.email}.")

    def _first_rows(self, ident: str, options: dict[str, Any]) -> None:
        language = options["language"]
        nursery = {"name": options["name"], "zone": options["zone"], "languages": [language]}
        grower = {"name": options["grower"], "role": "grower", "language": language}
        for kind, name, body in (("nursery", ident, nursery), ("person", GROWER, grower)):
            rows.put(ident, rows.Row(kind, name, None, body), clock.now())


def _ident(name: str) -> str:
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    ident = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:64]
    if not ident:
        raise CommandError(f"{name!r} has no letter or figure to call it by. Choose another name.")
    return ident


def _password() -> str:
    """Ask for a password twice, or read one line where no person sits at the keyboard."""
    if sys.stdin.isatty():
        password = getpass.getpass("Password for the grower: ")
        if getpass.getpass("Once more: ") != password:
            raise CommandError("The two are not the same. Begin again.")
    else:
        password = sys.stdin.readline().rstrip("\n")
    try:
        validate_password(password)
    except ValidationError as error:
        raise CommandError(" ".join(error.messages)) from None
    return password
