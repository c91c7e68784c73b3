"""Apply Django's migrations as the tables' owner; `nursery upgrade` looks around before it does."""

from typing import Any

from django.core.management.commands import migrate

from nursery.store import roles


class Command(migrate.Command):
    help = __doc__

    def handle(self, *args: Any, **options: Any) -> None:
        with roles.whole_book():
            super().handle(*args, **options)
            roles.let_serve()
