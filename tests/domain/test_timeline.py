"""Which entries stand: corrections, withdrawals, and what two people wrote apart."""

from itertools import permutations

import pytest

from nursery.domain import fold
from nursery.domain.timeline import standing
from tests.domain.pen import Pen


def lines(pen: Pen) -> tuple[list[tuple[str, int]], list[str]]:
    """Return the standing losses and the codes of doubts, the same in every order of arrival."""
    seen = set()
    for arrival in permutations(pen.entries):
        told = standing(arrival)
        seen.add((repr(told.entries), tuple(sorted(doubt.id for doubt in told.doubts))))
    assert len(seen) == 1
    told = standing(pen.entries)
    return (
        [(e.kind, e.body.count if e.kind == "lost" else 0) for e in told.entries],
        sorted(doubt.code for doubt in told.doubts),
    )


def test_an_entry_sent_twice_stands_once_in_rule_b_1() -> None:
    pen = Pen()
    pen.lose(3, "09:00")
    assert len(standing(pen.entries * 2).entries) == 1


def test_of_two_texts_under_one_id_every_machine_takes_the_same() -> None:
    """Rule B-1: the store keeps such a text apart, and the fold holds even without the store."""
    pen = Pen()
    name = pen.lose(3, "09:00")
    pen.lose(4, "09:00", id=name)
    assert standing(pen.entries) == standing(reversed(pen.entries))


def test_entries_are_ordered_by_when_they_happened_then_by_id() -> None:
    """Rule B-2."""
    pen = Pen()
    late = pen.lose(1, "09:00")
    early = pen.lose(2, "07:00")
    same = pen.lose(3, "09:00")
    assert [e.id for e in standing(pen.entries).entries] == [early, late, same]


def test_a_correction_replaces_the_whole_entry() -> None:
    """Rule B-3."""
    pen = Pen()
    first = pen.lose(3, "09:00")
    pen.write("lost", {"count": 1, "fate": "culled", "saw": first}, "08:00", corrects=first)
    (head,) = standing(pen.entries).entries
    assert (head.body.count, head.body.fate, head.occurred_at.hour) == (1, "culled", 8)
    assert lines(pen) == ([("lost", 1)], [])


def test_two_corrections_made_apart_never_add_up_and_are_asked_about() -> None:
    """Rules B-3 and B-6."""
    pen = Pen()
    first = pen.lose(3, "09:00")
    for plants, phone in ((2, 1), (4, 2)):
        body = {"count": plants, "fate": "died", "saw": first}
        pen.write("lost", body, "09:00", corrects=first, phone=phone)
    assert lines(pen) == ([("lost", 4)], ["contested"])


def test_two_corrections_one_after_another_are_no_dispute() -> None:
    pen = Pen()
    head = first = pen.lose(3, "09:00")
    for plants in (2, 4):
        body = {"count": plants, "fate": "died", "saw": head}
        head = pen.write("lost", body, "09:00", corrects=first)
    assert lines(pen) == ([("lost", 4)], [])


def test_a_later_correction_opens_no_settled_dispute_again() -> None:
    """Rule B-6: each pair is a doubt of its own."""
    pen = Pen()
    first = pen.lose(3, "09:00")
    body = {"count": 2, "fate": "died", "saw": first}
    one = pen.write("lost", body, "09:00", corrects=first)
    two = pen.write("lost", body, "09:00", corrects=first, phone=2)
    (before,) = standing(pen.entries).doubts
    pen.write("lost", {**body, "saw": two}, "09:00", corrects=first, phone=2)
    (after,) = standing(pen.entries).doubts
    assert before.id == after.id == f"contested:{first}:{one}:{two}"


def test_a_correction_whose_id_lies_before_its_original_is_asked_about() -> None:
    """Rules B-3 and B-6: by a phone whose clock is behind; the greatest id stands all the same."""
    pen = Pen()
    first = pen.lose(3, "09:00")
    body = {"count": 1, "fate": "died", "saw": first}
    pen.write("lost", body, "09:00", corrects=first, typed="05:00")
    assert lines(pen) == ([("lost", 3)], ["contested"])


