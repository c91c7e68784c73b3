"""Where the built phone app lies, and how long a browser may keep which file of it."""

import re
from pathlib import Path

HASHED = re.compile(r"^/assets/.+[-.][0-9A-Za-z_-]{8,}\.\w+$")
ALWAYS_ASK = ("/sw.js", "/index.html", "/manifest.webmanifest")


def root(base: Path) -> Path | None:
    """Return the folder of the built app: the wheel's, else the checkout's, else None."""
    built = (base / "nursery" / "web", base / "frontend" / "dist")
    return next((place for place in built if (place / "index.html").is_file()), None)


def is_hashed(_path: str, url: str) -> bool:
    """Say whether the name changes with the content, so that the file may be kept for ever."""
    return HASHED.match(url) is not None


def add_headers(headers: dict[str, str], path: str, url: str) -> None:
    """Have the browser ask each time for the files that say which build is current."""
    if url in ALWAYS_ASK or path.endswith("index.html"):
        headers["Cache-Control"] = "no-cache"
