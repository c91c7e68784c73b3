"""What the web process pays for importing the science package: nothing heavy."""

import pkgutil
import subprocess
import sys

import nursery.science

HEAVY = ("numpy", "scipy", "shapely", "pyproj")
MODULES = [
    info.name
    for info in pkgutil.walk_packages(nursery.science.__path__, f"{nursery.science.__name__}.")
]

LOADED = """
import importlib, sys
for name in sys.argv[2:]:
    importlib.import_module(name)
print(*sorted({name.split(".")[0] for name in sys.modules} & set(sys.argv[1].split(","))))
"""


def heavy_after(*modules: str) -> list[str]:
    done = subprocess.run(
        [sys.executable, "-c", LOADED, ",".join(HEAVY), *modules],
        capture_output=True,
        check=True,
        text=True,
    )
    return done.stdout.split()


def test_importing_every_module_loads_none_of_the_heavy_libraries() -> None:
    assert {f"{nursery.science.__name__}.{name}" for name in ("sampling", "water")} <= set(MODULES)
    assert heavy_after(*MODULES) == []


def test_the_probe_sees_a_heavy_library_that_is_loaded() -> None:
    assert heavy_after("numpy") == ["numpy"]
