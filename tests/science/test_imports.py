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


ONE_DAY = """
import sys
from nursery.science import thermal
for warmth in (thermal.average, thermal.average_clipped):
    warmth(14.0, 26.0, 9.3)
for warmth in (thermal.single_sine, thermal.single_triangle):
    warmth(14.0, 26.0, lower=9.3, upper=20.0)
print("numpy" in sys.modules)
"""


def test_the_warmth_of_one_day_loads_none_of_them_either() -> None:
    """The web process works out clocks that count a pest's generations."""
    done = subprocess.run(
        [sys.executable, "-c", ONE_DAY], capture_output=True, check=True, text=True
    )
    assert done.stdout.split() == ["False"]
