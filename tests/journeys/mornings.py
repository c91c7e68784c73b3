"""Tell the story up to any instant, into the data folder of this process, and stop there.

The `demo` command tells whole days; a journey that plays a day by itself begins on its morning.
Run as a program: `python -m tests.journeys.mornings 2031-11-20T08:00:00+10:00`.
"""
# ruff: noqa: PLC0415  the settings are read when Django is loaded

import os
import sys
from datetime import datetime

import django


def tell(moment: datetime) -> None:
    """Tell every day of the story up to an instant."""
    from django.conf import settings

    from config import folder
    from nursery.ops.demo import days, pictures, wire
    from nursery.ops.demo.begin import begin
    from nursery.ops.demo.play import Teller
    from nursery.services import clock, schema

    folder.prepare(settings.DATA)
    schema.bring_up_to_date(settings.BACKUPS)
    begin()
    past = [day for day in days.DAYS if day.on <= moment.date()]
    with clock.kept():
        teller = Teller(wire.Inside(), past)
        teller.begin(moment)
        teller.tell(moment)
    pictures.keep(past)


if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
    django.setup()
    tell(datetime.fromisoformat(sys.argv[1]))
