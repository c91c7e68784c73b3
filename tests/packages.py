"""Bring the front end's packages, unless those that the lock file names are there already."""

import subprocess
import sys
from pathlib import Path

FRONTEND = Path(__file__).absolute().parent.parent / "frontend"


def main() -> int:
    wanted = FRONTEND / "package-lock.json"
    brought = FRONTEND / "node_modules" / ".package-lock.json"  # npm writes it last
    if brought.exists() and brought.stat().st_mtime >= wanted.stat().st_mtime:
        return 0
    bring = ["npm", "ci", "--no-audit", "--no-fund"]
    return subprocess.run(bring, cwd=FRONTEND, check=False).returncode


if __name__ == "__main__":
    sys.exit(main())
