"""May more plants come into a room? What they would do to it, and it to them."""

from collections.abc import Iterator, Sequence
from datetime import date
from typing import Any, NamedTuple

from nursery.domain import exposure, groups, holds, quarantine, room_gates, seasons
from nursery.domain.book import Book
from nursery.domain.gate import Act, Answer
from nursery.domain.history import of_book
from nursery.domain.reason import Reason
from nursery.domain.supposed import NEWCOMER, Comes, Supposed
from nursery.domain.terms import MostPlants, in_force

SLACK = 1e-9


class Told(NamedTuple):
    """One thing that speaks for or against what is supposed, and how much against."""

    answer: Answer
    why: Reason


class Ask(NamedTuple):
    """What comes in as which batch, before and after, and the name of its room."""

    one: Comes
    batch: str
    book: Book
    after: Book
    today: date

    @property
    def room(self) -> str:
        return self.book.rooms.get(self.one.room, self.one.room)

    @property
    def place(self) -> str:
        row = self.book.row("place", self.room)
        return self.room if row is None else str(row.name)


def told(some: Sequence[Supposed], book: Book, after: Book, today: date) -> Iterator[Told]:
    """Yield all that speaks for or against plants that are supposed to come in (rule W-2)."""
    for number, one in enumerate(some, start=1):
        if isinstance(one, Comes):
            ask = Ask(one, f"{NEWCOMER}-{number}", book, after, today)
            found = [answer for look in LOOKS for answer in look(ask)]
            yield from found
            if any(answer.answer is Answer.NO for answer in found):
                yield _elsewhere(ask)


def _permit(ask: Ask) -> Iterator[Told]:
    clock = quarantine.clock(ask.after.batches[ask.batch], ask.after, ask.one.on)
    if clock is not None and not clock.known:
        yield Told(Answer.CANNOT_TELL, Reason("permit_unknown"))
    permit = ask.one.permit
    on = ask.one.on
    for _, rule in in_force(ask.book.terms_of(permit), MostPlants, on, on):
        inside = sum(
            batch.ledger.came_in
            for batch in ask.book.batches.values()
            if ask.book.permit_of(batch) == permit
        )
        over = inside + ask.one.plants - rule.plants
        if over > 0:
            about = {"permit": rule.plants, "plants": inside + ask.one.plants, "n": over}
            yield Told(Answer.NO, Reason("quantity_over", about))


def _group(ask: Ask) -> Iterator[Told]:
    """All in, all out: whatever comes in drags the whole room to the latest day."""
    on = max(ask.today, ask.one.on)
    before = groups.of_room(ask.room, ask.book, on)
    then = groups.of_room(ask.room, ask.after, on)
    if before is None or then is None:
        return
    if before.release is None or then.release is None:
        yield Told(Answer.CANNOT_TELL, Reason("group_unknown", {"place": ask.place}))
        return
    about = {
        "place": ask.place,
        "release": then.release.isoformat(),
        "n": (then.release - before.release).days,
    }
    if then.release > before.release:
        yield Told(Answer.NO, Reason("one_group", about))
    else:
        yield Told(Answer.YES, Reason("group_as_before", about))


def _benches(ask: Ask) -> Iterator[Told]:
    room = groups.benches(ask.room, ask.book)
    need = seasons.m2_of(ask.after.batches[ask.batch], ask.after)
    about: dict[str, Any] = {"place": ask.place, "taken": room.taken, "of": room.m2}
    if room.m2 is None or room.taken is None:
        yield Told(Answer.CANNOT_TELL, Reason("benches_unknown", {"place": ask.place}))
    elif need is None:
        yield Told(Answer.CANNOT_TELL, Reason("benches_taken", about))
    elif room.taken + need > room.m2 + SLACK:
        yield Told(Answer.NO, Reason("benches_full", {**about, "need": round(need, 2)}))
    else:
        yield Told(Answer.YES, Reason("benches_hold", {**about, "need": round(need, 2)}))


def _orders(ask: Ask) -> Iterator[Told]:
    """Orders about what stands in the room that are open on the day, holds and breaches."""
    inside = [batch.id for batch in groups.standing_in(ask.room, ask.book)]
    pasts = ask.book.once(of_book)
    floors = {
        floor for name in inside for floor in pasts[name].floors.values() if floor[1] > ask.one.on
    }
    for reference, floor in sorted(floors):
        about = {"reference": reference, "on": floor.isoformat()}
        yield Told(Answer.WAIT, Reason("order_until", about))
    breaches = [one for one in ask.book.once(exposure.incidents) if one.kind == "breach"]
    if any(one.open and ask.room in one.rooms for one in breaches):
        yield Told(Answer.WAIT, Reason("breach_open", {"place": ask.place}))
    if any(name in ask.book.once(holds.of_book) for name in inside):
        yield Told(Answer.NO, Reason("room_held", {"place": ask.place}))


def _elsewhere(ask: Ask) -> Told:
    """Tell which other room is empty and large enough (rule W-4)."""
    need = seasons.m2_of(ask.after.batches[ask.batch], ask.after) or 0.0
    fit: list[str] = []
    for name in groups.rooms(ask.book):
        row = ask.book.row("place", name)
        empty = not groups.standing_in(name, ask.book)
        if name != ask.room and empty and row.bench_m2 >= need:
            fit.append(row.name)
    if fit:
        return Told(Answer.YES, Reason("other_room", {"rooms": fit}))
    return Told(Answer.YES, Reason("no_other_room"))


def _gate(ask: Ask) -> Iterator[Told]:
    """What the room itself answers on the day: plants or a bag in it, rest after cleaning."""
    now = ask.book.start_of(max(ask.today, ask.one.on))
    for part in room_gates.parts(Act.ACCEPTING, ask.room, ask.book, now):
        yield Told(part.answer, Reason(part.code, part.params))


LOOKS = (_permit, _gate, _group, _benches, _orders)
