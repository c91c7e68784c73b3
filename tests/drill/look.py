"""Say as JSON what a book holds, from a process of its own: `python -m tests.drill.look`.

Which book the environment says, as for any process of the product.
"""

# ruff: noqa: PLC0415  the settings are read when Django is loaded

import json
import subprocess
import sys
from collections.abc import Mapping
from typing import Any, NamedTuple

from tests.steps import ROOT


class Book(NamedTuple):
    """What a book holds: ids of entries in order, lines of rows, states by subject, photos.

    `faults` are of its chain, and of states that are not what they fold to.
    """

    entries: list[str]
    rows: list[str]
    states: dict[str, str]
    photos: list[str]
    missing_numbers: list[Any]
    faults: list[str]


def book(environment: Mapping[str, str]) -> Book:
    """Look at the book that an environment names."""
    done = subprocess.run(
        [sys.executable, "-m", "tests.drill.look"],
        env={**environment, "DJANGO_SETTINGS_MODULE": "config.settings"},
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )
    return Book(**json.loads(done.stdout))


def main() -> int:
    import django

    django.setup()
    from nursery.services import nurseries
    from nursery.store.models import FeedRow
    from nursery.store.scope import scope
    from tests import books

    [nursery] = nurseries.every()
    with scope(nursery) as opened:
        revisions = opened.feed.filter(type=FeedRow.ROW).order_by("seq")
        held = Book(
            list(opened.entries.order_by("seq").values_list("ident", flat=True)),
            [" ".join(map(str, row)) for row in revisions.values_list("what", "ident", "rev")],
            dict(opened.subjects.order_by("ident").values_list("ident", "state")),
            list(opened.photos.order_by("sha256").values_list("sha256", flat=True)),
            [one for row in opened.installs.all() for one in row.n_missing],
            books.faults(),
        )
    json.dump(held._asdict(), sys.stdout)
    return 0


if __name__ == "__main__":
    sys.exit(main())
