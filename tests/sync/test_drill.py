"""Requirement 44: the restore drill, short; `python -m tests.drill` runs it with a large book."""

from pathlib import Path

import pytest

from tests import product
from tests.drill import drill
from tests.drill.drill import Size


@pytest.mark.usefixtures("empty_place")  # on each database
def test_requirement_44_a_book_that_is_lost_with_its_computer_comes_back_whole(
    tmp_path: Path,
) -> None:
    said: list[str] = []
    found = drill.run(tmp_path, product.empty_place, Size(300, phones=3, seconds=0), said.append)
    assert (found.faults, found.lost) == ([], 0), said
    # The server alone brought back more than its backup held, and less than all: whether the last
    # push was copied in time is chance, and what was never sent only phones could bring.
    assert found.since_backup > found.lacking, said
    assert found.brought > found.lacking, said
    assert found.photos_sent_again > 0
