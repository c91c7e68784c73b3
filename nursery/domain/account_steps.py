"""How one more entry changes the account of a batch: what was counted, lost, sent and planted."""

from datetime import timedelta

from nursery.domain.batch import Batch, Count
from nursery.domain.entry import Entry
from nursery.domain.kinds import count

# Two counts further apart than this are two counts, not one told twice (sync protocol, section 4).
APART = timedelta(hours=4)
# Two taps (sync protocol, section 4).
DOUBLE_TAP = timedelta(seconds=10)


def counted(batch: Batch, entry: Entry) -> None:
    body: count.Counted = entry.body
    last = batch.last_count
    if last is not None:
        _compare(batch, last, entry, body)
    if entry.saw in batch.disputed:
        batch.settled[batch.disputed[entry.saw]] = entry.id
    observe(batch, entry, body.alive)
    batch.last_count = Count(entry, body.alive, batch.ledger.out)


def _compare(batch: Batch, last: Count, entry: Entry, body: count.Counted) -> None:
    """Two people who did not see each other's count may disagree (rule L-5).

    What left between the two counts is no disagreement, so both are compared with it added back.
    """
    apart = entry.occurred_at - last.entry.occurred_at
    unseen = entry.saw != last.entry.id and last.entry.saw != entry.id
    same = body.alive + batch.ledger.out == last.alive + last.out
    if unseen and apart <= APART and not same:
        batch.doubt("disagreement", last.entry.id, entry.id, counts=[last.alive, body.alive])
        batch.disputed[entry.id] = batch.odd[-1].id
    if apart < DOUBLE_TAP and entry.device == last.entry.device and body == last.entry.body:
        batch.doubt("twice", last.entry.id, entry.id, count=body.alive)


def observe(batch: Batch, entry: Entry, alive: int) -> None:
    """Set what lives. The first observation opens the account, whatever was lost before it."""
    ledger = batch.ledger
    if not batch.counted:
        ledger.came_in += alive + ledger.out
        batch.counted = True
    ledger.alive = alive
    batch.counted_by = entry.id


def lost(batch: Batch, entry: Entry) -> None:
    body: count.Lost = entry.body
    leave(batch, entry, body.fate.value, body.count)
    if body.kept:
        batch.bag[body.fate.value] = batch.bag.get(body.fate.value, 0) + body.count


def leave(batch: Batch, entry: Entry, way: str, plants: int) -> None:
    ledger = batch.ledger
    setattr(ledger, way, getattr(ledger, way) + plants)
    ledger.alive -= plants
    if batch.counted and ledger.alive < 0:
        batch.doubt("below_zero", entry.id, alive=ledger.alive)


def settled(batch: Batch, entry: Entry) -> None:
    """Close a doubt; a difference may be put down to a fate, or be accepted as it is."""
    body: count.Settled = entry.body
    batch.settled[body.doubt] = entry.id
    if body.count and body.doubt.startswith("difference:"):
        way = "settled" if body.fate is None else body.fate.value
        setattr(batch.ledger, way, getattr(batch.ledger, way) + body.count)


def sent(batch: Batch, entry: Entry) -> None:
    against_hold(batch, entry)
    leave(batch, entry, "sent", share(batch, entry.body.plants))


def returned(batch: Batch, entry: Entry) -> None:
    leave(batch, entry, "sent", -share(batch, entry.body.plants))


def share(batch: Batch, plants: tuple[count.Share, ...]) -> int:
    return sum(share.count for share in plants if share.id == batch.id)


def disposed(batch: Batch, entry: Entry) -> None:
    """Take plants out of the officer's bag, the dead first."""
    rest = share(batch, entry.body.plants)
    for fate in count.Fate:
        taken = min(rest, batch.bag.get(fate.value, 0))
        rest -= taken
        if taken:
            batch.bag[fate.value] -= taken


def planted(batch: Batch, entry: Entry) -> None:
    leave(batch, entry, "planted", len(entry.body.positions))
    if batch.counted and batch.ledger.alive == 0:
        batch.stage = "planted"


def close_account(batch: Batch) -> None:
    """After the last entry: what count and account do not agree on stays visible."""
    if batch.counted and batch.ledger.difference:
        batch.doubt("difference", batch.counted_by or batch.id, plants=batch.ledger.difference)


def against_hold(batch: Batch, entry: Entry) -> None:
    """What was done against an order to hold is kept, and doubted."""
    if batch.holds:
        batch.doubt("against_hold", entry.id, act=entry.kind, held_by=sorted(batch.holds))
