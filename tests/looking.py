"""How a test looks at rows of any nursery itself, where a connection is shown those of one alone.

Between its calls to the product a test acts as the tables' owner. While a request is answered, and
in every scope and door, its connection is what it is: the role that serves. Other processes of the
product have nothing to do with this.
"""

import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

from django.core.handlers.base import BaseHandler

from nursery.store import isolation
from tests.servers import OWNER

AS_OWNER = {"role": OWNER, isolation.EVERYTHING: "yes"}


class _Here(threading.local):
    strict = 0


_here = _Here()


def outside() -> isolation.Said:
    return {} if _here.strict else AS_OWNER


@contextmanager
def strictly() -> Iterator[None]:
    """Act as the product does, until the end: outside of every scope nothing is seen."""
    _here.strict += 1
    try:
        yield
    finally:
        _here.strict -= 1


def begin() -> None:
    """Look from now on, in this process, but for the answers to requests."""
    isolation.UNSAID["role"] = "none"
    isolation.outside = outside
    answer: Callable[[BaseHandler, Any], Any] = BaseHandler.get_response

    def get_response(handler: BaseHandler, request: Any) -> Any:
        with strictly():
            return answer(handler, request)

    BaseHandler.get_response = get_response  # type: ignore[assignment, method-assign]
