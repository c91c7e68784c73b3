"""From entries to state: what a batch or a place is, as all entries about it make it.

Both folds are total: they never raise and never turn a fact down; what is odd becomes a doubt. They
have no clock, so they yield dates and instants, and whoever asks compares them with now. Every
order of arrival and any repetition of the same entries give the same state (rules B-1, B-2).
"""

from collections.abc import Collection, Iterable, Mapping

from nursery.domain import account_steps, batch_steps, mistaps, noting, place_steps
from nursery.domain.batch import Batch
from nursery.domain.doubts import settle
from nursery.domain.entry import Entry
from nursery.domain.kinds.common import Signed, Unread
from nursery.domain.kinds.count import Settled
from nursery.domain.place import Place
from nursery.domain.timeline import standing, unread

# How far a phone's clock may be off before a person is told (sync protocol, section 4).
CLOCK_TOLERANCE_MS = 5 * 60 * 1000


NOBODY: Collection[str] = frozenset()


def batch(ident: str, entries: Iterable[Entry], growers: Collection[str] = NOBODY) -> Batch:
    """Return the batch `ident`; entries that do not name it are passed over.

    A batch that nothing brought in is doubted (rule B-12). Only the word of one of `growers`
    answers a suspicion (rule E-8).
    """
    line = standing(entry for entry in entries if ident in entry.about)
    state = Batch(ident, lines=line.lines)
    doers = _doers(line.entries)
    for told in line.entries:
        state.last_at = told.occurred_at
        if _read_and_trusted(state, told):
            entry = _by_its_doer(told, doers)
            step = batch_steps.STEPS.get(type(entry.body))
            others_word = mistaps.find_of(told) is not None and not mistaps.counts(told, growers)
            if step is not None and not others_word:
                step(state, entry)
            noting.note(state.record, entry, state.alive)
            account_steps.note_end(state, entry)
    account_steps.close_account(state)
    if line.entries and state.began_at is None:
        state.doubt("unknown_subject", ident)
    state.odd.extend(line.doubts)
    state.facts = len(line.entries)
    state.doubts = settle(state.odd, state.settled)
    return state


def place(ident: str, entries: Iterable[Entry]) -> Place:
    """Return the place `ident`; entries that do not name it are passed over."""
    line = standing(entry for entry in entries if ident in entry.about)
    state = Place(ident, lines=line.lines)
    doers = _doers(line.entries)
    for told in line.entries:
        if _read_and_trusted(state, told):
            entry = _by_its_doer(told, doers)
            step = place_steps.STEPS.get(type(entry.body))
            if step is not None:
                step(state, entry)
            noting.note(state.record, entry)
    state.odd.extend(state.seats.doubts)
    state.odd.extend(line.doubts)
    state.facts = len(line.entries)
    state.doubts = settle(state.odd, state.settled)
    return state


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


def _doers(entries: Iterable[Entry]) -> dict[str, str]:
    """Return who did what a record tells, where a later one with a PIN says so (rule B-14)."""
    return {
        entry.body.doubt.removeprefix(UNCONFIRMED): entry.body.by
        for entry in entries
        if type(entry.body) is Settled
        and entry.confirmed
        and entry.body.by is not None
        and entry.body.doubt.startswith(UNCONFIRMED)
    }


def _by_its_doer(entry: Entry, doers: Mapping[str, str]) -> Entry:
    """Return a record by who did it; nobody signs by another's tile (rule G-16)."""
    if entry.id not in doers or type(entry.body) is Signed:
        return entry
    return entry._replace(author=doers[entry.id])
