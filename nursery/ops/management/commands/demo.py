"""Tell the demo's story through the public API, up to the evening of one of its days.

With --large an invented book of any size is written instead, into a folder that holds none.
"""

from argparse import ArgumentTypeError
from collections import Counter
from typing import Any

from django.conf import settings
from django.core.management import BaseCommand, CommandError, CommandParser

from nursery.ops.demo import days, pictures, wire
from nursery.ops.demo.begin import BookIsSomebodys, begin
from nursery.ops.demo.play import ClockBehind, Teller, ids_of
from nursery.ops.large import command as large
from nursery.services import clock, demo, pull, reminder_plan, schema

USUAL = demo.OPENS_ON
DAYS = ", ".join(map(demo.name_of, sorted(demo.EVENINGS)))


def _day(name: str) -> float:
    try:
        return demo.day_named(name)
    except ValueError:
        raise ArgumentTypeError(f"the story has no day {name}; it has {DAYS}") from None


class Command(BaseCommand):
    help = __doc__

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument(
            "--day", type=_day, metavar="DAY",
            help=f"the day of the story to come to, of {DAYS} ({demo.name_of(USUAL)})",
        )  # fmt: skip
        parser.add_argument("--url", metavar="ADDRESS", help="tell it to a running server instead")
        parser.add_argument(
            "--once", action="store_true", help="say nothing, and do nothing if it is told already"
        )
        large.add_arguments(parser)

    def handle(self, *_args: Any, **options: Any) -> None:
        if large.is_asked(options):
            large.handle(options, self.stdout.write)
            return
        number = USUAL if options["day"] is None else options["day"]
        try:
            if options["url"]:
                teller = tell(number, wire.Http(options["url"]))
            else:
                schema.bring_up_to_date(settings.BACKUPS)
                if large.is_there():
                    if options["once"]:
                        return
                    raise CommandError(large.NO_STORY)
                begin()
                self._warn_if_further(number)
                if options["once"] and is_told(number):
                    return
                with clock.kept():
                    teller = tell(number, wire.Inside())
                    # So that the list of reminders is there before any worker is.
                    reminder_plan.refresh(demo.NURSERY, demo.EVENINGS[number])
                pictures.keep(days.up_to(number))
        except (BookIsSomebodys, ClockBehind, wire.ServerAway, wire.ServerSays) as error:
            raise CommandError(str(error)) from error
        if not options["once"]:
            self._say(number, teller)

    def _warn_if_further(self, number: float) -> None:
        further = [day for day in demo.EVENINGS if day > number and is_told(day)]
        if further:
            self.stdout.write(
                f"This book is told up to day {demo.name_of(max(further))} already, and nothing is "
                f"taken back. To see day {demo.name_of(number)} as it was, name an empty folder "
                "with --data."
            )

    def _say(self, number: float, teller: Teller) -> None:
        statuses = Counter(
            result["status"] for phone in teller.phones.values() for result in phone.results
        )
        said = ", ".join(f"{count} {status}" for status, count in sorted(statuses.items()))
        self.stdout.write(f"Told up to the evening of day {demo.name_of(number)}: {said} records.")
        self.stdout.write("\n".join(demo.people_and_pins()))
        evening = demo.EVENINGS[number].isoformat()
        self.stdout.write(f"Open it that evening: NURSERY_CLOCK={evening} nursery up --demo")


def is_told(number: float) -> bool:
    """Whether the book of this process holds every record up to a day of the story."""
    return not pull.lacking(demo.NURSERY, ids_of(days.up_to(number)))


def tell(number: float, way: wire.Wire) -> Teller:
    """Tell the story to a server and leave its clock at the evening of day `number`."""
    evening = demo.EVENINGS[number]
    teller = Teller(way, days.up_to(number))
    teller.begin(evening)
    teller.tell(evening)
    return teller
