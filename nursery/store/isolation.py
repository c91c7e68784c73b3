"""What a connection tells PostgreSQL of itself, so that the policies know whose rows it may see.

The layers that are open in this thread say it: a scope names its nursery, a door one narrower
thing. Each statement carries it along, in one message and one transaction with itself, so nothing
of it is left on a connection that a pooler hands on, nor after a layer that was closed, and a write
commits when it would have. Outside of every layer nothing is said and the policies show nothing.

SQLite has no policies: there the scope's own filters are the guard.
"""

import re
import threading
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from typing import Any

from django.db.backends.base.base import BaseDatabaseWrapper

NURSERY = "app.nursery"
# One row of a table of secrets is seen by whoever presents what it is the hash of.
SECRET = "app.secret"  # noqa: S105  the name of a setting
# An account sees in which nurseries it has a part.
ACCOUNT = "app.account"
# The queue hands out the jobs of all nurseries.
QUEUE = "app.queue"
# Backups, restores and changes of the tables; the policies grant it to the tables' owner alone.
EVERYTHING = "app.everything"

Said = Mapping[str, str]
Execute = Callable[[Any, Any, bool, dict[str, Any]], Any]

_PLAIN = re.compile(r"[\w.-]*")
# None of these reads or writes a row, and each wants to be alone or comes after an error.
_BARE = re.compile(
    r"\s*(SAVEPOINT|RELEASE|ROLLBACK|SET TRANSACTION|(CREATE|DROP) DATABASE)\b", re.IGNORECASE
)
_NOTHING: Said = {}
# What unsays a setting that is not unsaid by an empty text.
UNSAID: dict[str, str] = {}


class _Here(threading.local):
    def __init__(self) -> None:
        self.layers: tuple[Said, ...] = ()


_here = _Here()


def outside() -> Said:
    """Return what is said outside of every layer: nothing."""
    return _NOTHING


@contextmanager
def saying(**said: str) -> Iterator[None]:
    """Say `app.<name>` with every statement of this thread until the end."""
    layer = {f"app.{name}": value for name, value in said.items()}
    _here.layers = (*_here.layers, layer)
    try:
        yield
    finally:
        # By identity: what a generator opened may end after what was opened later.
        _here.layers = tuple(one for one in _here.layers if one is not layer)


def in_force() -> Said:
    """Return what is said with the next statement of this thread."""
    if not _here.layers:
        return outside()
    said: dict[str, str] = {}
    for layer in _here.layers:
        said |= layer
    return said


def attach(connection: BaseDatabaseWrapper, **_sent: object) -> None:
    """Have a connection that was just opened say it."""
    if connection.vendor == "postgresql" and _say not in connection.execute_wrappers:
        connection.execute_wrappers.append(_say)


def _say(execute: Execute, sql: Any, params: Any, many: bool, context: dict[str, Any]) -> Any:  # noqa: FBT001  Django's own call
    connection = context["connection"]
    said = _to_say(connection)
    if not said or (isinstance(sql, str) and _BARE.match(sql)):
        return execute(sql, params, many, context)
    words = _words(said)
    cursor = context["cursor"].cursor
    if many or hasattr(cursor, "name") or not isinstance(sql, str):
        return _apart(connection, words, lambda: execute(sql, params, many, context))
    done = execute(f"{words}; {sql}", params, many, context)
    cursor.nextset()
    return done


def _to_say(connection: Any) -> Said:
    """Return what is in force, and unsay within a transaction what was in force before."""
    said = in_force()
    if not connection.in_atomic_block:
        connection.__dict__["said_before"] = frozenset()
        return said
    before = connection.__dict__.get("said_before", frozenset())
    connection.__dict__["said_before"] = before | said.keys()
    return {**{name: UNSAID.get(name, "") for name in sorted(before)}, **said}


def _words(said: Said) -> str:
    for value in said.values():
        if not _PLAIN.fullmatch(value):
            raise ValueError(value)
    sets = (f"set_config('{name}', '{value}', true)" for name, value in said.items())
    return f"SELECT {', '.join(sets)}"


def _apart(connection: Any, words: str, act: Callable[[], Any]) -> Any:
    """Say it in a statement of its own before one that takes no other beside it."""
    raw = connection.connection
    if connection.in_atomic_block:
        raw.execute(words)
        return act()
    raw.execute("BEGIN")
    try:
        raw.execute(words)
        done = act()
    except BaseException:
        raw.execute("ROLLBACK")
        raise
    raw.execute("COMMIT")
    return done
