"""Work in its spells: what is found by days and by two cuts is what reading all of it finds."""

import json
from datetime import UTC, datetime, timedelta

from hypothesis import given
from hypothesis import strategies as st

from nursery.domain import kept_record
from nursery.domain.contacts import Spell, Work, Works
from nursery.domain.record import Presence, Record

DAY_0 = datetime(2031, 3, 3, tzinfo=UTC)
instants = st.integers(0, 40).map(lambda n: DAY_0 + timedelta(hours=n))
# A visit may be corrected to an end before its beginning: it is kept as it was told.
works = st.builds(
    Work, who=st.sampled_from("abc"), room=st.just("r"), since=instants, until=instants
)


@given(st.lists(works, max_size=12), instants, instants)
def test_a_spell_holds_all_work_that_touches_it_and_no_other(
    some: list[Work], since: datetime, at: datetime
) -> None:
    """Rule E-6."""
    wanted = [one for one in some if one.until >= since and one.since <= at]
    assert sorted(Works(some).within(since, at)) == sorted(wanted)


presences = st.builds(
    lambda who, since, hours: Presence(who, since, since + timedelta(hours=hours)),
    st.sampled_from("abc"),
    st.integers(0, 240).map(lambda n: DAY_0 + timedelta(hours=n)),
    st.integers(0, 24),
)


@given(st.lists(presences, max_size=12), instants, st.integers(0, 80))
def test_who_was_present_in_a_spell_is_found_by_its_days(
    some: list[Presence], since: datetime, hours: int
) -> None:
    """Rule E-6; a presence is of one day, of 25 hours at most."""
    spell = Spell(since, since + timedelta(hours=hours))
    days = frozenset(spell.days())
    whole = Record(presence=some)
    told = whole.present(days)
    wanted = [one for one in some if one.until >= spell.since and one.since <= spell.until]
    assert [one for one in told if one in wanted] == wanted
    kept = kept_record.read(json.loads(json.dumps(whole.as_json())))
    assert kept.present(days) == told
    assert kept.presence == some
    assert kept.present(days) == told
