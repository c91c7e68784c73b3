"""What the machine must bring for the tests, and the line that brings it where it is missing."""

import shutil
import subprocess
from collections.abc import Callable
from dataclasses import dataclass

from tests import servers

NODE = (20, 19)


def chromium() -> str | None:
    """Return the browser's program."""
    return shutil.which("chromium") or shutil.which("chromium-browser")


def node() -> str | None:
    """Return Node, if it is there and new enough for the front end."""
    program = shutil.which("node")
    if program is None or shutil.which("npm") is None:
        return None
    said = subprocess.run([program, "--version"], capture_output=True, text=True, check=True).stdout
    major, minor, *_ = said.strip().lstrip("v").split(".")
    return program if (int(major), int(minor)) >= NODE else None


@dataclass(frozen=True)
class Need:
    """A program from outside, how to find it, and Debian's packages with it."""

    found: Callable[[], object]
    packages: tuple[str, ...]
    hint: str = ""


NEEDS = {
    "PostgreSQL": Need(servers.postgres_bin, ("postgresql",)),
    "Redis": Need(servers.redis_program, ("redis-server",)),
    "pdftoppm": Need(lambda: shutil.which("pdftoppm"), ("poppler-utils",)),
    "Chromium": Need(chromium, ("chromium", "fonts-dejavu-core")),
    "Node": Need(
        node,
        ("nodejs", "npm"),
        f"Node {NODE[0]}.{NODE[1]} or newer; Debian 12 has an older one, nodejs.org a newer.",
    ),
}


def missing(names: set[str]) -> list[str]:
    """Return the lines to print where something is missing, the last of them to be run."""
    lacking = [(name, need) for name, need in NEEDS.items() if name in names and not need.found()]
    if not lacking:
        return []
    packages = [package for _, need in lacking for package in need.packages]
    return [
        f"These are missing: {', '.join(name for name, _ in lacking)}. Nothing was run.",
        *(need.hint for _, need in lacking if need.hint),
        f"apt-get install -y --no-install-recommends {' '.join(packages)}",
    ]
