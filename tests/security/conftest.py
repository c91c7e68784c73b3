"""The same people as the API's tests have, and all of them there: strangers and shut phones too."""

import pytest

from tests.api.conftest import Cast, all_of, fixed_clock, quick_hashes, tray, writer
from tests.api.conftest import cast as few

__all__ = ["few", "fixed_clock", "quick_hashes", "tray", "writer"]


@pytest.fixture
def cast(few: Cast) -> Cast:
    return all_of(few)
