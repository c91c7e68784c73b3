"""How an act of the authority changes a batch: orders, what it accepts, its notice of release."""

from nursery.domain import account_steps as account
from nursery.domain.batch import Batch
from nursery.domain.entry import Entry, write_instant
from nursery.domain.kinds import law
from nursery.domain.place_steps import lift


def answer(batch: Batch, entry: Entry, find: str) -> None:
    batch.open_finds.remove(find)
    batch.settled[f"suspicion:{find}"] = entry.id


def opened(batch: Batch, entry: Entry) -> None:
    body: law.Opened = entry.body
    batch.opened_on = body.on.isoformat()
    batch.permit = body.permit
    _ask_for_paper(batch, entry)


def ordered(batch: Batch, entry: Entry) -> None:
    body: law.Ordered = entry.body
    if body.act is law.Act.HOLD:
        batch.holds[body.reference] = write_instant(entry.occurred_at)
    elif body.act is law.Act.LIFT:
        lift(batch.holds, body.lifts)
        ruled = () if batch.holds else batch.ruled.get(body.lifts or "", ())
        named = {batch.line(body.lifts), *ruled}
        for find in list(batch.open_finds):
            if body.lifts is None or find in named:
                answer(batch, entry, find)
    if body.act is not law.Act.LIFT and batch.open_finds:
        batch.ruled.setdefault(body.reference, []).extend(batch.open_finds)
    _ask_for_paper(batch, entry)


def accepted(batch: Batch, entry: Entry) -> None:
    _ask_for_paper(batch, entry)


def released(batch: Batch, entry: Entry) -> None:
    """Note the notice, and doubt it where what stood before it says otherwise (rules H-6, H-7)."""
    body: law.Released = entry.body
    said = account.share(batch, body.plants)
    batch.released = {
        "entry": entry.id,
        "notice": body.notice,
        "at": write_instant(entry.occurred_at),
        "count": body.count,
        "said": said if body.plants else None,
        "alive": batch.alive,
        "out": batch.ledger.sent + batch.ledger.planted,
    }
    if said != batch.alive and any(share.id == batch.id for share in body.plants):
        more = said - (batch.alive or 0)
        batch.doubt(
            "released_differs",
            entry.id,
            notice=body.notice,
            said=said,
            alive=batch.alive,
            difference=more,
        )
    for find in batch.unreleased_finds:
        if find in batch.open_finds:
            batch.doubt("before_release", find, entry.id, notice=body.notice)
    batch.unreleased_finds.clear()
    account.against_hold(batch, entry)
    _ask_for_paper(batch, entry)


def _ask_for_paper(batch: Batch, entry: Entry) -> None:
    """Doubt an act of the authority that was typed without the picture of its paper (H-5)."""
    if entry.body.photo is None:
        batch.doubt("no_paper", entry.id, kind=entry.kind)
