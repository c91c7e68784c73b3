"""Open this book, bring its tables up to date, and say as JSON what it holds and what is wrong."""

import json
from typing import Any

from django.conf import settings
from django.core.management import BaseCommand

from nursery.services import proof, schema
from nursery.services.counts import Counts
from nursery.store import roles


class Command(BaseCommand):
    """Used on a book that a backup was restored into; a person asks `nursery verify`."""

    help = __doc__
    requires_system_checks = ()

    def handle(self, *_args: Any, **_options: Any) -> None:
        with roles.whole_book():
            changed = bool(schema.pending())
            try:
                schema.bring_up_to_date(settings.BACKUPS)
                counted, faults = proof.of_this_book()
            except schema.SchemaNewer as error:
                counted, faults = Counts({}, {}), [str(error)]
        said = {"rows": counted.rows, "heads": counted.heads, "faults": faults, "changed": changed}
        self.stdout.write(json.dumps(said))
