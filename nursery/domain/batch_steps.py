"""How one more entry changes a batch."""

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from nursery.domain import account_steps as account
from nursery.domain import grades, law_steps
from nursery.domain.batch import Batch, Stay
from nursery.domain.entry import Entry
from nursery.domain.kinds import count, field, health, law, life


def received(batch: Batch, entry: Entry) -> None:
    body: life.Received = entry.body
    batch.consignment = body.consignment
    for new in body.batches:
        if new.id == batch.id:
            _begin(batch, entry, new, body.place, "growing_on")


def taken_on(batch: Batch, entry: Entry) -> None:
    body: life.TakenOn = entry.body
    _begin(batch, entry, body.batch, None, "growing_on")
    batch.permit = body.permit
    if body.clock_started_on is not None:
        batch.opened_on = body.clock_started_on.isoformat()
    if body.method is life.CountMethod.ESTIMATE:
        account.estimate(batch, entry, body.alive)
    else:
        account.observe(batch, entry, body.alive)


def sown(batch: Batch, entry: Entry) -> None:
    body: life.Sown = entry.body
    _begin(batch, entry, body.batch, None, "seed")
    batch.consignment = body.consignment
    batch.seeds = body.seeds


def emerged(batch: Batch, entry: Entry) -> None:
    """Seedlings come in as they come up; the total never runs backwards (rule L-8)."""
    body: life.Emerged = entry.body
    batch.emerged = max(batch.emerged, body.total)
    more = max(0, body.total - batch.ledger.came_in)
    batch.ledger.came_in += more
    batch.ledger.alive += more
    if body.total:
        batch.counted = True
        batch.stage = "seedlings"


def stuck(batch: Batch, entry: Entry) -> None:
    body: life.Stuck = entry.body
    if body.batch.id != batch.id:
        account.against_hold(batch, entry)
        return
    _begin(batch, entry, body.batch, None, "cuttings")
    _descend(batch, body.parents)
    account.observe(batch, entry, body.cuttings)


def _begin(batch: Batch, entry: Entry, new: life.NewBatch, place: str | None, stage: str) -> None:
    if batch.began_at is not None:  # rule B-12
        batch.doubt("begun_twice", entry.id, label=new.label)
    batch.began_at = batch.began_at or entry.occurred_at
    batch.label = new.label
    batch.crop = new.crop
    batch.stage = new.stage or stage
    _contain(batch, entry, new.container)
    batch.cells = new.cells
    batch.stated = new.stated
    _stay(batch, entry, new.place or place)


def _contain(batch: Batch, entry: Entry, container: str | None) -> None:
    """Note in what the plants grow from now on; what says nothing of it changes nothing."""
    if container is not None:
        batch.container = container
        batch.contained_at = entry.occurred_at


def _stay(batch: Batch, entry: Entry, place: str | None) -> None:
    if place is None or place == batch.place:
        return
    if batch.stays:
        batch.stays[-1].until = entry.occurred_at
    batch.stays.append(Stay(place, entry.occurred_at, None, batch.alive))


def worked(batch: Batch, entry: Entry) -> None:
    """The rootstock's batch takes every clock and hold of its scion's."""
    body: life.Worked = entry.body
    if body.scion == batch.id:
        account.against_hold(batch, entry)
        return
    batch.stage = "grafted"
    if body.scion is not None:
        _descend(batch, (body.scion,))


def divided(way: str) -> Callable[[Batch, Entry], None]:
    """Return the step for a split, a join or a mix: `way` is its term in the ledger."""

    def step(batch: Batch, entry: Entry) -> None:
        body: life.Split = entry.body
        for parent in body.parents:
            if parent.id == batch.id:
                _give(batch, entry, body, parent.left, way)
        for child in body.children:
            if child.id == batch.id:
                _take(batch, entry, child, way)
                _descend(batch, child.parents or tuple(parent.id for parent in body.parents))
                batch.one_of_parents = batch.one_of_parents or way == "mixed"

    return step


def _descend(batch: Batch, parents: Iterable[str]) -> None:
    """Add the parents that are new; a batch is no parent of its own."""
    known = dict.fromkeys((*batch.parents, *parents))
    batch.parents = [parent for parent in known if parent != batch.id]


