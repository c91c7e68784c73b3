"""Which nurseries a command is about: all of the book, or the one that was named."""

from django.core.management import CommandError, CommandParser

from nursery.services import nurseries as known


def add_nursery(parser: CommandParser) -> None:
    parser.add_argument("--nursery", metavar="ID", help="this nursery only")


def nurseries(wanted: str | None) -> list[str]:
    """Return the nurseries of this book, or the one that is wanted.

    Raises:
        CommandError: the book holds no such nursery.
    """
    every = known.every()
    if wanted is None:
        return every
    if wanted not in every:
        there = ", ".join(every) or "none"
        raise CommandError(f"No nursery is called {wanted!r}. This book holds: {there}.")
    return [wanted]
