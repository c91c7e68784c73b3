"""From entries to state: what a batch or a place is, as all entries about it make it.

Both folds are total: they never raise and never turn a fact down; what is odd becomes a doubt. They
have no clock, so they yield dates and instants, and whoever asks compares them with now. Every
order of arrival and any repetition of the same entries give the same state (rules B-1, B-2).

A fold may also be kept and go on with entries that come after all it has (`Going`): what that gives
is what folding everything anew would give.
"""

from collections.abc import Collection, Iterable, Mapping, Sequence
from datetime import datetime
from operator import attrgetter

from nursery.domain import account_steps, batch_steps, mistaps, noting, place_steps
from nursery.domain.batch import Batch
from nursery.domain.doubts import settle
from nursery.domain.entry import Entry
from nursery.domain.kinds.common import Signed, Unread, Withdrawn
from nursery.domain.kinds.count import Settled
from nursery.domain.place import Place
from nursery.domain.timeline import standing, unread

# How far a phone's clock may be off before a person is told (sync protocol, section 4).
CLOCK_TOLERANCE_MS = 5 * 60 * 1000


NOBODY: Collection[str] = frozenset()

_in_order = attrgetter("occurred_at", "id")


def batch(ident: str, entries: Iterable[Entry], growers: Collection[str] = NOBODY) -> Batch:
    """Return the batch `ident`; entries that do not name it are passed over.

    A batch that nothing brought in is doubted (rule B-12). Only the word of one of `growers`
    answers a suspicion (rule E-8).
    """
    state = Batch(ident)
    Going(state, entries, growers).end()
    return state


def place(ident: str, entries: Iterable[Entry]) -> Place:
    """Return the place `ident`; entries that do not name it are passed over."""
    state = Place(ident)
    Going(state, entries).end()
    return state


class Going:
    """A fold of one subject that later entries may go on, each as if all were folded anew.

    `state` is whole between `end` and the next `on` or `reopen`.
    """

    def __init__(
        self, state: Batch | Place, entries: Iterable[Entry], growers: Collection[str] = NOBODY
    ) -> None:
        """Fold `entries` into `state`, which is of the subject and empty."""
        told = [entry for entry in entries if state.id in entry.about]
        line = standing(told)
        self.state = state
        self.growers = growers
        self.ids = {entry.id for entry in told}
        self._odd = line.doubts
        self._doers = _doers(line.entries)
        # Ids that something is said about: an entry that comes with one of them changes the past.
        self._named = {*line.lines.values(), *self._doers}
        self._last: tuple[datetime, str] | None = None
        self._undo = 0
        state.lines = line.lines
        self._steps(line.entries)

    def goes_on(self, entries: Iterable[Entry]) -> bool:
        """Return whether these entries change nothing but what comes after all there is.

        Corrections, withdrawals, a doer told afterwards, late and known entries reach back.
        """
        return all(self._comes_after(entry) for entry in entries)

    def _comes_after(self, entry: Entry) -> bool:
        return (
            entry.corrects is None
            and entry.id not in self.ids
            and entry.id not in self._named
            and (self._last is None or _in_order(entry) > self._last)
            and type(entry.body) is not Withdrawn
            and not _tells_a_doer(entry)
        )

    def on(self, entries: Sequence[Entry]) -> None:
        """Go on with entries about the subject of which `goes_on` says yes, none given twice."""
        self.reopen()
        self.ids.update(entry.id for entry in entries)
        self._steps(sorted(entries, key=_in_order))

    def end(self) -> None:
        """Bring the state to its end: its doubts, its account and how many facts it has."""
        state = self.state
        self._undo = len(state.odd)
        if isinstance(state, Batch):
            account_steps.close_account(state)
            if state.facts and state.began_at is None:
                state.doubt("unknown_subject", state.id)
        else:
            state.odd.extend(state.seats.doubts)
        state.odd.extend(self._odd)
        state.doubts = settle(state.odd, state.settled)

    def reopen(self) -> None:
        """Take back what `end` did; the state can go on then."""
        del self.state.odd[self._undo :]

    def _steps(self, entries: Sequence[Entry]) -> None:
        state = self.state
        if isinstance(state, Batch):
            for told in entries:
                self._of_batch(state, told)
        else:
            for told in entries:
                self._of_place(state, told)
        state.facts += len(entries)
        self._undo = len(state.odd)
        if entries:
            self._last = _in_order(entries[-1])

    def _of_batch(self, state: Batch, told: Entry) -> None:
        state.last_at = told.occurred_at
        if _read_and_trusted(state, told):
            entry = _by_its_doer(told, self._doers)
            step = batch_steps.STEPS.get(type(entry.body))
            others_word = mistaps.find_of(told) is not None and not mistaps.counts(
                told, self.growers
            )
            if step is not None and not others_word:
                step(state, entry)
            noting.note(state.record, entry, state.alive)
            account_steps.note_end(state, entry)

    def _of_place(self, state: Place, told: Entry) -> None:
        if _read_and_trusted(state, told):
            entry = _by_its_doer(told, self._doers)
            step = place_steps.STEPS.get(type(entry.body))
            if step is not None:
                step(state, entry)
            noting.note(state.record, entry)


def _read_and_trusted(state: Batch | Place, entry: Entry) -> bool:
    """Note what the envelope says against the record; return whether its body can be read.

    None of it keeps a fact out (rules B-9 to B-11).
    """
    if entry.skew_ms is not None and abs(entry.skew_ms) > CLOCK_TOLERANCE_MS:
        state.doubt("clock_off", entry.id, skew_ms=entry.skew_ms)
    if not entry.confirmed:
        state.doubt("unconfirmed", entry.id, author=entry.author)
    if isinstance(entry.body, Unread):
        state.odd.append(unread(entry))
        return False
    return True


UNCONFIRMED = "unconfirmed:"


def _tells_a_doer(entry: Entry) -> bool:
    return (
        type(entry.body) is Settled
        and entry.confirmed
        and entry.body.by is not None
        and entry.body.doubt.startswith(UNCONFIRMED)
    )


def _doers(entries: Iterable[Entry]) -> dict[str, str]:
    """Return who did what a record tells, where a later one with a PIN says so (rule B-14)."""
    return {
        entry.body.doubt.removeprefix(UNCONFIRMED): entry.body.by
        for entry in entries
        if _tells_a_doer(entry)
    }


def _by_its_doer(entry: Entry, doers: Mapping[str, str]) -> Entry:
    """Return a record by who did it; nobody signs by another's tile (rule G-16)."""
    if entry.id not in doers or type(entry.body) is Signed:
        return entry
    return entry._replace(author=doers[entry.id])
