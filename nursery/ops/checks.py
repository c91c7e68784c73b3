"""What `nursery check --deploy` looks at beyond what Django does."""

from typing import Any

from django.core import checks
from django.db import DatabaseError

from nursery.services import health


def isolated(**_asked: Any) -> list[checks.CheckMessage]:
    """Warn where the role that serves is shown the rows of all nurseries at once."""
    try:
        good = health.isolated().good
    except DatabaseError:
        return []  # whether it answers is asked by `nursery doctor`
    return [] if good else [checks.Warning(health.SERVE_BY_ANOTHER, id="nursery.W001")]
