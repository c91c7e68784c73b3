"""`python -m tests`: every check of the project, in order, with the servers it needs."""

import signal
import sys
from argparse import ArgumentParser, Namespace
from time import monotonic
from types import FrameType

from tests.machine import missing
from tests.running import Report, Run
from tests.steps import STEPS, Step


def main() -> int:
    choice = _choice()
    steps = [step for step in STEPS if _wanted(step, choice)]
    if lacking := missing({need for step in steps for need in step.needs}):
        print("\n".join(lacking), file=sys.stderr)
        return 2
    signal.signal(signal.SIGTERM, _stop)
    begun, total = monotonic(), Report()
    with Run(long=choice.long, all_output=choice.verbose) as run:
        for step in steps:
            total += run.step(step)
            if total.failed and choice.exitfirst:
                break
    print(total.line(monotonic() - begun), flush=True)
    return 1 if total.failed else 0


def _choice() -> Namespace:
    parser = ArgumentParser(prog="python -m tests", description=__doc__)
    names = [step.name for step in STEPS]
    parser.add_argument("--long", action="store_true", help="the full fault suite: hours")
    parser.add_argument("--only", action="append", choices=names, help="this step; may be repeated")
    parser.add_argument("--database", choices=["sqlite", "postgres"], help="leave the other out")
    parser.add_argument("-x", "--exitfirst", action="store_true", help="stop at the first failure")
    parser.add_argument("-v", "--verbose", action="store_true", help="show all output")
    choice = parser.parse_args()
    alone = {step.name for step in STEPS if step.long} & {*(choice.only or ())}
    if alone and not choice.long:
        parser.error(f"{', '.join(sorted(alone))}: of the long suite; add --long")
    return choice


def _wanted(step: Step, choice: Namespace) -> bool:
    if choice.only and step.name not in choice.only:
        return False
    if choice.database and step.database not in (None, choice.database):
        return False
    return bool(choice.long) or not step.long


def _stop(_number: int, _frame: FrameType | None) -> None:
    """Leave by the way that stops the servers."""
    raise SystemExit(143)


if __name__ == "__main__":
    sys.exit(main())
