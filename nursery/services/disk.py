"""What must be on the disk before anybody is told that it is."""

import os
from pathlib import Path


def flush_names(folder: Path) -> None:
    """Flush which files a folder holds: a new name is lost with the power until then."""
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
