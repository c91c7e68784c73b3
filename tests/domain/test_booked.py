"""Which planting is booked for plants: what an index of the places finds, reading all finds."""

from datetime import date
from zoneinfo import ZoneInfo

from hypothesis import given
from hypothesis import strategies as st

from nursery.domain.batch import Batch
from nursery.domain.book import Book
from nursery.domain.place import Place
from nursery.domain.planting.booked import bookings
from nursery.domain.record import Booking

some_bookings = st.lists(
    st.builds(
        Booking,
        entry=st.sampled_from("123456"),
        act=st.sampled_from(("planting", "watering")),
        on=st.just(date(2032, 3, 9)),
    ),
    max_size=4,
)


@given(
    st.lists(some_bookings, max_size=3), st.dictionaries(st.text("xyz", max_size=2), some_bookings)
)
def test_bookings_are_those_of_the_batches_then_those_of_places_by_the_same_records(
    of_batches: list[list[Booking]], of_places: dict[str, list[Booking]]
) -> None:
    """Rule V-5; the reference reads every place."""
    batches = [Batch(f"b{n}") for n in range(len(of_batches))]
    for batch, some in zip(batches, of_batches, strict=True):
        batch.record.bookings = some
    places = {name: Place(name) for name in of_places}
    for name, some in of_places.items():
        places[name].record.bookings = some
    book = Book(ZoneInfo("Etc/GMT-10"), {one.id: one for one in batches}, places, {}, [])
    own = [
        (one.id, said) for one in batches for said in one.record.bookings if said.act == "planting"
    ]
    known = {said.entry for _, said in own}
    wanted = own + [
        (name, said)
        for name in sorted(of_places)
        for said in of_places[name]
        if said.act == "planting" and said.entry in known
    ]
    assert list(bookings(batches, book)) == wanted
