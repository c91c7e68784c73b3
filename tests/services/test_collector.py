"""The search for rings of garbage is put off as long as somebody asks, and comes back after."""

import gc
import weakref
from collections.abc import Iterator

import pytest

from nursery.services import collector


@pytest.fixture(autouse=True)
def as_it_was() -> Iterator[None]:
    was = gc.isenabled()
    gc.enable()
    yield
    (gc.enable if was else gc.disable)()


def test_the_search_waits_until_the_last_who_asked_has_ended() -> None:
    with collector.put_off():
        with collector.put_off():
            assert not gc.isenabled()
        assert not gc.isenabled()
    assert gc.isenabled()


def test_it_comes_back_after_an_error() -> None:
    with pytest.raises(ZeroDivisionError), collector.put_off():
        raise ZeroDivisionError
    assert gc.isenabled()


def test_who_has_turned_it_off_for_good_finds_it_off() -> None:
    gc.disable()
    with collector.put_off():
        assert not gc.isenabled()
    assert not gc.isenabled()


class Ring:
    """Something that only the search can find to be garbage."""

    def __init__(self) -> None:
        self.me = self


def test_a_process_that_answers_still_lets_go_of_rings_and_never_looks_at_what_it_began_with() -> (
    None
):
    before, kept = gc.get_threshold(), Ring()
    try:
        collector.seldom()
        assert not any(one is kept for one in gc.get_objects())
        dropped = weakref.ref(Ring())
        made: list[list[int]] = [[n] for n in range(collector.SELDOM[0] + 1)]
        assert len(made) > collector.SELDOM[0]
        assert dropped() is None
    finally:
        gc.unfreeze()
        gc.set_threshold(*before)
