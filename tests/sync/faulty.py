"""The web process with a power cut built in: it dies at a named point of the first push it takes.

    python -m tests.sync.faulty PORT

`NURSERY_TEST_CUT` names the point: `inserted`, between insert and commit, or `committed`, between
commit and answer.
"""

# ruff: noqa: PLC0415  the settings are read when Django is loaded

import os
import signal
import sys
from typing import Any


def cut() -> None:
    """End this process and the one that would start it again, as a power cut would."""
    os.killpg(0, signal.SIGKILL)


def main() -> int:
    from granian import Granian
    from granian.constants import Interfaces

    Granian(
        "tests.sync.faulty:application",
        port=int(sys.argv[1]),
        interface=Interfaces.WSGI,
        blocking_threads=4,
        log_access=False,
    ).serve()
    return 0


def doomed() -> Any:
    """Return the product's own application, with the cut at its point."""
    from config.wsgi import application
    from nursery.services import log, refold

    put, receive = refold.put, log.receive

    def put_and_die(*args: Any) -> None:
        put(*args)
        cut()

    def receive_and_die(*args: Any) -> None:
        receive(*args)
        cut()

    if os.environ["NURSERY_TEST_CUT"] == "inserted":
        refold.put = put_and_die  # type: ignore[assignment]
    else:
        log.receive = receive_and_die  # type: ignore[assignment]
    return application


if __name__ == "__main__":
    sys.exit(main())
elif "NURSERY_TEST_CUT" in os.environ:
    application = doomed()
