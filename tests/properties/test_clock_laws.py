"""Laws of the clock, of holds and of exposure: whatever people write, whenever it comes."""

from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from nursery.domain import exposure, gates, outlook, quarantine, seasons, supposed, what_if
from nursery.domain.book import Book
from nursery.domain.gate import WORSE, Act, Answer
from tests.domain.house import ROWS, TERMS, House, day, instant, place, term
from tests.domain.test_laws_of_holds import (
    BATCHES,
    FEWER,
    NOW,
    ONE,
    Told,
    acts,
    batches,
    hours,
    people,
    seats,
    subjects,
    told,
)
from tests.domain.test_reasons import unsaid

TODAY = day("2031-06-01")
EVERY_TERM = (
    *TERMS,
    term("off", "days_off", {"weekdays": [7]}),
    term("q", "qualifying_days", {"what": "air_c", "least": 10, "days": 3, "share": 0.1}),
    term("g", "generations", {"pest": "fly", "number": 1, "degree_days": 50, "lower": 9.3}),
    term("t", "test", {"number": 1, "test": "pcr", "most_days_before_release": 30}),
    term("out", "all_out", {"empty_hours": 168}),
    term("plan", "sample_level", {"at": "look_over", "prevalence": 0.1, "confidence": 0.95}),
    term("kept", "records_kept", {"years": 3}),
    *(
        term(f"tell-{event}", "notify", {"event": event, "whom": "P", "within_hours": 2})
        for event in ("arrival", "find", "breach")
    ),
    term("newer", "growing_days", {"days": 90}, since="2031-05-10", reaches_running=True),
)
WEEKS = [{"first": "10-01", "last": "11-15"}, {"first": "03-01", "last": "03-31"}]
POTS = [{"container": "pot", "full_days": 90, "per_m2": 18, "source": "own records"}]
EXTRA: list[tuple[str, str, dict[str, Any]]] = [
    place("attic", "bench", "nowhere"),
    ("permit", "cq-118", {"reference": "CQ-118", "holder": "G", "terms": list(EVERY_TERM)}),
    ("nursery", "veshmere", {"name": "V", "zone": "Etc/GMT-10", "planting": WEEKS}),
    ("crop", "finger-lime", {"name": "Finger lime", "pots": POTS}),
]

figures = st.fixed_dictionaries(
    {
        "what": st.sampled_from(("air_c", "air_low_c", "air_high_c")),
        "value": st.integers(-60, 110),
    }
)
at_the_clock: st.SearchStrategy[Told] = st.one_of(
    told("read", subjects, {"readings": st.lists(figures, min_size=1, max_size=3)}),
    told("told", subjects, {"who": st.just("P"), "how": st.just("call"), "what": st.just("it")}),
    told("potted", ONE, {"container": st.sampled_from(("pot", "bag"))}),
    told(
        "sampled",
        ONE,
        {
            "sample": st.sampled_from(("S-1", "S-2")),
            "plants": st.just(1),
            "test": st.sampled_from(("pcr", None)),
        },
    ),
    told(
        "resulted",
        ONE,
        {
            "sample": st.sampled_from(("S-1", "S-2")),
            "verdict": st.sampled_from(("negative", "confirmed")),
        },
    ),
    told(
        "inspected",
        ONE,
        {
            "inspector": st.just("P"),
            "answer": st.sampled_from(("nothing", "found")),
            "plants": st.integers(0, 9),
            "active_growth": st.booleans(),
        },
    ),
    told(
        "booked",
        ONE,
        {
            "act": st.just("treatment"),
            "on": st.sampled_from(("2031-05-20", "2031-07-20")),
            "order": st.sampled_from(("Q-1", "Q-2")),
        },
    ),
)
histories = st.lists(st.one_of(acts, at_the_clock), max_size=16)


def house_of(story: list[Told]) -> House:
    house = House([*ROWS, *EXTRA])
    for kind, about, at, body, by in story:
        house.add(kind, about, at, body, by=by)
    return house


