"""Work in its spells: what is found by two cuts is what reading all of it finds."""

from datetime import UTC, datetime, timedelta

from hypothesis import given
from hypothesis import strategies as st

from nursery.domain.contacts import Work, Works

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
