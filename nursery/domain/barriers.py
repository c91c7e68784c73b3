"""What stands against an act on a batch: each barrier yields what it has to say, or nothing."""

from collections.abc import Callable, Iterable, Mapping
from datetime import datetime
from typing import NamedTuple

from nursery.domain import conditions, doubtful, groups, holds, missed_looks, reentry, release
from nursery.domain.batch import Batch
from nursery.domain.book import Book, gone
from nursery.domain.entry import write_instant
from nursery.domain.gate import Act, Answer, Gate
from nursery.domain.history import NOTHING, of_book
from nursery.domain.quarantine import Clock
from nursery.domain.reason import Reason
from nursery.domain.terms import Consent

# Doubts that mean nobody has read what was written: it may be a hold.
IGNORANCE = frozenset(("newer_version", "unreadable_body", "unknown_subject", "set_aside"))
TOLD_ELSEWHERE = IGNORANCE | {"no_paper"}
# On which papers of the authority an act rests: by kind of the entry that its picture belongs to.
RESTS_ON: Mapping[str, frozenset[Act]] = {
    "released": frozenset((Act.MOVING, Act.SENDING, Act.PLANTING, Act.TAKING)),
    "accepted": frozenset((Act.POTTING, Act.PRUNING, Act.TAKING)),
    "opened": frozenset((Act.RELEASING,)),
}
# About figures of the account alone: they shut the release, and stop no plant once it is released.
FIGURES = frozenset(
    (
        "difference",
        "group_difference",
        "disagreement",
        "below_zero",
        "more_returned",
        "begun_twice",
        "count_over_cells",
        "released_differs",
    )
)
EVERY_ACT = frozenset(Act)
# These take plants out of the room or multiply them: only released plants may.
OUT = frozenset((Act.MOVING, Act.SENDING, Act.PLANTING))
# Acts inside the room that a permit may make subject to consent, by the name a term uses.
INSIDE = frozenset((Act.POTTING, Act.PRUNING, Act.TAKING, Act.MOVING_INSIDE))


class Question(NamedTuple):
    """What is asked: an act on a batch, at a moment.

    `line` is the batch and all that it came from; `clock` is None where no conditions apply.
    """

    act: Act
    batch: Batch
    line: tuple[Batch, ...]
    clock: Clock | None
    now: datetime
    book: Book


def unknown(ask: Question) -> Iterable[Gate]:
    """What the book does not hold, or cannot read, opens nothing (rule G-2)."""
    for batch in ask.line:
        for doubt in batch.doubts:
            if doubt.blocks and doubt.code in IGNORANCE:
                about = {"doubt": doubt.id, "code": doubt.code, "label": batch.label or batch.id}
                yield Gate(Answer.CANNOT_TELL, "cannot_read", about, Reason("when_read"))
    if ask.clock is not None and not ask.clock.known:
        yield Gate(Answer.CANNOT_TELL, "permit_unknown", {}, Reason("when_permit_typed"))


def held(ask: Question) -> Iterable[Gate]:
    """A hold stops everything but looking, treating and saving (rule G-3)."""
    if ask.act is Act.TREATING:
        return
    for hold in ask.book.once(holds.of_book).get(ask.batch.id, ()):
        code = f"held_by_{hold.by}"
        if hold.provisional and hold.by == "find":
            code = "held_provisionally"
        row = ask.book.row("place", hold.place)
        about = {
            "reference": ", ".join(hold.orders) or hold.reference,
            "since": write_instant(hold.since),
            "place": hold.place if row is None else row.name,
        }
        opens = Reason("when_lifted", {"reference": about["reference"]})
        if hold.by == "breach":
            # Any order about the room or the plants decides, none has to lift (rule E-7).
            opens = Reason("when_decided")
        yield Gate(Answer.NO, code, about, opens)


def poisoned(ask: Question) -> Iterable[Gate]:
    """Nobody works at plants in a place before its re-entry time is over (rule P-2)."""
    if ask.act is not Act.RELEASING:
        yield from reentry.parts(ask.batch.place, ask.now, ask.book)


