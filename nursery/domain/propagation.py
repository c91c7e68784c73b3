"""What comes of seed and grafts: how it came up, and which unions held (rules K-1 to K-3)."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from nursery.domain.batch import Batch
from nursery.domain.book import Book
from nursery.domain.kinds.life import Emerged, Took, Worked
from nursery.domain.record import Happening
from nursery.science import germination, stock
from nursery.science.germination import Germination

# Rootstocks are told apart by their thickness in classes so wide. (Own choice: callipers in a wet
# hand read no closer, and trials tell 3 from 7 mm.)
CLASS_MM = 2


@dataclass(frozen=True, slots=True)
class Sprouted:
    """How a sowing came up: `curve` is the running total by day."""

    sown: int
    curve: tuple[tuple[date, int], ...]
    abnormal: int
    figures: Germination

    def as_json(self) -> dict[str, Any]:
        return {
            "sown": self.sown,
            "abnormal": self.abnormal,
            "curve": [{"on": on.isoformat(), "total": total} for on, total in self.curve],
            "figures": {
                name: None if value is None else round(value, 3)
                for name, value in self.figures._asdict().items()
            },
        }


def sprouted(batch: Batch, book: Book) -> Sprouted | None:
    """Return how a batch's seed came up; None of what was not sown, or not looked at since.

    Totals never run backwards, and of two counts of one day the larger is the day's (rule K-1).
    """
    told = [one for one in batch.record.happenings if isinstance(one.body, Emerged)]
    if not batch.seeds or batch.began_at is None or not told:
        return None
    sown_on = book.day(batch.began_at)
    totals: dict[date, int] = {}
    most = 0
    for one in told:
        most = max(most, min(one.body.total, batch.seeds))
        totals[max(sown_on, book.day(one.at))] = most
    curve = tuple(sorted(totals.items()))
    before = (0, *(total for _, total in curve))
    new = [total - last for (_, total), last in zip(curve, before, strict=False)]
    days = [(on - sown_on).days for on, _ in curve]
    abnormal = max((one.body.abnormal or 0 for one in told), default=0)
    return Sprouted(batch.seeds, curve, abnormal, germination.summarise(new, days, batch.seeds))


@dataclass(frozen=True, slots=True)
class Grafted:
    """One grafting with what was counted weeks later; `took` is None as long as nobody did."""

    entry: str
    on: date
    plants: int
    operator: str | None
    rootstock_mm: float | None
    took: int | None
    failed: int | None


def grafts(batch: Batch, book: Book) -> tuple[Grafted, ...]:
    """Return every grafting of a batch, oldest first, with the take that was counted (rule K-2).

    A count that names no grafting is of the last one before it.
    """
    works = [one for one in batch.record.happenings if isinstance(one.body, Worked)]
    takes = _takes(batch, works)
    return tuple(
        Grafted(
            entry=one.entry,
            on=book.day(one.at),
            plants=int(one.body.plants),
            operator=one.body.operator,
            rootstock_mm=one.body.rootstock_mm,
            took=takes[one.entry].took if one.entry in takes else one.body.took,
            failed=takes[one.entry].failed if one.entry in takes else None,
        )
        for one in works
    )


def _takes(batch: Batch, works: Iterable[Happening]) -> Mapping[str, Took]:
    known = list(works)
    found: dict[str, Took] = {}
    for one in batch.record.happenings:
        if isinstance(one.body, Took):
            named = batch.line(one.body.graft)
            earlier = [work.entry for work in known if work.at <= one.at]
            of = next((work.entry for work in known if batch.line(work.entry) == named), None)
            of = of or (earlier[-1] if earlier else None)
            if of is not None:
                found[of] = one.body
    return found


def take_by(some: Iterable[Grafted], key: str) -> list[dict[str, Any]]:
    """Return the share that took with its interval, by `operator` or by `rootstock` (rule K-3).

    Of those whose take was counted alone; without a name or a thickness they are a class of their
    own.
    """
    sums: dict[str, tuple[int, int]] = {}
    for one in some:
        if one.took is None or not one.plants:
            continue
        name = (one.operator or "") if key == "operator" else _class_of(one.rootstock_mm)
        took, of = sums.get(name, (0, 0))
        sums[name] = (took + min(one.took, one.plants), of + one.plants)
    return [
        {"of": name, "took": took, "plants": plants, **_share(took, plants)}
        for name, (took, plants) in sorted(sums.items())
    ]


def _class_of(millimetres: float | None) -> str:
    if millimetres is None:
        return ""
    low = int(millimetres // CLASS_MM) * CLASS_MM
    return f"{low}-{low + CLASS_MM}"


def _share(took: int, plants: int) -> dict[str, float]:
    return {name: round(one, 3) for name, one in stock.share(took, plants)._asdict().items()}


def rates(crop_of: Mapping[str, str | None], book: Book) -> Mapping[str, list[tuple[int, int]]]:
    """Return what went into each stage and came out of it, by `CROP STAGE`, for whoever plans.

    Stages are `up` (seed to seedlings) and `take` (grafts to plants). `crop_of` names each batch's
    crop.
    """
    found: dict[str, list[tuple[int, int]]] = {}
    for name, batch in sorted(book.batches.items()):
        crop = crop_of.get(name)
        if crop is not None:
            for stage, pair in _pairs(batch, book):
                found.setdefault(f"{crop} {stage}", []).append(pair)
    return found


def _pairs(batch: Batch, book: Book) -> Iterator[tuple[str, tuple[int, int]]]:
    grown = sprouted(batch, book)
    if grown is not None:
        yield "up", (grown.sown, grown.curve[-1][1])
    for one in grafts(batch, book):
        if one.took is not None and one.plants:
            yield "take", (one.plants, min(one.took, one.plants))
