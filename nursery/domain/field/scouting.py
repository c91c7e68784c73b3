"""Looking over plants of a block: how many were seen, what was found (F-20 to F-22).

Nothing found never means that nothing is there: what is said is how surely so much looking would
have found a pest, had so large a share of the plants had it.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import chain
from math import floor
from typing import Any

from nursery.domain.book import Book
from nursery.domain.entry import Entry
from nursery.domain.field import plan
from nursery.domain.field.standing import NOBODY, blocks_of, grown
from nursery.domain.kinds.health import Answer, Found
from nursery.domain.record import Look
from nursery.domain.reference import Pest
from nursery.domain.reference.layouts import Layout
from nursery.domain.reference.pests import USUAL_NOTICED, USUAL_SEEN
from nursery.domain.timeline import standing
from nursery.science import sampling

# What tells of the present, where nobody says since when. (Common practice, no source.)
SPAN = timedelta(days=28)
SLACK = 1e-9

# A block and the number of one of its rows; None of a look over the block, or over several rows.
Where = tuple[str, int | None]


@dataclass(frozen=True, slots=True)
class Walked:
    """One look over plants of a row, or of more than one; `look.plants` were seen, if told."""

    where: Where
    on: date
    look: Look

    @property
    def told(self) -> bool:
        return self.look.answer is not Answer.NOT_LOOKED and bool(self.look.plants)


@dataclass(frozen=True, slots=True)
class Find:
    """Something was found in a row; without a pest nobody has said yet what it is."""

    where: Where
    on: date
    entry: Entry

    @property
    def body(self) -> Found:
        found: Found = self.entry.body
        return found


@dataclass(frozen=True, slots=True)
class Seen:
    """How many of the living plants were seen for certain, each counted once."""

    lot: int
    plants: int
    untold: int


def of_place(ident: str, book: Book, since: date | None, today: date) -> dict[str, Any] | None:
    """Return how plants of a block, or of all blocks in a place, were looked over since a day.

    None where nothing is laid out. Looks of the last four weeks are told where no day is given.
    """
    layouts = blocks_of(ident, book)
    if not layouts:
        return None
    begins = since or today - SPAN + timedelta(days=1)
    living = _living(layouts, book)
    walked = [one for one in _walked(layouts, book) if begins <= one.on <= today]
    finds = [one for one in _finds(layouts, book) if begins <= one.on <= today]
    seen = seen_of(walked, living)
    return {
        "id": ident,
        "today": today.isoformat(),
        "since": begins.isoformat(),
        "lot": seen.lot,
        "seen": seen.plants,
        "untold": seen.untold,
        "looks": [_look_told(one, living) for one in reversed(walked)],
        "finds": [_find_told(one) for one in reversed(finds)],
        "pests": [
            _pest_told(name, row, seen, finds) for name, row in _pests(layouts, finds, book, today)
        ],
    }


def seen_of(walked: Iterable[Walked], living: Mapping[Where, int]) -> Seen:
    """Return how many different plants were seen for certain (rule F-20).

    A look tells how many plants of a row were seen and not which, so of several looks at one row
    the largest counts, never their sum, and never more than live there. `living` are the plants of
    each row. One number for several rows says no more than its own size.
    """
    some = list(walked)
    lot = sum(living.values())
    rows: dict[Where, int] = {}
    least = 0
    for one in some:
        plants = (one.look.plants or 0) if one.told else 0
        if one.where in living:
            most = living[one.where]
            rows[one.where] = max(rows.get(one.where, 0), min(plants, most))
        elif one.where[1] is None:
            least = max(least, min(plants, lot))
    untold = sum(one.look.answer is not Answer.NOT_LOOKED and not one.told for one in some)
    return Seen(lot, max(sum(rows.values()), least), untold)


def confidence(seen: Seen, noticed: float, efficacy: float) -> float:
    """Return how surely looking would have found a pest that a share of the plants has (F-21).

    Args:
        seen: the plants that stand there, and how many of them were looked at.
        noticed: the share that is to be noticed, above 0, up to 1.
        efficacy: the share of plants with it on which it is seen, above 0, up to 1.

    Source:
        FAO/IPPC ISPM 31 (2008) Appendix 2, hypergeometric, by `sampling.confidence_reached`.
    """
    return sampling.confidence_reached(seen.lot, seen.plants, noticed, efficacy)


def _living(layouts: Iterable[Layout], book: Book) -> dict[Where, int]:
    """Return the living plants of each row of the crop."""
    fields = grown(book)
    found: dict[Where, int] = {}
    for layout in layouts:
        stand = fields.get(layout.id, NOBODY).standing
        for row in plan.crop_rows(layout):
            lives = sum(name in stand and stand[name].lives for name in plan.names(row))
            found[layout.id, row.number] = lives
    return found


def _subjects(layouts: Iterable[Layout]) -> dict[str, Where]:
    """Return blocks and their rows by the subjects of records about them."""
    found: dict[str, Where] = {}
    for layout in layouts:
        found[layout.id] = (layout.id, None)
        found |= {name: (layout.id, row.number) for name, row in plan.seats(layout).items()}
    return found


def _where(subjects: Sequence[Where]) -> Where:
    """Return what a record about these is about: one row, or something larger."""
    first = subjects[0]
    return first if len(set(subjects)) == 1 else (first[0], None)


def _walked(layouts: Sequence[Layout], book: Book) -> list[Walked]:
    """Return the looks at rows and blocks, oldest first."""
    looks: dict[str, Look] = {}
    about: dict[str, list[Where]] = {}
    for subject, where in _subjects(layouts).items():
        place = book.places.get(subject)
        for look in () if place is None else place.record.looks:
            looks[look.entry] = look
            about.setdefault(look.entry, []).append(where)
    found = [Walked(_where(about[name]), book.day(look.at), look) for name, look in looks.items()]
    return sorted(found, key=lambda one: (one.look.at, one.look.entry))


def _finds(layouts: Sequence[Layout], book: Book) -> Iterator[Find]:
    """Yield what was found in rows and blocks, oldest first, without what was taken back."""
    subjects = _subjects(layouts)
    for entry in standing(book.finds).entries:
        about = [subjects[name] for name in entry.about if name in subjects]
        if isinstance(entry.body, Found) and about:
            yield Find(_where(about), book.day(entry.occurred_at), entry)


def _look_told(one: Walked, living: Mapping[Where, int]) -> dict[str, Any]:
    block, row = one.where
    look = one.look
    return {
        "entry": look.entry,
        "on": one.on.isoformat(),
        "by": look.by,
        "block": block,
        "row": row,
        "answer": look.answer.value,
        "plants": look.plants,
        "of": living.get(one.where),
        "minutes": look.minutes,
        "why": look.why,
    }


def _find_told(one: Find) -> dict[str, Any]:
    block, row = one.where
    body = one.body
    return {
        "entry": one.entry.id,
        "on": one.on.isoformat(),
        "by": one.entry.author,
        "block": block,
        "row": row,
        "positions": list(body.positions),
        "pest": body.pest,
        "symptom": body.symptom,
        "part": body.part,
        "plants": body.plants,
        "suspicion": body.suspicion,
    }


def _pests(
    layouts: Sequence[Layout], finds: Iterable[Find], book: Book, today: date
) -> list[tuple[str, Pest | None]]:
    """Return the pests that live on the crops of the blocks, and those that were found there."""
    crops = {layout.crop for layout in layouts}
    rows = {
        name
        for name, row in book.rows_of("pest")
        if not (row.until and row.until <= today) and (not row.hosts or crops & {*row.hosts})
    }
    found = {str(one.body.pest) for one in finds if one.body.pest}
    return [(name, book.row("pest", name)) for name in sorted(rows | found)]


def _pest_told(name: str, row: Pest | None, seen: Seen, finds: Sequence[Find]) -> dict[str, Any]:
    """Return what the looking says of one pest: nothing of absence where it was found (F-22)."""
    noticed = USUAL_NOTICED if row is None else row.noticed
    efficacy = USUAL_SEEN if row is None else row.seen
    its = [one for one in finds if one.body.pest == name]
    unnamed = [one for one in finds if one.body.pest is None]
    last = next(chain(reversed(its), reversed(unnamed)), None)
    reached = None if last is not None or seen.plants == 0 else confidence(seen, noticed, efficacy)
    return {
        "pest": name,
        "noticed": noticed,
        "seen": efficacy,
        "usual": noticed == USUAL_NOTICED and efficacy == USUAL_SEEN,
        "infested": floor(seen.lot * noticed + SLACK),
        "confidence": reached,
        "found_on": None if last is None else last.on.isoformat(),
        "named": bool(its),
    }
