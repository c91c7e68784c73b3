"""The states as they will be if nobody else writes: folded before anybody waits for the lock.

Under the lock it is seen whether somebody did; what was overtaken is folded again there.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence, Set
from dataclasses import dataclass

from nursery.domain.admission import Admitted, Kept
from nursery.domain.entry import Entry
from nursery.domain.fold import Going
from nursery.services import goings, refold
from nursery.store import each_push, lines, others
from nursery.store.models import HeadRow, SubjectRow
from nursery.store.scope import Scope


@dataclass(frozen=True, slots=True)
class Ahead:
    """Folds that rest on the feed up to `seq` and on the new entries `ids`.

    Attributes:
        seq: the last line that they know.
        link: its link, which proves that the book's past is theirs.
        known: those of the texts that were in the book by then, as `known_among` tells them.
        ids: the entries among the texts that were not, and count.
        states: by subject, the state to be kept.
        goings: by subject, the fold that may go on.
    """

    seq: int
    link: str
    known: Mapping[str, tuple[int, str]]
    ids: frozenset[str]
    states: Mapping[str, SubjectRow]
    goings: Mapping[str, Going]

    def known_now(
        self, book: Scope, head: HeadRow, items: Sequence[Admitted | Kept]
    ) -> dict[str, tuple[int, str]]:
        """Return those of the texts that the book has under the lock, as `known_among` does."""
        return {**self.known} if head.chain == self.link else known_among(book, items)

    def put(self, book: Scope, written: Sequence[lines.Line], fresh: Iterable[Entry]) -> Set[str]:
        """Keep the states of the subjects of new entries that count, under the lock.

        Return which were overtaken, and were folded again.
        """
        about = _by_subject(fresh)
        if not about:
            return self.goings.keys()
        again = self._overtaken(book, written, about)
        states = {subject: self.states[subject] for subject in about.keys() - again}
        if again:
            entries = lines.of_subjects(book, again)
            states |= refold.folded(book, entries, refold.places_among(book, again))
        refold.put([states[subject] for subject in sorted(states)], written[-1].seq)
        return again

    def _overtaken(
        self, book: Scope, written: Sequence[lines.Line], about: Mapping[str, list[Entry]]
    ) -> Set[str]:
        """Return the subjects whose state ahead is no longer what the book folds to."""
        if {entry.id for some in about.values() for entry in some} != self.ids:
            return about.keys()
        first = written[0].seq
        if first == self.seq + 1:
            return set()
        if others.more_than_entries(book, self.seq):
            # A place may have been described, or an entry that was set aside released.
            return about.keys()
        return lines.named_between(book, about, self.seq, first)

    def keep(self, book: Scope, head: HeadRow, overtaken: Set[str]) -> None:
        """Keep the folds for the next push. To be called after the commit alone."""
        current = {name: one for name, one in self.goings.items() if name not in overtaken}
        goings.keep(book, head, current)


def fold(book: Scope, head: HeadRow, items: Sequence[Admitted | Kept]) -> Ahead:
    """Fold what the book tells up to `head`, and the new ones among `items`."""
    known = known_among(book, items)
    fresh: dict[str, Entry] = {}
    for item in items:
        if isinstance(item, Admitted) and item.entry.id not in known and not item.set_aside:
            fresh.setdefault(item.entry.id, item.entry)
    about = _by_subject(fresh.values())
    folds = goings.with_new(book, head.epoch, about)
    states = {ident: refold.row(book.key, one.state) for ident, one in folds.items()}
    return Ahead(head.last_seq, head.chain, known, frozenset(fresh), states, folds)


def known_among(book: Scope, items: Sequence[Admitted | Kept]) -> dict[str, tuple[int, str]]:
    """Return by id the number and the hash of each entry that the book has already."""
    ids = [item.entry.id for item in items if isinstance(item, Admitted)]
    return each_push.known(book.key, ids)


def _by_subject(entries: Iterable[Entry]) -> dict[str, list[Entry]]:
    about: dict[str, list[Entry]] = defaultdict(list)
    for entry in entries:
        for subject in entry.about:
            about[subject].append(entry)
    return about