def locked_in(ask: Question) -> Iterable[Gate]:
    """Under conditions plants leave the room with the authority's release alone (rule G-4)."""
    clock = ask.clock
    if clock is None or clock.released or ask.act not in OUT:
        return
    earliest = None if clock.earliest is None else clock.earliest.isoformat()
    about = {"earliest": earliest, "if": None if clock.only_if is None else clock.only_if.as_json()}
    code = "not_released_no_day" if earliest is None else "not_released"
    yield Gate(Answer.NO, code, about, Reason("when_released", {"earliest": earliest}))


def over_the_notice(ask: Question) -> Iterable[Gate]:
    """Never more plants leave than the notice says, nor more than live (rule Q-15)."""
    leave = ask.book.once(release.of_book).get(ask.batch.id)
    if ask.act not in OUT or leave is None or release.outside(ask.batch, ask.book):
        return
    # A move takes the whole batch; plants are sent and planted one by one.
    wanted = (ask.batch.alive or 0) if ask.act is Act.MOVING else 1
    if leave.left < wanted:
        about = {"notice": leave.notice, "said": leave.said, "left": leave.left, "alive": wanted}
        yield Gate(Answer.NO, "more_than_released", about, Reason("when_so_many_alone", about))


def treated_lately(ask: Question) -> Iterable[Gate]:
    """The next treatment of a course counts only after the days of the order (rule Q-5)."""
    if ask.act is not Act.TREATING:
        return
    today = ask.book.day(ask.now)
    for course in ask.book.once(of_book).get(ask.batch.id, NOTHING).courses.values():
        day = course.next_from
        if day is not None and today < day and len(course.done) < course.asked:
            about = {
                "number": len(course.done) + 1,
                "reference": course.reference,
                "on": today.isoformat(),
                "days": (today - course.done[-1]).days,
                "needed": course.interval_days,
                "plan": day.isoformat(),
            }
            opens = Reason("when_day_comes", {"earliest": day.isoformat()})
            at = ask.book.start_of(day)
            yield Gate(Answer.WAIT, "treatment_too_soon", about, opens, at)


def not_allowed(ask: Question) -> Iterable[Gate]:
    """Inside quarantine some acts need the authority's consent (rule G-5).

    Taking scions or cuttings multiplies the plants, so without consent it waits for the release.
    """
    clock = ask.clock
    if clock is None or clock.released or ask.act not in INSIDE:
        return
    act = ask.act.value
    terms = conditions.of_batch(ask.batch.id, Consent, ask.book.day(ask.now), ask.book)
    sources = [term.source for term, rule in terms if act in rule.acts]
    given = act in ask.book.once(of_book).get(ask.batch.id, NOTHING).consents
    if not given and (sources or ask.act is Act.TAKING):
        about = {"act": act, "source": sources[0] if sources else None}
        yield Gate(Answer.NO, "consent_missing", about, Reason("when_consented", {"act": act}))


def mixed_up(ask: Question) -> Iterable[Gate]:
    """Plants whose label was lost are no source of scions or cuttings (rule G-6)."""
    if ask.act is Act.TAKING and any(batch.one_of_parents for batch in ask.line):
        yield Gate(Answer.NO, "identity_uncertain", {"label": ask.batch.label or ask.batch.id})


def empty(ask: Question) -> Iterable[Gate]:
    if ask.act is not Act.RELEASING and gone(ask.batch):
        yield Gate(Answer.NO, "nothing_alive", {"label": ask.batch.label or ask.batch.id})


def doubted(ask: Question) -> Iterable[Gate]:
    """A blocking doubt shuts the release; one that is not about figures stops what leaves (G-7)."""
    if ask.clock is None or (ask.act is not Act.RELEASING and ask.act not in OUT):
        return
    passed_over = TOLD_ELSEWHERE if ask.act is Act.RELEASING else TOLD_ELSEWHERE | FIGURES
    for doubt in doubtful.of_batch(ask.batch, ask.book):
        if doubt.blocks and doubt.code not in passed_over:
            about = {
                "doubt": doubt.id,
                "code": doubt.code,
                "label": ask.batch.label or ask.batch.id,
            }
            yield Gate(Answer.WAIT, "doubt_open", about, Reason("when_settled", about))


