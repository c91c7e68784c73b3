"""The demo nursery: its name, its people, and the days of its story on which it can be opened.

All of it is invented. The story itself is played from outside, through the public API
(`nursery demo --day N`); here is what others must know of it. Loads no tables: settings read it.
"""

from dataclasses import dataclass
from datetime import datetime

from django.conf import settings
from django.core.management import call_command

NURSERY = "veshmere"
NAME = "Veshmere Terraces"
ZONE = "Etc/GMT-10"  # UTC+10 all year: the sign of these zones is turned round

# The evening, 18:00 there, up to which each day of the story is told; before the first day the
# nursery is set up. Day 4b, between two others, is 4.5.
EVENINGS: dict[float, datetime] = {
    0: datetime.fromisoformat("2031-02-28T08:00:00+00:00"),
    1: datetime.fromisoformat("2031-03-03T08:00:00+00:00"),
    2: datetime.fromisoformat("2031-03-24T08:00:00+00:00"),
    3: datetime.fromisoformat("2031-05-04T08:00:00+00:00"),
    4: datetime.fromisoformat("2031-05-17T08:00:00+00:00"),
    4.5: datetime.fromisoformat("2031-06-06T08:00:00+00:00"),
    5: datetime.fromisoformat("2031-07-30T08:00:00+00:00"),
    6: datetime.fromisoformat("2031-08-13T08:00:00+00:00"),
    7: datetime.fromisoformat("2031-11-26T08:00:00+00:00"),
    8: datetime.fromisoformat("2032-03-09T08:00:00+00:00"),
    9: datetime.fromisoformat("2032-03-12T08:00:00+00:00"),
    10: datetime.fromisoformat("2032-10-01T08:00:00+00:00"),
}
# The demo opens on the evening on which most is open: a find, its hold, and whom it keeps out.
OPENS_ON = 3


@dataclass(frozen=True, slots=True)
class Somebody:
    """One of the demo's people. Workers have a PIN alone; the inspector has an account alone."""

    id: str
    name: str
    part: str
    language: str = "en"
    colour: str = ""
    shape: str = ""
    pin: str = ""
    email: str = ""
    password: str = ""


W1 = Somebody("p-w1", "Nela Quirova", "worker", "es", "green", "circle", pin="2714")
W2 = Somebody("p-w2", "Davo Terrin", "worker", "en", "orange", "square", pin="5093")
G = Somebody(
    "p-g", "Ilsa Vorren", "grower", "en", "blue", "triangle", "8160",
    "grower@veshmere.example", "laths-let-half-the-sun-in",
)  # fmt: skip
P = Somebody(
    "p-p", "Maro Hestel", "inspector", "en", "", "", "",
    "inspector@orrin.example", "every-tray-has-two-sides",
)  # fmt: skip
PEOPLE = (W1, W2, G, P)


def people_and_pins() -> list[str]:
    """Return a line for each of the demo's people: who they are and how they come in."""
    lines = []
    for one in PEOPLE:
        ways = [f"PIN {one.pin}"] if one.pin else []
        ways += [f"{one.email}, password {one.password}"] if one.email else []
        lines.append(f"  {one.name}, {one.part}: {'; '.join(ways)}")
    return lines


def opens_at() -> datetime:
    """Return the instant at which the demo opens where nobody names another."""
    return EVENINGS[OPENS_ON]


def name_of(day: float) -> str:
    """Return what a day of the story is called: `4`, or `4b` for the one after it.

    >>> name_of(4), name_of(4.5)
    ('4', '4b')
    """
    return f"{int(day)}" if day == int(day) else f"{int(day)}b"


def day_named(name: str) -> float:
    """Return the day of the story that is called so.

    Raises:
        ValueError: the story has no such day.
    """
    found = {name_of(day): day for day in EVENINGS}.get(name)
    if found is None:
        raise ValueError(name)
    return found


def day_told_by(now: datetime) -> float:
    """Return the last day of the story whose evening has come; before all of them, the first."""
    told = (day for day, evening in EVENINGS.items() if evening <= now)
    return max(told, default=min(EVENINGS))


def prepare() -> None:
    """Bring the demo to the day at which the product's clock starts."""
    call_command("demo", day=day_told_by(settings.CLOCK or opens_at()), once=True)
