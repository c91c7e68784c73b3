"""The shade house: weekly looks, potting on, toughening, and then away or into the field."""

from datetime import date, timedelta

from nursery.ops.large import frame
from nursery.ops.large.life import MORNING, WEEK
from nursery.ops.large.planted import Planted

STEP = timedelta(days=6)
PLANTED_SHARE = 0.5
# Planting weeks by month and day.
OPEN = tuple(tuple(tuple(map(int, one.split("-"))) for one in weeks) for weeks in frame.PLANTING)


class Grown(Planted):
    """Plants that are grown on until they can leave the laths."""

    def grow(self, day: date, weeks: int) -> None:
        """Tell all that comes after the room or the bed."""
        self.move(day)
        for week in range(weeks):
            self.glance(week, day + week * WEEK + timedelta(days=1))
        self.toughen(day + weeks * WEEK)
        self.sort_out(day + (weeks + 5) * WEEK)
        if self.chance(PLANTED_SHARE):
            ready = day + (weeks + 5) * WEEK + timedelta(days=3)
            out = planting_day(ready)
            for week in range((out - ready).days // 7):
                self.glance(week, ready + week * WEEK + timedelta(days=2))
            self.plant(out)
        else:
            self.send(self.day + timedelta(days=self.draw.randint(3, 20)))

    def move(self, day: date) -> None:
        self.begin(day, MORNING + 45)
        self.write("moved", self.standing, {"to": self.shade})
        for batch in self.standing:
            self.write("potted", batch, {"container": "2.5 L pot", "litres": 2.5})

    def glance(self, week: int, day: date) -> None:
        """A week in the shade house: every batch at a glance, and water."""
        self.begin(day, MORNING + self.draw.uniform(0, 60))
        if week % 2:
            self.climate(self.shade)
        for batch in self.standing:
            self.look(batch, minutes=self.draw.uniform(1, 4))
            self.beside(batch, week)
        self.write("watered", self.shade, {"minutes": round(self.draw.uniform(20, 60))})

    def toughen(self, day: date) -> None:
        for number, shade in enumerate(frame.SHADES):
            self.begin(day + number * STEP, MORNING - 10)
            seen = {"scorched": self.draw.randint(0, 2), "of": 60} if number else {}
            body = {"step": "forward", "shade_percent": shade, "program": frame.PROGRAM}
            sun = {"sun_hours": 5} if number == 3 else {}
            self.write("stepped", self.standing, body | seen | sun)
            if number == 2:
                self.write("wilted", self.standing, {"wilted": 0, "of": 20})
            if number % 2:
                for batch in self.standing:
                    self.look(batch, minutes=2)

    def sort_out(self, day: date) -> None:
        """Pull some root balls, and sort every batch: plant, wait, cull."""
        self.begin(day, MORNING + 300)
        classes = {"none": 6, "few": 3, "many": 1, "cull": 0}
        self.write("plugged", self.standing, classes)
        for batch in self.standing:
            alive = self.alive[batch]
            culled, wait = self.draw.randint(0, 2), self.draw.randint(0, 4)
            sorted_out = {"a": max(0, alive - wait - culled), "b": wait, "c": culled}
            self.write("graded", batch, sorted_out)
            self.lose(batch, culled, "culled", cause="J-root")


def planting_day(ready: date) -> date:
    """Return the first working day in planting weeks on which plants can go out.

    >>> planting_day(date(2031, 6, 2)).isoformat(), planting_day(date(2031, 12, 30)).isoformat()
    ('2031-10-01', '2032-03-01')
    """
    day = ready
    while not is_planting_day(day):
        day += timedelta(days=1)
    return day


def is_planting_day(day: date) -> bool:
    """Whether it is a working day in planting weeks."""
    return day.weekday() < 5 and any(first <= (day.month, day.day) <= last for first, last in OPEN)
