"""How many examples a dear property gets: few in the ordinary suites, thousands in the long one."""

import os

LONG = os.environ.get("NURSERY_TEST_PROFILE") == "long"


def examples(usual: int, long: int = 5000) -> int:
    """Return `usual`, or under `--long` as many as every other property gets, or `long`."""
    return long if LONG else usual
