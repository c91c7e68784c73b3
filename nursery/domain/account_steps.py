"""How one more entry changes the account of a batch: what was counted, lost, sent and planted."""

from datetime import timedelta
from itertools import islice

from nursery.domain import mistaps
from nursery.domain.batch import Batch
from nursery.domain.entry import Entry
from nursery.domain.kinds import count, field
from nursery.domain.kinds.life import CountMethod

# Two counts further apart than this are two counts, not one told twice (sync protocol, section 4).
APART = timedelta(hours=4)
# Two taps (sync protocol, section 4).
DOUBLE_TAP = timedelta(seconds=10)
# So many holds are named with a doubt, the oldest; all of them stand in the state.
MOST_NAMED = 5


def counted(batch: Batch, entry: Entry) -> None:
    body: count.Counted = entry.body
    twice(batch, entry, body.alive)
    if body.method is CountMethod.ESTIMATE:
        estimate(batch, entry, body.alive)
        return
    _end_disputes(batch, entry)
    if batch.last_count is not None:
        _compare(batch, batch.last_count, entry)
    cells = body.cells or batch.cells  # rule L-12
    if cells is not None and body.alive > cells:
        batch.doubt("count_over_cells", entry.id, counted=body.alive, cells=cells)
    observe(batch, entry, body.alive)
    batch.last_count = entry


def estimate(batch: Batch, entry: Entry, alive: int) -> None:
    """Show an estimate. It opens an account that nobody counted, and overrules no count (L-7)."""
    if batch.counted and not batch.estimated:
        batch.estimate = alive
    else:
        observe(batch, entry, alive)
        batch.estimated = True


def _end_disputes(batch: Batch, entry: Entry) -> None:
    """End what a recount settles: its maker saw one side of it, or the last count (rule L-6)."""
    if not batch.disputes or entry.saw is None:
        return
    saw = batch.lines.get(entry.saw, entry.saw)
    if batch.last_count is not None and saw == batch.last_count.line:
        ended = [doubt for sides in batch.disputes.values() for doubt in sides]
        batch.disputes.clear()
    else:
        ended = batch.disputes.pop(saw, [])
    for doubt in ended:
        batch.settled.setdefault(doubt, entry.id)


def _compare(batch: Batch, last: Entry, entry: Entry) -> None:
    """Two people who did not see each other's count may disagree (rule L-5).

    What left between the two counts is no disagreement: the account has followed it.
    """
    unseen = batch.line(entry.saw) != last.line and batch.line(last.saw) != entry.line
    near = entry.occurred_at - last.occurred_at <= APART
    if unseen and near and entry.body.alive != batch.ledger.alive:
        first, second = last.body.alive, entry.body.alive
        batch.doubt("disagreement", last.id, entry.id, first=first, second=second)
        for side in (last.line, entry.line):
            batch.disputes.setdefault(side, []).append(batch.odd[-1].id)


def observe(batch: Batch, entry: Entry, alive: int) -> None:
    """Set what lives (rules L-1, L-2). The first observation opens the account.

    A seedbed that shows more seedlings than before lets them in, up to the seed sown (rule L-8).
    """
    ledger = batch.ledger
    batch.estimate = None
    if alive and batch.stage == "seed":
        batch.stage = "seedlings"
    if not batch.counted or batch.estimated:
        ledger.came_in = alive + ledger.out
        ledger.alive = alive
        batch.counted, batch.estimated = True, False
        return
    if batch.seeds is not None and alive > ledger.alive:
        came_up = min(alive - ledger.alive, max(0, batch.seeds - ledger.came_in))
        ledger.came_in += came_up
        ledger.alive += came_up
    if alive != ledger.alive:
        ledger.alive = alive
        batch.differs_by = entry.id


def twice(batch: Batch, entry: Entry, plants: int) -> None:
    """Ask about the same fact from one phone within ten seconds (rule B-8). It is never dropped."""
    last = batch.last_of.get(entry.kind)
    batch.last_of[entry.kind] = entry
    if last is None or last.device != entry.device or last.body != entry.body:
        return
    if entry.occurred_at - last.occurred_at < DOUBLE_TAP:
        batch.doubt("twice", last.id, entry.id, kind=entry.kind, plants=plants)


