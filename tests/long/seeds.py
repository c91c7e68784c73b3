"""Bad days by the thousand: `python -m tests.long.seeds --seeds 10000`.

Each number is a story of its own (`bad_days`), the same in every run. Most are played against the
whole application in this process, on real files of the embedded database; of each hundred
`--live` go over sockets to the web process as people run it, behind a link that cuts, loses and
doubles, and there the process itself is killed. Of each hundred one makes and tries its backups
by the product's own commands from end to end.

A seed that fails is told with the line that plays it again. What the link and each phone do over
sockets follows from the seed; when a packet arrives does not.
"""

# ruff: noqa: PLC0415, T201  Django is loaded on a folder of each process; the command speaks

import logging
import os
import sys
import tempfile
import traceback
from argparse import ArgumentParser, Namespace
from collections import Counter
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, field
from functools import cache
from multiprocessing import get_context
from multiprocessing.util import Finalize
from pathlib import Path
from time import monotonic
from typing import Any

HUNDRED = 100
AT_ONCE = 10
SECONDS_OF_PEACE = 60.0


@dataclass
class Told:
    """What some seeds came to."""

    seeds: int = 0
    live: int = 0
    entries: int = 0
    acknowledged: int = 0
    kills: int = 0
    slowest_peace: float = 0.0
    done: Counter[str] = field(default_factory=Counter)
    failed: list[tuple[int, str]] = field(default_factory=list)

    def add(self, other: "Told") -> None:
        self.seeds += other.seeds
        self.live += other.live
        self.entries += other.entries
        self.acknowledged += other.acknowledged
        self.kills += other.kills
        self.slowest_peace = max(self.slowest_peace, other.slowest_peace)
        self.done += other.done
        self.failed += other.failed


def main() -> int:
    choice = _choice()
    seeds = range(choice.start, choice.start + choice.seeds)
    begun, total = monotonic(), Told()
    parts = [seeds[at : at + AT_ONCE] for at in range(0, len(seeds), AT_ONCE)]
    with ProcessPoolExecutor(choice.processes, get_context("spawn")) as pool:
        for number, told in enumerate(pool.map(played, parts, [choice.live] * len(parts)), 1):
            total.add(told)
            for seed, why in told.failed:
                print(f"seed {seed} FAILED; again by\n  {_again(seed, choice)}\n{why}", flush=True)
            if number % 20 == 0:
                print(_so_far(total, monotonic() - begun), flush=True)
    print(_so_far(total, monotonic() - begun))
    print(f"  what the links did: {dict(total.done.most_common())}")
    return 1 if total.failed else 0


def _choice() -> Namespace:
    parser = ArgumentParser(prog="python -m tests.long.seeds", description=__doc__)
    parser.add_argument("--seeds", type=int, default=HUNDRED, help="how many")
    parser.add_argument("--from", type=int, default=1, dest="start", help="the first of them")
    parser.add_argument("--live", type=int, default=2, help="of each hundred, over sockets")
    parser.add_argument("--processes", type=int, default=os.cpu_count() or 1)
    return parser.parse_args()


def _again(seed: int, choice: Namespace) -> str:
    live = f" --live {choice.live}"
    return f"python -m tests.long.seeds --seeds 1 --from {seed}{live}"


def _so_far(total: Told, seconds: float) -> str:
    return (
        f"{total.seeds} seeds ({total.live} over sockets) in {seconds:.0f} s"
        f" ({total.seeds / seconds:.1f}/s), {len(total.failed)} failed;"
        f" {total.entries} entries, {total.acknowledged} acknowledged,"
        f" {total.kills} kills of the office; queues empty at most {total.slowest_peace:.1f} s"
        " after the link was whole"
    )


def played(seeds: range, live: int) -> Told:
    """Play some seeds in a process of the pool."""
    told = Told()
    for seed in seeds:
        told.seeds += 1
        try:
            _play(seed, live, told)
        except Exception:
            told.failed.append((seed, traceback.format_exc(limit=-4)))
    return told


def _play(seed: int, live: int, told: Told) -> None:
    from tests.long.bad_days import BadDays

    with _office(seed, live) as office:
        days = BadDays(office, seed)
        link = getattr(office, "link", None)
        days.begin()
        if link is not None:
            link.harmful = True
        for _ in range(_steps(link)):
            days.step()
        if link is not None:
            link.harmful = False
            office.settled()
        begun = monotonic()
        days.peace()
        peace = monotonic() - begun
        days.verdict()
        assert peace <= SECONDS_OF_PEACE, f"{peace:.0f} s after the link was whole"
    told.slowest_peace = max(told.slowest_peace, peace)
    told.entries += sum(phone.writer.n for phone in days.phones)
    told.acknowledged += sum(len(air.told) for air in days.airs)
    told.done += Counter(days.done)
    if link is not None:
        told.live += 1
        told.kills += days.done.get("restored", 0)
        told.done += Counter({f"link: {harm}": n for harm, n in link.done.items()})


def _steps(link: Any) -> int:
    from tests.long.bad_days import STEPS

    return STEPS if link is None else STEPS // 2


@dataclass
class Ground:
    """What a process of the pool plays on: its folders, and the web process once it is wanted."""

    place: tempfile.TemporaryDirectory[str]
    here: Path
    there: Path
    template: Path
    stack: ExitStack
    web: Any = None


@contextmanager
def _office(seed: int, live: int) -> Iterator[Any]:
    """Give the seed an office with nothing in it."""
    ground = _ground()
    from tests.long import offices

    if (seed - 1) % HUNDRED >= live:
        offices.on_file(ground.here, ground.template)
        yield offices.Here("n", tried=(seed - 1) % HUNDRED == HUNDRED - 1)
        return
    if ground.web is None:
        offices.on_file(ground.there, ground.template)
        ground.web = offices.Web(ground.there, ground.stack)
        ground.web.start()
    offices.use(ground.there)
    # The process goes on from seed to seed: each has a nursery of its own there.
    with offices.behind_a_bad_link(f"n-{seed}", seed, ground.web) as office:
        yield office


@cache
def _ground() -> Ground:
    """Set this process up on folders of its own, once."""
    place = tempfile.TemporaryDirectory(prefix="nursery-seeds-")
    here, there = Path(place.name) / "here", Path(place.name) / "there"
    for folder in (here, there):
        folder.mkdir()
    for name in [name for name in os.environ if name.startswith("NURSERY_")]:
        del os.environ[name]
    os.environ |= {"NURSERY_DATA": str(here), "DJANGO_SETTINGS_MODULE": "config.settings"}
    import django

    django.setup()
    from django.core.management import call_command

    call_command("migrate", verbosity=0)
    # Each phone that is told of another epoch would be a line there.
    logging.getLogger("django.request").setLevel(logging.ERROR)
    from tests.long import offices

    ground = Ground(place, here, there, offices.template_of(Path(place.name)), ExitStack())
    # A process of a pool ends without the usual goodbye.
    Finalize(None, ground.stack.close, exitpriority=1)
    return ground


if __name__ == "__main__":
    sys.exit(main())
