"""The words of `nursery demo --large`: what is asked, and what is said."""

from collections.abc import Callable, Mapping
from time import perf_counter
from typing import Any

from django.conf import settings
from django.core.management import CommandError, CommandParser

from nursery.ops.large import frame, make
from nursery.ops.large.size import LIMITS, Size, SizeImpossible
from nursery.services import demo, nurseries, schema

# Options of the story, which a large book has not.
OF_THE_STORY = ("day", "url", "once")
NO_STORY = (
    "This folder holds a large invented book, into which no story is told. Name an empty folder "
    "with --data."
)


def add_arguments(parser: CommandParser) -> None:
    usual = Size()
    parser.add_argument(
        "--large", action="store_true",
        help="write a large invented book instead, into a folder that holds none",
    )  # fmt: skip
    for name in LIMITS:
        says = f"of a large book ({getattr(usual, name)})"
        parser.add_argument(f"--{name}", type=int, metavar="N", help=says)


def is_asked(options: Mapping[str, Any]) -> bool:
    """Whether a large book is asked for.

    Raises:
        CommandError: options are mixed that do not go together.
    """
    sizes = [f"--{name}" for name in LIMITS if options[name] is not None]
    if not options["large"]:
        if sizes:
            raise CommandError(f"{sizes[0]} goes with --large: nursery demo --large {sizes[0]} N")
        return False
    # Day 0 is a day as well.
    given = {one: options[one] for one in OF_THE_STORY}
    story = [f"--{one}" for one, value in given.items() if value is not None and value is not False]
    if story:
        raise CommandError(f"{story[0]} is of the demo's story. Leave it out with --large.")
    return True


def is_there() -> bool:
    """Whether the demo's folder holds a large book, into which no story is told."""
    there = nurseries.every()
    return bool(there) and demo.NURSERY not in there and all(map(_is_invented, there))


def _is_invented(nursery: str) -> bool:
    return nurseries.one(nursery).demo


def handle(options: Mapping[str, Any], say: Callable[[str], object]) -> None:
    """Write the book, and say who can sign in and how it is opened.

    Raises:
        CommandError: no book can be so large, or there is one already.
    """
    given = {name: options[name] for name in LIMITS if options[name] is not None}
    began = perf_counter()
    try:
        size = Size(**given)
        schema.bring_up_to_date(settings.BACKUPS)
        made = make.make(size, say)
    except (SizeImpossible, make.NotEmpty) as error:
        raise CommandError(str(error)) from error
    say(f"{size.entries} entries, seed {size.seed}, in {perf_counter() - began:.0f} s.")
    say(f"Everybody's PIN is {frame.PIN}. Growers sign in with the password {frame.PASSWORD}:")
    for one in made:
        say(f"  {one.house.email}")
    until = max(one.until for one in made)
    say(f"Open it on its last evening: NURSERY_CLOCK={until.isoformat()} nursery up --demo")
    say("Look it through: nursery verify --demo, nursery refold --check --demo")
