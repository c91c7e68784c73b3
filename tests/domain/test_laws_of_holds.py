"""Laws of exposed sets and gates, over made-up nurseries: whatever people write, these hold."""

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from nursery.domain import exposure, gates, holds, outlook, quarantine
from nursery.domain.book import Book
from nursery.domain.gate import WORSE, Act, Answer, Gate, worst
from nursery.domain.place import Place
from tests.domain.house import ROWS, House, instant, place
from tests.examples import examples

# A whole outlook for each example: fewer of them where a profile asks for thousands.
FEWER = settings(max_examples=examples(settings().max_examples, long=2000))

SEATS = ("room", "bench", "shade", "citrus", "attic", "trap-a")
BATCHES = ("a", "b", "c", "d", "e")
PEOPLE = ("w1", "w2", "g", "stranger")
NOW = instant("2031-06-01 08:00")

seats, batches, people = (st.sampled_from(names) for names in (SEATS, BATCHES, PEOPLE))
subjects = st.lists(st.sampled_from((*BATCHES, *SEATS)), min_size=1, max_size=3, unique=True)
hours = st.integers(0, 24 * 30).map(
    lambda hour: (instant("2031-05-01 00:00") + timedelta(hours=hour)).strftime("%Y-%m-%d %H:%M")
)
references = st.sampled_from(("Q-1", "Q-2", None))

Told = tuple[str, tuple[str, ...], str, dict[str, Any], str]


def told(kind: str, about: Any, body: dict[str, Any]) -> st.SearchStrategy[Told]:
    return st.tuples(st.just(kind), about.map(tuple), hours, st.fixed_dictionaries(body), people)


def arrived(name: str, seat: str) -> dict[str, Any]:
    return {"consignment": "c-1", "batches": [{"id": name, "label": name, "place": seat}]}


ONE = batches.map(lambda name: (name,))
PAIRS = st.lists(batches, min_size=2, max_size=3, unique=True)


def family(kind: str) -> st.SearchStrategy[Told]:
    """Give one batch made of one or two others; rings and strangers come by themselves."""

    def body(names: list[str]) -> dict[str, Any]:
        child = {"id": names[0], "label": names[0], "count": 3, "place": "shade"}
        return {"parents": [{"id": n, "left": 3} for n in names[1:]], "children": [child]}

    return st.tuples(PAIRS, hours, people).map(
        lambda made: (kind, tuple(made[0]), made[1], body(made[0]), made[2])
    )


acts: st.SearchStrategy[Told] = st.one_of(
    st.tuples(batches, seats, hours).map(
        lambda made: ("received", (made[0],), made[2], arrived(made[0], made[1]), "g")
    ),
    told("moved", ONE, {"to": seats}),
    told("looked", ONE, {"answer": st.sampled_from(("nothing", "found", "not_looked"))}),
    told("found", subjects, {"suspicion": st.booleans()}),
    told("breached", seats.map(lambda seat: (seat,)), {"what": st.just("tear")}),
    told("watered", subjects, {}),
    told("lost", ONE, {"count": st.integers(0, 5), "fate": st.just("died")}),
    told("counted", ONE, {"method": st.just("full"), "alive": st.integers(0, 9)}),
    told(
        "ordered",
        subjects,
        {
            "act": st.sampled_from(("hold", "lift", "treat", "restart", "extend", "destroy")),
            "reference": st.sampled_from(("Q-1", "Q-2")),
            "photo": st.sampled_from(("p", None)),
            "lifts": references,
            "days": st.integers(0, 30),
            "after_treatment": st.sampled_from((None, 1, 2)),
        },
    ),
    told("released", ONE, {"notice": st.just("RN"), "count": st.just(1), "photo": st.just("p")}),
    family("split"),
    family("mixed"),
    family("joined"),
)
stories = st.lists(acts, max_size=14)


def house_of(story: list[Told]) -> House:
    house = House([*ROWS, place("attic", "bench", "nowhere")])
    for kind, about, at, body, by in story:
        house.add(kind, about, at, body, by=by)
    return house


@FEWER
@given(stories)
def test_nothing_that_people_write_makes_the_outlook_fail(story: list[Told]) -> None:
    made = outlook.compose(house_of(story).book(), NOW)
    assert set(made["batches"]) <= {*BATCHES}


@given(stories, st.randoms(use_true_random=False))
def test_finds_in_any_order_and_any_number_make_the_same_incidents(
    story: list[Told], chance: Any
) -> None:
    """Rule E-1."""
    book = house_of(story).book()
    mixed = [*book.finds, *book.finds]
    chance.shuffle(mixed)
    other = Book(book.zone, book.batches, book.places, book.rows, mixed)
    assert exposure.incidents(other) == exposure.incidents(book)


@given(stories)
def test_an_exposure_never_makes_an_exposure(story: list[Told]) -> None:
    """Rule E-4: who is exposed is worked out from the finds alone, whoever else is exposed.

    The exposed set of one find is the same in a book that holds no other find.
    """
    book = house_of(story).book()
    for incident in exposure.incidents(book):
        alone = [e for e in book.finds if incident.id in (e.id, e.corrects)]
        other = Book(book.zone, book.batches, book.places, book.rows, alone)
        (same,) = exposure.incidents(other)
        assert (same.exposed, same.held) == (incident.exposed, incident.held)


@given(stories)
def test_a_breach_exposes_nobody_and_a_ring_is_never_held_by_itself(story: list[Told]) -> None:
    """Rules E-6, E-7."""
    book = house_of(story).book()
    for incident in exposure.incidents(book):
        assert incident.kind == "find" or (incident.exposed, incident.ring) == ((), ())
        assert {one.place for one in incident.ring}.isdisjoint(incident.rooms)
        if incident.kind == "find":
            assert {one.batch for one in incident.held} <= set(incident.exposed)