def law_of(book: Book) -> list[Any]:
    """Return every clock with its reasons, every season, and one what-if, in JSON."""
    comes = {"what": "consignment", "on": "2031-06-10", "plants": 9, "room": "room", "days": 60}
    found: list[Any] = [what_if.ask([supposed.read(comes)], book, TODAY).as_json()]
    for name in sorted(book.batches):
        batch = book.batches[name]
        for on in (None, TODAY):
            clock = quarantine.clock(batch, book, on)
            found.append(None if clock is None else clock.as_json())
            found.append([one.as_json() for one in seasons.ahead(batch, clock, book, TODAY)])
    return found


@FEWER
@given(histories, st.randoms(use_true_random=False))
def test_the_clock_is_a_pure_function_of_entries_and_rows(story: list[Told], chance: Any) -> None:
    """Rules B-1, B-2, Q-4: no order of arrival and no repetition changes a day or a reason."""
    house = house_of(story)
    expected = law_of(house.book())
    again = [*house.entries, *chance.choices(house.entries, k=len(house.entries))] if story else []
    chance.shuffle(again)
    house.entries[:] = again
    assert law_of(house.book()) == expected


@FEWER
@given(histories)
def test_every_sentence_of_the_law_is_given_what_it_says(story: list[Told]) -> None:
    """Whatever is told in codes can be put into words, of an outlook as of a what-if."""
    book = house_of(story).book()
    assert unsaid(outlook.compose(book, NOW)) == []
    assert unsaid({"told": law_of(book)}) == []


@FEWER
@given(histories)
def test_a_clock_says_what_it_rests_on(story: list[Told]) -> None:
    """A day is never told without its reasons, and nothing is both met and lacking."""
    book = house_of(story).book()
    for batch in book.batches.values():
        clock = quarantine.clock(batch, book, TODAY)
        if clock is None:
            continue
        if clock.earliest is not None:
            assert clock.known
            assert clock.reasons != ()
            assert clock.notice_from is None or clock.notice_from >= clock.earliest
        assert {one.as_json()["code"] for one in clock.lapses} <= {
            "inspection_lapses",
            "test_lapses",
        }
        assert not {str(one) for one in clock.met} & {str(one) for one in clock.unmet}


@FEWER
@given(histories, batches, hours, people)
def test_a_late_find_from_before_a_release_is_doubted_and_changes_no_signed_record(
    story: list[Told], name: str, at: str, who: str
) -> None:
    """Rule H-7: the phone that saw it was offline while the notice was typed."""
    # A lift answers a find, and what is answered needs no look any more.
    house = house_of([one for one in story if one[3].get("act") != "lift"])
    house.release((name,), "2031-05-31 12:00")
    house.arrive("2031-05-01 00:00", (name,))
    before = house.book().batches[name]
    written = list(house.raws)
    find = house.find(name, at, by=who)
    after = house.book().batches[name]
    assert after.released == before.released
    assert house.raws[:-1] == written
    new = [one for one in after.doubts if find in one.entries and one.blocks]
    late = instant(at) <= instant("2031-05-31 12:00")
    assert ("before_release" in {one.code for one in new}) is late


@FEWER
@given(histories, st.sampled_from(BATCHES))
def test_no_sequence_of_entries_opens_a_gate_that_has_a_hold_behind_it(
    story: list[Told], name: str
) -> None:
    """Rule G-3: only a lift does, and there is none here; treating saves what can be saved."""
    house = house_of([])
    house.arrive("2031-04-29 08:00", (name,))
    house.order(name, "2031-04-30 08:00", "hold", "Q-99")
    for kind, about, at, body, by in story:
        if body.get("act") != "lift":
            house.add(kind, about, at, body, by=by)
    book = house.book()
    for act, gate in gates.of_batch(book.batches[name], book, NOW).items():
        assert gate.answer is Answer.NO or act is Act.TREATING, act


SUSPECTED = {"suspicion": True}
PROVED = {"sample": "S-99", "verdict": "confirmed", "pest": "blackfly"}
words_of_workers = st.lists(
    st.tuples(st.sampled_from(("settled", "withdrawn", "found", "resulted")), hours), max_size=4
)


