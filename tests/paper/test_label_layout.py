"""Every label has its sign, its lines and its code apart from each other and on the label."""

from itertools import combinations

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from nursery.domain.reference import LabelSize, Stock
from nursery.domain.reference.fields import Side
from nursery.domain.reference.label_size import LONGER_SIDE
from nursery.paper.label_layout import LEAST_LETTER, LEAST_MODULE, LINE, MOST_MODULE, Lay, lay

sides = st.floats(21, 300).map(Side)
sizes = st.builds(LabelSize, sides, sides, st.sampled_from(Stock))
# Versions 1 to 3, 25 for the ids of phones: ISO/IEC 18004, 17 + 4 x version.
symbols = st.sampled_from([21, 25, 29])


def given_room(size: LabelSize, modules: int, lines: int = 4) -> Lay:
    found = lay(size, modules, lines)
    assume(found is not None)
    assert found is not None
    return found


@given(sizes, symbols)
def test_the_rooms_of_a_label_lie_on_it_and_apart(size: LabelSize, modules: int) -> None:
    found = given_room(size, modules)
    rooms = (found.sign, found.lines, found.code)
    for room in rooms:
        assert min(room.x, room.y, room.width, room.height) >= 0
        assert room.x + room.width <= size.width_mm + 1e-9
        assert room.y + room.height <= size.height_mm + 1e-9
    for one, other in combinations(rooms, 2):
        beside = one.x + one.width <= other.x + 1e-9 or other.x + other.width <= one.x + 1e-9
        below = one.y + one.height <= other.y + 1e-9 or other.y + other.height <= one.y + 1e-9
        assert beside or below


@given(sizes, symbols)
def test_a_code_has_four_modules_of_white_around_it(size: LabelSize, modules: int) -> None:
    """ISO/IEC 18004, quiet zone."""
    found = given_room(size, modules)
    code, quiet = found.code, 4 * found.module - 1e-9
    assert LEAST_MODULE <= found.module <= MOST_MODULE
    assert code.width == code.height == pytest.approx(modules * found.module)
    assert min(code.x, code.y) >= quiet
    assert size.width_mm - code.x - code.width >= quiet
    assert size.height_mm - code.y - code.height >= quiet
    for room in (found.sign, found.lines):
        beside = code.x - room.x - room.width
        above = code.y - room.y - room.height
        assert max(beside, above) >= quiet


@given(sizes, symbols, st.integers(0, 6))
def test_the_lines_that_are_kept_have_room(size: LabelSize, modules: int, lines: int) -> None:
    found = given_room(size, modules, lines)
    assert found.many <= lines
    assert found.many * found.letter * LINE <= found.lines.height + 1e-9
    assert found.many == 0 or found.letter >= LEAST_LETTER - 1e-9


@given(sizes)
def test_every_label_that_a_nursery_may_buy_has_room_for_a_phones_id(size: LabelSize) -> None:
    """Rule R-4."""
    assume(max(size.width_mm, size.height_mm) >= LONGER_SIDE)
    assert lay(size, 25, 4) is not None


def test_a_code_too_fine_to_be_read_has_no_layout() -> None:
    assert lay(LabelSize(Side(40), Side(21), Stock.ROLL), 57, 4) is None


def test_the_usual_label_has_the_largest_modules_and_four_lines() -> None:
    found = lay(LabelSize(), 25, 4)
    assert found is not None
    assert (found.module, found.many) == (1.0, 4)
    assert found.sign.height > 15
