"""The two roles of a PostgreSQL book: its tables' owner, who changes them, and one who serves.

Whoever serves has no right to the tables' shape, to the policies or to the rows of all nurseries at
once. Where one role alone is given it is both; the policies are forced, so they bind it as well.
"""

from collections.abc import Iterator
from contextlib import contextmanager

from django.conf import settings
from django.db import connection, connections

from nursery.store import isolation

_RIGHTS = (
    "USAGE ON SCHEMA public",
    "SELECT, INSERT, UPDATE, DELETE ON ALL TABLES IN SCHEMA public",
    "USAGE, SELECT ON ALL SEQUENCES IN SCHEMA public",
)


class RoleMissing(Exception):
    """The role that is to serve is not there, and the owner may not make one."""

    def __init__(self, role: str) -> None:
        super().__init__(
            f"There is no role {role}. As PostgreSQL's administrator: "
            f"CREATE ROLE {role} LOGIN PASSWORD '…'"
        )


@contextmanager
def whole_book() -> Iterator[None]:
    """Work as the tables' owner on the rows of all nurseries, until the end.

    For backups, restores and changes of the tables. It has a connection of its own where the owner
    has a login of its own, so it sees what was committed before.
    """
    with _as_owner(), isolation.saying(everything="yes"):
        yield


@contextmanager
def _as_owner() -> Iterator[None]:
    owner = settings.DATABASE_OWNER
    before = connections["default"]
    if owner is None or before.settings_dict["USER"] == owner["USER"]:
        yield
        return
    if not before.in_atomic_block:
        before.close()
    own = before.copy()
    own.settings_dict = {**before.settings_dict, **owner}
    connections["default"] = own
    try:
        yield
    finally:
        own.close()
        connections["default"] = before


def let_serve() -> None:
    """Let the role that serves read and write rows, and nothing more; make it where there is none.

    Called by the tables' owner, after the tables changed.

    Raises:
        RoleMissing: there is none and this owner may not make it.
    """
    serving = settings.DATABASES["default"]
    if settings.DATABASE_OWNER is None or settings.DATABASE_OWNER["USER"] == serving["USER"]:
        return
    with connection.cursor() as cursor:
        cursor.execute("SELECT 1 FROM pg_roles WHERE rolname = %s", [serving["USER"]])
        there = cursor.fetchone() is not None
        cursor.execute(
            "SELECT rolsuper OR rolcreaterole FROM pg_roles WHERE rolname = current_user"
        )
        if not there and not cursor.fetchone()[0]:
            raise RoleMissing(serving["USER"])
        role = '"{}"'.format(serving["USER"].replace('"', '""'))
        if not there:
            least = "NOSUPERUSER NOBYPASSRLS NOCREATEDB NOCREATEROLE"
            cursor.execute(f"CREATE ROLE {role} LOGIN PASSWORD %s {least}", [serving["PASSWORD"]])
        for right in _RIGHTS:
            cursor.execute(f"GRANT {right} TO {role}")


def passes_policies() -> bool:
    """Whether this connection's role is one that PostgreSQL shows every row to, policies or not."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT rolsuper OR rolbypassrls FROM pg_roles WHERE rolname = current_user")
        return bool(cursor.fetchone()[0])
