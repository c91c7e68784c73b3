"""Every row of speed that is the server's, one after the other: `python -m tests.bench [NAMES]`.

Each benchmark runs in a process of its own, on a database of its own, and says its rows; at the end
they stand in one table. `NURSERY_TEST_SERVER=postgresql://...` measures PostgreSQL instead of the
embedded database. Ratios are taken within one run; a machine that does other work meanwhile makes
times longer and leaves ratios as they are, so the load is told as well.
"""

import os
import subprocess
import sys
import tempfile
from pathlib import Path

from tests.bench import table

# In the order in which one wants to know; the million comes last.
OF_THE_SERVER = (
    "bench_fold",
    "bench_append",
    "bench_pull",
    "bench_season",
    "bench_season_sheet",
    "bench_positions",
    "bench_photo",
    "bench_release",
    "bench_neighbour",
    "bench_due",
    "bench_outlook",
    "bench_trace",
    "bench_tenfold",
)
WORDS = {"bench_append": ("--verify",), "bench_outlook": ("--growth",)}


def main(names: list[str]) -> int:
    wanted = tuple(names) or OF_THE_SERVER
    unknown = [one for one in wanted if one not in OF_THE_SERVER]
    if unknown:
        print(f"No benchmark of the server is called {unknown[0]}. There are:")
        print("  " + ", ".join(OF_THE_SERVER))
        return 2
    failed = []
    with tempfile.TemporaryDirectory(prefix="nursery-bench-table-") as folder:
        kept = Path(folder) / "rows"
        print(f"load {_load()}")
        for one in wanted:
            print(f"{one}", flush=True)
            words = [sys.executable, "-m", f"tests.bench.{one}", *WORDS.get(one, ())]
            done = subprocess.run(words, env={**os.environ, table.KEPT_IN: str(kept)}, check=False)
            # A bench of traces answers with how many rows were missed.
            if done.returncode < 0 or (done.returncode == 1 and one not in SAYS_MISSED):
                failed.append(one)
        print(f"\nload {_load()}\n\n{table.drawn(table.read(kept))}")
    for one in failed:
        print(f"{one} did not come to its end.")
    return 0


SAYS_MISSED = {"bench_trace"}


def _load() -> str:
    return " ".join(f"{one:.1f}" for one in os.getloadavg()) + f" on {os.cpu_count()} processors"


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
