"""Write a large book into a database that holds nothing yet."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from nursery.ops.large import act, frame, telling
from nursery.ops.large.frame import House
from nursery.ops.large.size import Size
from nursery.services import in_bulk, nurseries
from nursery.services.nurseries import Newcomer
from nursery.services.people import GROWER


class NotEmpty(Exception):
    """The database holds a nursery already, and nothing is ever written over one."""

    def __init__(self, names: list[str]) -> None:
        super().__init__(
            f"This book holds {', '.join(names)}, and a large book is written into an empty one "
            "alone. Name another folder with --data, or give it another database."
        )


@dataclass(frozen=True, slots=True)
class Made:
    """A nursery that was written, and when the last of it came in."""

    house: House
    until: datetime


def make(size: Size, say: Callable[[str], object] = lambda _line: None) -> list[Made]:
    """Write every nursery with its book and its grower's account; return the nurseries.

    Raises:
        NotEmpty: there is a nursery already.
    """
    there = nurseries.every()
    if there:
        raise NotEmpty(there)
    return [_one(size, number, say) for number in range(size.nurseries)]


def _one(size: Size, number: int, say: Callable[[str], object]) -> Made:
    house = frame.house(number, size.share(number), size.years)
    nurseries.begin(house.ident, house.name, act.ZONE, demo=True)
    written = in_bulk.write(house.ident, telling.told(size, number))
    name = frame.name_of(0)
    who = Newcomer(house.email, frame.PASSWORD, name, GROWER, frame.GROWER)
    nurseries.add_account(house.ident, who)
    say(f"{house.name}: {written.entries} entries.")
    return Made(house, written.until)