def test_a_withdrawn_line_does_not_count_and_can_be_brought_back() -> None:
    """Rule B-4."""
    pen = Pen()
    first = pen.lose(3, "09:00")
    gone = pen.write("withdrawn", {"saw": first}, "09:00", corrects=first)
    assert lines(pen) == ([], [])
    body = {"count": 2, "fate": "died", "saw": gone}
    pen.write("lost", body, "09:00", corrects=first)
    assert lines(pen) == ([("lost", 2)], [])


def test_a_withdrawal_that_names_nothing_is_no_fact() -> None:
    pen = Pen()
    pen.write("withdrawn", {}, "09:00")
    assert lines(pen) == ([], [])


def test_a_line_stays_about_the_subjects_of_its_original() -> None:
    """Rule B-5."""
    pen = Pen()
    first = pen.lose(3, "09:00")
    body = {"count": 2, "fate": "died", "saw": first}
    pen.write("lost", body, "09:00", corrects=first, about=("t5", "t6"))
    assert standing(pen.entries).entries[0].about == ("t5",)
    assert lines(pen) == ([("lost", 2)], ["subject_changed"])


def test_a_correction_that_came_before_its_original_stands_and_is_doubted() -> None:
    """Rule B-7."""
    pen = Pen()
    first = pen.lose(3, "09:00")
    pen.write("lost", {"count": 2, "fate": "died", "saw": first}, "09:00", corrects=first)
    del pen.entries[0]
    assert lines(pen) == ([("lost", 2)], ["correction_without_original"])


def test_a_correction_that_cannot_be_read_lifts_no_hold() -> None:
    """Rule B-9: ignorance opens no gate."""
    pen = Pen()
    pen.arrive()
    hold = pen.write("ordered", {"act": "hold", "reference": "Q-1"}, "09:00")
    pen.write("ordered", {"act": "lift"}, "09:00", corrects=hold, v=99)
    state = fold.batch("t5", pen.entries)
    assert list(state.holds) == ["Q-1"]
    assert "newer_version" in {doubt.code for doubt in state.doubts}


@pytest.mark.parametrize("original", [True, False])
def test_a_line_of_which_nothing_can_be_read_is_kept_as_it_is(original: bool) -> None:
    pen = Pen()
    first = pen.write("lost", {}, "09:00")
    pen.write("lost", {}, "09:00", corrects=first)
    told = standing(pen.entries if original else pen.entries[1:])
    assert [e.line for e in told.entries] == [first]


def test_a_chain_of_corrections_is_one_line() -> None:
    pen = Pen()
    head = first = pen.lose(30, "09:00")
    for plants in (3, 2, 1):
        body = {"count": plants, "fate": "died", "saw": head}
        head = pen.write("lost", body, "09:00", corrects=head)
    assert lines(pen) == ([("lost", 1)], [])
    assert set(standing(pen.entries).lines.values()) == {first}


def test_entries_that_correct_each_other_in_a_ring_stand_once() -> None:
    pen = Pen()
    names = [f"01ff51c9-ff80-7001-8001-00000000000{k}" for k in range(4)]
    for plants, (name, named) in enumerate(zip(names[:3], [*names[1:3], names[0]], strict=True), 1):
        pen.lose(plants, "09:00", id=name, corrects=named)
    pen.lose(9, "09:00", id=names[3], corrects=names[0])
    assert lines(pen) == ([("lost", 9)], ["contested"] * 3 + ["correction_without_original"])


def test_an_entry_that_corrects_itself_stands() -> None:
    pen = Pen()
    name = "01ff51c9-ff80-7001-8001-00000000000a"
    pen.lose(2, "09:00", id=name, corrects=name)
    assert lines(pen) == ([("lost", 2)], ["correction_without_original"])


def test_a_long_chain_of_corrections_costs_no_more_for_each() -> None:
    """A chain walked anew for each of its corrections would take ten thousand squared steps."""
    pen = Pen()
    head = pen.lose(1, "09:00")
    chain = [pen.entries[0]]
    for k in range(10_000):
        name = f"01ff51c9-ff81-7001-8001-{k:012x}"
        chain.append(chain[0]._replace(id=name, corrects=head, saw=head))
        head = name
    told = standing(chain)
    assert (len(told.entries), told.doubts) == (1, ())