def _give(batch: Batch, entry: Entry, body: life.Split, remaining: int, way: str) -> None:
    """A parent gives what its children took; `remaining` is an observation like any count.

    With several parents nobody can say how many each gave, so the account of one alone follows
    what was left, and only the group can show a difference (rule L-4).
    """
    ledger = batch.ledger
    taken = sum(int(child.count) for child in body.children)
    if len(body.parents) > 1:
        known = batch.counted and not batch.estimated
        taken = int(ledger.alive - remaining) if known else 0
        batch.gave_uncounted = batch.gave_uncounted or not known
    setattr(ledger, way, getattr(ledger, way) + taken)
    ledger.alive -= taken
    account.observe(batch, entry, remaining)


def _take(batch: Batch, entry: Entry, child: life.Child, way: str) -> None:
    """Add a child's plants (rule L-11). A batch that stood here before keeps its own account."""
    if batch.began_at is None:
        batch.began_at = entry.occurred_at
        batch.counted = True
    batch.label = child.label
    batch.crop = child.crop or batch.crop
    batch.stage = child.stage or batch.stage or "growing_on"
    _contain(batch, entry, child.container)
    batch.cells = child.cells  # where plants join a tray, its cells no longer bound them
    setattr(batch.ledger, way, getattr(batch.ledger, way) - child.count)
    batch.ledger.alive += child.count
    _stay(batch, entry, child.place)


def moved(batch: Batch, entry: Entry) -> None:
    account.against_hold(batch, entry)
    _stay(batch, entry, entry.body.to)


def potted(batch: Batch, entry: Entry) -> None:
    body: life.Potted = entry.body
    account.against_hold(batch, entry)
    _contain(batch, entry, body.container)
    batch.cells = None  # of the tray that they stood in
    _stay(batch, entry, body.place)


def relabelled(batch: Batch, entry: Entry) -> None:
    body: life.Relabelled = entry.body
    batch.old_labels.append(body.old)
    batch.label = body.new


def stepped(batch: Batch, entry: Entry) -> None:
    batch.stage = "toughening"


def looked(batch: Batch, entry: Entry) -> None:
    if entry.body.answer is not health.Answer.NOT_LOOKED:
        batch.last_looked_at = entry.occurred_at


def found(batch: Batch, entry: Entry) -> None:
    """A suspicion stays open until a result, the authority or the grower answers it (rule H-2)."""
    body: health.Found = entry.body
    if body.suspicion:
        batch.open_finds.append(entry.line)
        batch.unreleased_finds.append(entry.line)
        batch.doubt("suspicion", entry.line, pest=body.pest)


def sampled(batch: Batch, entry: Entry) -> None:
    body: health.Sampled = entry.body
    find = batch.line(body.found)
    if find is not None:
        batch.samples[body.sample] = find


def resulted(batch: Batch, entry: Entry) -> None:
    """A negative result answers the find that its sample was taken for."""
    body: health.Resulted = entry.body
    find = batch.samples.get(body.sample)
    if body.verdict is health.Verdict.NEGATIVE and find in batch.open_finds:
        law_steps.answer(batch, entry, find)


STEPS: Mapping[type, Callable[[Batch, Any], None]] = {
    life.Received: received,
    life.TakenOn: taken_on,
    life.Sown: sown,
    life.Emerged: emerged,
    life.Stuck: stuck,
    life.Worked: worked,
    life.Split: divided("split"),
    life.Pricked: divided("split"),
    life.Mixed: divided("mixed"),
    life.Joined: divided("joined"),
    life.Moved: moved,
    life.Potted: potted,
    life.Relabelled: relabelled,
    life.Stepped: stepped,
    life.Graded: grades.graded,
    count.Counted: account.counted,
    count.Lost: account.lost,
    count.Settled: account.settled,
    count.Sent: account.sent,
    count.Returned: account.returned,
    count.Disposed: account.disposed,
    field.Planted: account.planted,
    field.Refilled: account.planted,
    field.Carried: account.carried,
    health.Looked: looked,
    health.Found: found,
    health.Sampled: sampled,
    health.Resulted: resulted,
    law.Opened: law_steps.opened,
    law.Ordered: law_steps.ordered,
    law.Accepted: law_steps.accepted,
    law.Released: law_steps.released,
}
