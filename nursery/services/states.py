"""The folded states of a whole nursery, for the rules that look across subjects.

A process keeps what it folded, and folds again only what was written about since: the epoch of the
book and the feed number of a subject's last fold say whether a kept state still holds.
"""

from collections import OrderedDict
from collections.abc import Mapping
from threading import Lock

from nursery.domain.batch import Batch
from nursery.domain.place import Place
from nursery.services import refold
from nursery.store import lines
from nursery.store.scope import Scope

# A nursery of 2 000 batches and its places, twice over.
MOST = 5000

_kept: OrderedDict[tuple[str, str], tuple[int, Batch | Place]] = OrderedDict()
_lock = Lock()


def read(book: Scope) -> tuple[Mapping[str, Batch], Mapping[str, Place]]:
    """Return every batch and every place of the book by id, as its entries fold."""
    epoch = book.head.epoch
    rows = list(book.subjects.values_list("ident", "as_of_seq", "stale_from"))
    states = {}
    for ident, seq, stale_from in rows:
        state = _recall(epoch, ident, seq) if stale_from is None else None
        if state is not None:
            states[ident] = state
    missing = [ident for ident, _, _ in rows if ident not in states]
    entries = lines.of_subjects(book, missing)
    places = refold.places_among(book, missing)
    seqs = {ident: seq for ident, seq, stale_from in rows if stale_from is None}
    for ident in missing:
        state = refold.state_of(ident, entries.get(ident, []), place=ident in places)
        states[ident] = state
        if ident in seqs:
            _remember(epoch, ident, seqs[ident], state)
    batches = {ident: state for ident, state in states.items() if isinstance(state, Batch)}
    return batches, {k: state for k, state in states.items() if isinstance(state, Place)}


def _recall(epoch: str, ident: str, seq: int) -> Batch | Place | None:
    with _lock:
        found = _kept.get((epoch, ident))
        if found is None or found[0] != seq:
            return None
        _kept.move_to_end((epoch, ident))
        return found[1]


def _remember(epoch: str, ident: str, seq: int, state: Batch | Place) -> None:
    with _lock:
        _kept[epoch, ident] = (seq, state)
        while len(_kept) > MOST:
            _kept.popitem(last=False)