def lost(batch: Batch, entry: Entry) -> None:
    body: count.Lost = entry.body
    twice(batch, entry, body.count)
    leave(batch, entry, body.fate.value, body.count)
    if body.carried:
        batch.out = max(0, batch.out - body.count)
    if body.kept:
        batch.bag[body.fate.value] = batch.bag.get(body.fate.value, 0) + body.count
        batch.bag_at, batch.bag_until = batch.place, None


def leave(batch: Batch, entry: Entry, way: str, plants: int) -> None:
    """Take plants out of the living count; below zero stays below zero (rule L-3)."""
    ledger = batch.ledger
    setattr(ledger, way, getattr(ledger, way) + plants)
    ledger.alive -= plants
    if batch.counted and ledger.alive < 0:
        batch.doubt("below_zero", entry.id, alive=ledger.alive)


def settled(batch: Batch, entry: Entry) -> None:
    """Close a doubt. A difference is put down to a fate, or accepted as it is (rule L-9)."""
    body: count.Settled = entry.body
    if body.plants and body.doubt.startswith("difference:"):
        way = "settled" if body.fate is None else body.fate.value
        setattr(batch.ledger, way, getattr(batch.ledger, way) + body.plants)
        return
    find = batch.line(mistaps.find_of(entry))
    batch.settled[body.doubt if find is None else mistaps.SUSPICION + find] = entry.id
    if find in batch.open_finds:
        batch.open_finds.remove(find)


def sent(batch: Batch, entry: Entry) -> None:
    plants = share(batch, entry.body.plants)
    against_hold(batch, entry)
    twice(batch, entry, plants)
    leave(batch, entry, "sent", plants)


def returned(batch: Batch, entry: Entry) -> None:
    """Let plants in that were sent; more than were sent is doubted (rule L-13)."""
    plants = share(batch, entry.body.plants)
    twice(batch, entry, plants)
    leave(batch, entry, "sent", -plants)
    if batch.ledger.sent < 0:
        batch.doubt("more_returned", entry.id, plants=-batch.ledger.sent)


def share(batch: Batch, plants: tuple[count.Share, ...]) -> int:
    return sum(share.count for share in plants if share.id == batch.id)


def disposed(batch: Batch, entry: Entry) -> None:
    """Take plants out of the officer's bag, the dead first (rule L-10).

    Seed thrown away before any came up ends its batch.
    """
    if batch.stage == "seed":
        batch.stage = "closed"
    rest = share(batch, entry.body.plants)
    for fate in count.Fate:
        taken = min(rest, batch.bag.get(fate.value, 0))
        rest -= taken
        if taken:
            batch.bag[fate.value] -= taken
    if batch.bag and not any(batch.bag.values()) and batch.bag_until is None:
        batch.bag_until = entry.occurred_at


def planted(batch: Batch, entry: Entry) -> None:
    """Let plants leave for the field; one that two people told of leaves once (rule F-9)."""
    against_hold(batch, entry)
    body: field.Planted | field.Refilled = entry.body
    holes = {f"{field.seat(body.block, body.row)}/{name}" for name in body.positions}
    plants = len(holes if isinstance(body, field.Refilled) else holes - batch.placed)
    batch.placed |= holes
    batch.out = max(0, batch.out - plants)
    leave(batch, entry, "planted", plants)
    if batch.counted and batch.ledger.alive == 0:
        batch.stage = "planted"


def carried(batch: Batch, entry: Entry) -> None:
    """Take plants out to be planted, or bring them back: none leaves the count by that."""
    body: field.Carried = entry.body
    if body.way is field.CarriedWay.OUT:
        against_hold(batch, entry)
        batch.out += body.plants
    else:
        batch.out = max(0, batch.out - body.plants)


def note_end(batch: Batch, entry: Entry) -> None:
    """Keep when the last plant left; what is told of the batch afterwards moves it no more."""
    if not batch.counted or batch.ledger.alive > 0:
        batch.gone_at = None
    elif batch.gone_at is None:
        batch.gone_at = entry.occurred_at


def close_account(batch: Batch) -> None:
    """After the last entry: what count and account do not agree on stays visible (rule L-2)."""
    plants = batch.ledger.difference
    if batch.counted and plants:
        batch.doubt("difference", batch.differs_by or batch.id, plants=plants)


def against_hold(batch: Batch, entry: Entry) -> None:
    """What was done against an order to hold is kept, and doubted (rule H-4)."""
    if batch.holds:
        held_by = list(islice(batch.holds, MOST_NAMED))
        batch.doubt("against_hold", entry.id, act=entry.kind, held_by=held_by)