def unproven(ask: Question) -> Iterable[Gate]:
    """What rests on a paper of the authority waits for the picture of that paper (rule G-8)."""
    for batch in ask.line:
        for doubt in batch.doubts:
            if doubt.blocks and doubt.code == "no_paper":
                kind, entry = doubt.params["kind"], doubt.entries[0]
                if ask.act in RESTS_ON.get(kind, EVERY_ACT):
                    ref = _reference(batch, entry, ask.book)
                    about = {"ref": ref, "kind": kind, "entry": entry}
                    yield Gate(
                        Answer.WAIT, "paper_missing", about, Reason("when_photographed", about)
                    )


def _reference(batch: Batch, entry: str, book: Book) -> str | None:
    """Return what the paper of an act of the authority calls itself."""
    if batch.released is not None and batch.released["entry"] == entry:
        return str(batch.released["notice"])
    papers = {one.entry: one.reference for one in batch.record.orders}
    papers |= {one.entry: one.reference for one in batch.record.acceptances}
    permit = book.row("permit", batch.permit)
    return papers.get(entry, batch.permit if permit is None else permit.reference)


def not_due(ask: Question) -> Iterable[Gate]:
    """The notice of release is typed when the days are over and all that it asks for is met."""
    clock = ask.clock
    if ask.act is not Act.RELEASING or clock is None or clock.released:
        return
    for reason in clock.unmet:
        if reason.code != "permit_unknown":
            yield Gate(
                Answer.NO, reason.code, dict(reason.params), Reason("when_met", dict(reason.params))
            )
    if clock.earliest is not None and clock.earliest > ask.book.day(ask.now):
        opens_at = ask.book.start_of(clock.earliest)
        about = {"earliest": clock.earliest.isoformat()}
        yield Gate(Answer.WAIT, "days_to_go", about, Reason("when_day_comes", about), opens_at)


def not_looked_over(ask: Question) -> Iterable[Gate]:
    """A week without its look-over waits for the authority to accept that in writing (Q-17)."""
    clock = ask.clock
    if ask.act is not Act.RELEASING or clock is None or clock.released:
        return
    missed = missed_looks.of_batch(ask.batch, clock.permits, ask.now, ask.book)
    if missed:
        about = {"week_of": missed[0].params["week_of"], "n": len(missed)}
        yield Gate(Answer.WAIT, "look_over_missed", about, Reason("when_accepted", about))


def not_alone(ask: Question) -> Iterable[Gate]:
    """All in, all out: the notice waits for the latest of what stands in the room (rule P-4)."""
    clock, room = ask.clock, ask.book.room(ask.batch.place)
    if ask.act is not Act.RELEASING or clock is None or clock.released or room is None:
        return
    group = groups.of_room(room, ask.book, ask.book.day(ask.now))
    if group is None or clock.earliest is None or ask.batch.id not in group.batches:
        return
    row = ask.book.row("place", room)
    about = {"place": room if row is None else row.name}
    if group.release is None:
        yield Gate(Answer.CANNOT_TELL, "group_unknown", about, Reason("when_met", about))
    elif group.release > clock.earliest:
        day = {"earliest": group.release.isoformat()}
        opens_at = ask.book.start_of(group.release)
        yield Gate(
            Answer.WAIT, "waits_for_room", about | day, Reason("when_day_comes", day), opens_at
        )


BARRIERS: tuple[Callable[[Question], Iterable[Gate]], ...] = (
    unknown,
    held,
    poisoned,
    locked_in,
    over_the_notice,
    treated_lately,
    not_allowed,
    mixed_up,
    empty,
    doubted,
    unproven,
    not_due,
    not_looked_over,
    not_alone,
)


def nothing_against(ask: Question) -> Gate:
    """Return the yes of a question that no barrier answers."""
    clock = ask.clock
    if clock is None:
        return Gate(Answer.YES, "no_conditions")
    if clock.released:
        return Gate(Answer.YES, "released", {"notice": clock.released["notice"]})
    if ask.act is Act.RELEASING:
        earliest = None if clock.earliest is None else clock.earliest.isoformat()
        return Gate(Answer.YES, "release_due", {"earliest": earliest})
    return Gate(Answer.YES, "allowed_inside", {"act": ask.act.value})