@FEWER
@given(
    histories,
    batches,
    st.sampled_from((("found", SUSPECTED), ("resulted", PROVED))),
    words_of_workers,
)
def test_what_was_suspected_or_proved_opens_no_gate_whatever_workers_say_of_it(
    story: list[Told], name: str, held: tuple[str, dict[str, Any]], said: list[tuple[str, str]]
) -> None:
    """Rules E-8, E-10, H-2: the authority's lift does, or the grower's word; here is neither."""
    house = house_of([])
    house.arrive("2031-04-29 08:00", (name,))
    told_by = house.add(held[0], name, "2031-04-30 08:00", held[1], by="w2")
    for kind, about, at, body, by in story:
        if body.get("act") != "lift":
            house.add(kind, about, at, body, by=by)
    for kind, at in said:
        if kind == "settled":
            for code in ("suspicion", "pest_result"):
                body = {"doubt": f"{code}:{told_by}", "reason": "a drop of water"}
                house.add("settled", name, at, body, by="w1")
        elif kind in ("withdrawn", held[0]):
            mild = {"suspicion": False} if kind == "found" else {**PROVED, "verdict": "negative"}
            body = {} if kind == "withdrawn" else mild
            house.add(kind, name, at, body, by="w1", corrects=told_by)
    book = house.book()
    for act, gate in gates.of_batch(book.batches[name], book, NOW).items():
        assert gate.answer is Answer.NO or act is Act.TREATING, act


words_after_a_breach = st.lists(
    st.tuples(st.sampled_from(("repaired", "described", "told", "settled")), hours, people),
    max_size=4,
)


@FEWER
@given(histories, batches, st.sampled_from(("room", "bench", "trap-a")), words_after_a_breach)
def test_no_sequence_of_entries_opens_a_gate_that_a_breach_holds(
    story: list[Told], name: str, seat: str, said: list[tuple[str, str, str]]
) -> None:
    """Rule E-7: an order of the authority does, and there is none here; a patch is none.

    It holds what was made of the plants since as well, wherever that stands.
    """
    house = house_of([])
    house.arrive("2031-04-29 08:00", (name,))
    tear = house.add("breached", seat, "2031-04-30 08:00", {"what": "tear"})
    for kind, about, at, body, by in story:
        if kind != "ordered":
            house.add(kind, about, at, body, by=by)
    bodies = {
        "repaired": {"what": "tape", "breach": tear},
        "described": {"incident": tear},
        "told": {"who": "P", "how": "call", "what": "tear"},
        "settled": {"doubt": f"suspicion:{tear}", "reason": "a drop of water"},
    }
    for kind, at, by in said:
        house.add(kind, seat, at, bodies[kind], by=by)
    book = house.book()
    for one in (name, *book.descendants(name)):
        if book.batches[one].closed:
            continue
        for act, gate in gates.of_batch(book.batches[one], book, NOW).items():
            assert gate.answer is Answer.NO or act is Act.TREATING, (one, act)


@FEWER
@given(histories, seats, hours)
def test_a_breach_alone_makes_no_exposed_set(story: list[Told], seat: str, at: str) -> None:
    """Rule E-7."""
    house = house_of([one for one in story if one[0] not in ("found", "resulted")])
    house.add("breached", seat, at, {"what": "tear"})
    book = house.book()
    for incident in book.once(exposure.incidents):
        assert (incident.kind, incident.exposed, incident.ring) == ("breach", (), ())


@FEWER
@given(histories)
def test_exposure_never_spreads_from_exposure(story: list[Told]) -> None:
    """Rules E-4, E-5: exposed is kin of what was found, or what stood in its room, or came of that.

    Nothing is exposed for having stood with what is exposed.
    """
    book = house_of(story).book()
    for incident in book.once(exposure.incidents):
        kin_of_find = {*incident.about}.union(*(book.ancestors(one) for one in incident.about))
        for name in incident.exposed:
            line = (name, *book.ancestors(name))
            stood = {
                book.rooms.get(one.place, one.place)
                for kin in line
                for one in book.standings.get(kin, ())
            }
            assert kin_of_find & set(line) or stood & set(incident.rooms)


@FEWER
@given(histories, batches)
def test_a_supposition_makes_no_gate_of_the_book_better_and_leaves_it_as_it_is(
    story: list[Told], name: str
) -> None:
    """Rule W-1."""
    book = house_of(story).book()
    if name not in book.batches:
        return
    before = gates.of_batch(book.batches[name], book, NOW)
    law_of(book)
    after = gates.of_batch(book.batches[name], book, NOW)
    assert {act: WORSE[gate.answer] for act, gate in after.items()} == {
        act: WORSE[before[act].answer] for act in Act if act in before
    }
