"""Which apps may pull, and which is the newest. A push of any version is taken for good."""

import re

CURRENT = "2026.12.0"
OLDEST_PULL = "2026.11.0"
PROTOCOL = 1


def may_pull(app: str) -> bool:
    """Say whether an app that calls itself `app` reads today's feed; an unnamed one is trusted."""
    return not re.fullmatch(r"\d+(\.\d+){1,3}", app) or _parts(app) >= _parts(OLDEST_PULL)


def _parts(version: str) -> list[int]:
    return [int(part) for part in version.split(".")]


def as_json() -> dict[str, str]:
    return {"min_pull": OLDEST_PULL, "current": CURRENT}
