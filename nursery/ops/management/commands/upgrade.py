"""Bring the tables up to this version; a SQLite book is copied before."""

from typing import Any

from django.conf import settings
from django.core.management import BaseCommand, CommandError

from nursery.services import schema
from nursery.store import roles


class Command(BaseCommand):
    help = __doc__

    def handle(self, *_args: Any, **_options: Any) -> None:
        try:
            with roles.whole_book():
                pending = schema.pending()
                copied = schema.bring_up_to_date(settings.BACKUPS)
        except (schema.SchemaNewer, roles.RoleMissing) as error:
            raise CommandError(str(error)) from error
        if copied:
            self.stdout.write(f"The book was copied to {copied}.")
        self.stdout.write(f"Applied: {', '.join(pending)}." if pending else "Nothing to do.")