@given(stories)
def test_what_is_held_may_do_nothing(story: list[Told]) -> None:
    """Rule G-3: nothing but being treated, which saves what can be saved."""
    book = house_of(story).book()
    for name in holds.of_book(book):
        told = gates.of_batch(book.batches[name], book, NOW)
        answers = {gate.answer for act, gate in told.items() if act is not Act.TREATING}
        assert answers == {Answer.NO}


@given(stories, batches, st.sampled_from(("held_by_law", "ordered")))
def test_what_nobody_can_read_opens_no_gate(story: list[Told], name: str, kind: str) -> None:
    """Rule G-2: an entry of a newer app makes no answer better, and leaves no yes."""
    house = house_of(story)
    before = house.book()
    house.add(kind, name, "2031-05-31 08:00", {"newer": True})
    after = house.book()
    for act, gate in gates.of_batch(after.batches[name], after, NOW).items():
        assert gate.answer in (Answer.CANNOT_TELL, Answer.NO)
        if name in before.batches:
            old = gates.answer(act, before.batches[name], before, NOW)
            assert WORSE[gate.answer] >= WORSE[old.answer]


def forget_permits(book: Book) -> Book:
    rows = {kind: some for kind, some in book.rows.items() if kind != "permit"}
    return Book(book.zone, book.batches, book.places, rows, book.finds)


def forget_consignments(book: Book) -> Book:
    rows = {kind: some for kind, some in book.rows.items() if kind != "consignment"}
    return Book(book.zone, book.batches, book.places, rows, book.finds)


FORGET: tuple[Callable[[Book], Book], ...] = (forget_permits, forget_consignments)


@given(stories, st.sampled_from(FORGET))
def test_what_nobody_has_typed_opens_no_gate(
    story: list[Told], forget: Callable[[Book], Book]
) -> None:
    """Rules G-2, Q-3: a no may become "cannot tell", and nothing becomes a yes or a wait."""
    book = house_of(story).book()
    less = forget(book)
    for name in book.batches:
        known = gates.of_batch(book.batches[name], book, NOW)
        unknown = gates.of_batch(less.batches[name], less, NOW)
        for act in known:
            shut = unknown[act].answer in (Answer.CANNOT_TELL, Answer.NO)
            assert shut or WORSE[unknown[act].answer] >= WORSE[known[act].answer]


@given(stories, batches, batches, st.sampled_from(("mixed", "joined", "split")))
def test_a_child_is_never_released_before_the_latest_of_its_parents(
    story: list[Told], one: str, two: str, kind: str
) -> None:
    """Rules Q-6, Q-7."""
    house = house_of(story)
    parents = sorted({one, two})
    body = {
        "parents": [{"id": name, "left": 1} for name in parents],
        "children": [{"id": "kid", "label": "KID", "count": 1, "place": "shade"}],
    }
    house.add(kind, (*parents, "kid"), "2031-05-31 23:00", body)
    book = house.book()
    clocks = [quarantine.clock(book.batches[name], book) for name in parents]
    kid = quarantine.clock(book.batches["kid"], book)
    known = [clock for clock in clocks if clock is not None]
    assert (kid is None) == (not known)
    for clock in known:
        assert kid is not None
        if kid.earliest is not None:
            assert clock.earliest is not None
            assert kid.earliest >= clock.earliest


@given(stories, seats, people)
def test_leaving_is_always_free(story: list[Told], seat: str, who: str) -> None:
    """Rule G-1."""
    book = house_of(story).book()
    state = book.places.get(seat, Place(seat))
    assert gates.answer(Act.LEAVING, state, book, NOW, who).answer is Answer.YES


moments = st.none() | st.integers(0, 99).map(lambda hour: NOW + timedelta(hours=hour))
gate_parts = st.builds(
    Gate, st.sampled_from(Answer), st.sampled_from(("x", "y")), opens_at=moments,
    override_allowed=st.booleans(),
)  # fmt: skip


@given(st.lists(gate_parts, min_size=1, max_size=6))
def test_a_gate_is_never_better_than_its_worst_part(parts: list[Gate]) -> None:
    """Rule G-1."""
    made = worst(parts, NOW)
    assert WORSE[made.answer] == max(WORSE[part.answer] for part in parts)
    if made.opens_at is not None:
        waits = [part for part in parts if part.answer is Answer.WAIT]
        assert all(part.opens_at is not None and part.opens_at <= made.opens_at for part in waits)
        assert made.answer is Answer.WAIT
    shut = [part for part in parts if part.answer is not Answer.YES]
    assert made.override_allowed == (bool(shut) and all(part.override_allowed for part in shut))
    assert replace(made, parts=()) == replace(worst(made.parts, NOW), parts=())


@FEWER
@given(stories)
def test_every_answer_of_an_outlook_is_that_of_its_gate(story: list[Told]) -> None:
    book = house_of(story).book()
    made = outlook.compose(book, NOW)
    for name, told_of in made["batches"].items():
        for row in told_of["gates"]:
            gate = gates.answer(Act(row["act"]), book.batches[name], book, NOW)
            assert (row["answer"], row["reason"]) == (gate.answer.value, gate.code)


@FEWER
@given(stories)
def test_what_finds_concern_is_known_without_the_batches(story: list[Told]) -> None:
    """A trace of a long book reads the batches that an incident is about, and no others."""
    book = house_of(story).book()
    named = exposure.concerned(book.finds, book)
    for incident in book.once(exposure.incidents):
        assert named.issuperset(incident.about)
