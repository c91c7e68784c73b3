"""A consignment with everything that a release file tells, as far as one house can hold it."""

from collections.abc import Iterable
from datetime import timedelta
from typing import Any

from nursery.domain.notices import account
from nursery.domain.release_file.facts import compose
from nursery.domain.release_file.told import Told, concerning
from tests.domain.house import PAPER, House, day, day_3


def told_of(house: House) -> list[Told]:
    """Return the entries as a feed would hold them: numbered, received a minute later."""
    return [
        Told(seq, entry.occurred_at + timedelta(minutes=1), entry, raw["body"])
        for seq, (entry, raw) in enumerate(zip(house.entries, house.raws, strict=True), 1)
    ]


def file_of(house: House, on: str, consignment: str = "c-1") -> dict[str, Any]:
    return composed(house, told_of(house), on, consignment)


def composed(house: House, told: Iterable[Told], on: str, consignment: str) -> dict[str, Any]:
    book = house.book()
    records = concerning(book, account(consignment, book).batches, told)
    return compose(records, consignment, house.raw_rows, day(on))


def whole() -> House:
    """The story's first days, then an order, a lost label, weeks not done and a correction."""
    house = day_3()
    house.row("pest", "thrips", {"name": "Thrips"})
    house.row("nursery", "veshmere", {"name": "Veshmere Terraces", "zone": "Etc/GMT-10"})
    tell = {"who": "P", "how": "phone", "what": "find", "reference": "EM-77"}
    house.add("told", ("t4", "t5"), "2031-05-04 07:52", tell)
    house.order("t4", "2031-05-16 10:20", "destroy", "Q-09")
    house.add("lost", "t4", "2031-05-16 13:15", {"count": 54, "fate": "destroyed"})
    photo = {"photo": "picture-1", "sha256": "ab" * 32, "width": 3, "height": 4, "shows": "find"}
    house.add("photographed", "t4", "2031-05-04 07:21", photo)
    lost = {
        "parents": [{"id": "t3", "left": 48}, {"id": "t5", "left": 44}],
        "children": [{"id": "u", "label": "U", "count": 8}],
    }
    house.add("mixed", ("t3", "t5", "u"), "2031-05-17 10:40", lost)
    house.add("looked", "t1", "2031-05-12 07:30", {"answer": "not_looked", "why": "screen"})
    house.add("looked", "t2", "2031-05-12 07:30", {"answer": "found", "minutes": 8}, by="w1")
    wrong = house.add("lost", "t1", "2031-05-17 09:00", {"count": 3, "fate": "died"}, by="w2")
    mended = {"count": 2, "fate": "died", "fix": "miscounted", "saw": wrong}
    house.add("lost", "t1", "2031-05-17 09:00", mended, corrects=wrong)
    gone = house.add("lost", "t2", "2031-05-17 09:05", {"count": 1, "fate": "died"}, by="w2")
    house.add("withdrawn", "t2", "2031-05-17 09:06", {"fix": "twice", "saw": gone}, corrects=gone)
    house.add("found", "t2", "2031-05-12 07:31", {"suspicion": False, "photos": ["picture-2", 7]})
    accepted = {"what": "week", "reference": "AC-5", "photo": PAPER, "week_of": "2031-05-06"}
    house.add("accepted", ("t1", "t2"), "2031-05-18 09:00", accepted)
    house.add("cleaned", "citrus", "2031-05-18 09:00", {"product": "soap elsewhere"}, by="w2")
    house.add("cleaned", "room", "2031-05-18 09:30", {"product": "soap"})
    return house
