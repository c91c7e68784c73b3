"""What toughening asks of the round, and steps that were taken against it (rules U-10 and U-11)."""

from collections.abc import Iterable, Iterator
from datetime import date, timedelta

from nursery.domain.batch import Batch
from nursery.domain.book import Book, gone
from nursery.domain.doubts import Doubt
from nursery.domain.due_check import Check, ident
from nursery.domain.kinds.life import Stepped
from nursery.domain.program import SCORCH
from nursery.domain.rounds import MOMENT, asked_for, left_on
from nursery.domain.toughening import course
from nursery.domain.toughening.advice import Doing, Standing, advise

# Leaves that burn show it by the third day; the others can be checked from the first.
SHOWS_AFTER = {SCORCH: timedelta(days=2)}
NO_TIME = timedelta()


def checks(book: Book, first: date, last: date) -> Iterable[Check]:
    """Yield the checks of the step on which each batch stands, until each is done (rule U-10)."""
    for batch in book.batches.values():
        if gone(batch) or left_on(batch, book) < first:
            continue
        one = course.of_batch(batch, book, last)
        if one is None or one.step is None or one.standing is None:
            continue
        since = one.standing.since
        for check in one.step.checks:
            opens_at = book.start_of(since + SHOWS_AFTER.get(check, NO_TIME))
            done = one.done.get(check)
            if asked_for(opens_at, done[-1].at if done else None, (first, last), book):
                yield Check(
                    id=ident("toughen", one.step.id, batch.id, f"{check} {since}"),
                    kind=f"toughen_{check}",
                    subject=batch.id,
                    opens_at=opens_at,
                    due_by=book.end_of(since + timedelta(days=one.step.days)) - MOMENT,
                    source=one.program.source,
                    answered_by=done[-1].entry if done else None,
                    params={"step": one.step.id, "shade": one.step.shade_percent},
                )


MAKERS = (checks,)


def against(batch: Batch, book: Book) -> Iterator[Doubt]:
    """Yield each step forward that was advised against when it was taken (rule U-11).

    The step is kept: plants stand where they stand. What was counted with it counts for it.
    """
    steps = course.steps_of(batch, book)
    for n, told in enumerate(steps):
        body: Stepped = told.body
        day = book.day(told.at)
        before = steps[:n]
        program = course.program_of(batch, before, book, day)
        come = None if program is None else course.reached(program, before)
        if program is None or come is None or body.step != course.FORWARD:
            continue
        at, since = come
        earlier = [one for one in before if one.at < told.at]
        done = {
            check: kept
            for check, some in course.done_since(batch, earlier, since).items()
            if (kept := [one for one in some if one.at <= told.at])
        }
        if body.scorched is not None and body.of:
            done[SCORCH] = [told]
        sky = course.sky_over(batch, book, day, told.at)
        said = advise(program, Standing(at, book.day(since)), day, course.seen_in(done), sky)
        if said.doing is not Doing.FORWARD and at < len(program.steps) - 1:
            about = {"on": day.isoformat(), "shade": body.shade_percent}
            yield Doubt("step_against", (told.entry,), about)
