"""Folds that are kept between pushes, so that the next costs what is new and not the whole past.

They lie in the memory of one process and are worth nothing by themselves: what no longer fits the
book, or was never kept, is folded anew from all of its entries. A fold is taken out while a push
works on it and put back after its commit, so what failed or was overtaken is gone by itself.
"""

from collections import OrderedDict
from collections.abc import Mapping
from dataclasses import dataclass
from threading import Lock

from nursery.domain.batch import Batch
from nursery.domain.entry import Entry
from nursery.domain.fold import Going
from nursery.domain.place import Place
from nursery.services import refold
from nursery.store import each_push, lines, others
from nursery.store.models import HeadRow
from nursery.store.scope import Scope

# Facts in all kept folds together, at some 740 bytes each: 120 MB. Thirty phones that come back
# with fifty records of each of a hundred trays have 150 000; where they do not fit, none is still
# there when its tray comes round again.
MOST = 160_000


@dataclass(frozen=True, slots=True)
class _Kept:
    """A fold of all that the book says of its subject up to line `seq`, whose link is `link`."""

    epoch: str
    seq: int
    link: str
    going: Going


class _Shelf:
    """The kept folds, those used last at the end."""

    def __init__(self) -> None:
        self._lock = Lock()
        self._kept: OrderedDict[tuple[int, str], _Kept] = OrderedDict()
        self._facts = 0

    def take(self, nursery: int, ident: str) -> _Kept | None:
        with self._lock:
            kept = self._kept.pop((nursery, ident), None)
            self._facts -= 0 if kept is None else len(kept.going.ids)
            return kept

    def put(self, nursery: int, ident: str, kept: _Kept) -> None:
        self.take(nursery, ident)
        with self._lock:
            self._kept[nursery, ident] = kept
            self._facts += len(kept.going.ids)
            while self._facts > MOST:
                _, oldest = self._kept.popitem(last=False)
                self._facts -= len(oldest.going.ids)

    def clear(self) -> None:
        with self._lock:
            self._kept.clear()
            self._facts = 0


SHELF = _Shelf()


def with_new(book: Scope, epoch: str, about: Mapping[str, list[Entry]]) -> dict[str, Going]:
    """Return the fold of each subject from all that the book says of it and its new entries.

    The new entries must not be in the book, which is of `epoch`. Each fold is ended and the
    caller's alone.
    """
    found = _gone_on(book, epoch, about)
    anew = about.keys() - found.keys()
    if anew:
        places, growers = refold.places_among(book, anew), refold.growers(book)
        before = lines.of_subjects(book, anew)
        for ident in anew:
            state = Place(ident) if ident in places else Batch(ident)
            found[ident] = Going(state, [*before.get(ident, []), *about[ident]], growers)
    for going in found.values():
        going.end()
    return found


def _gone_on(book: Scope, epoch: str, about: Mapping[str, list[Entry]]) -> dict[str, Going]:
    """Return the kept folds of those subjects that could go on, with the new entries in them."""
    taken = {
        ident: one
        for ident in about
        if (one := SHELF.take(book.key, ident)) is not None and one.epoch == epoch
    }
    # The chain proves that the book's past is the one that was folded.
    links = each_push.links(book.key, {one.seq for one in taken.values()})
    kept = {ident: one for ident, one in taken.items() if links.get(one.seq) == one.link}
    # A row may say anew what is a place or who is a grower, or describe what was folded; a mark
    # may erase a text or release what was set aside.
    if not kept or others.more_than_entries(book, min(one.seq for one in kept.values())):
        return {}
    newer = lines.newer(book, {ident: one.seq for ident, one in kept.items()})
    found = {}
    for ident, one in kept.items():
        more = list({entry.id: entry for entry in [*newer.get(ident, []), *about[ident]]}.values())
        if one.going.goes_on(more):
            one.going.on(more)
            found[ident] = one.going
    return found


def keep(book: Scope, head: HeadRow, goings: Mapping[str, Going]) -> None:
    """Keep folds of all that the book says of their subjects up to the number of `head`.

    To be called after the commit alone.
    """
    for ident, going in goings.items():
        SHELF.put(book.key, ident, _Kept(head.epoch, head.last_seq, head.chain, going))
