"""The database itself refuses to change or remove a line of the feed.

The one change it lets pass is erasure: the text of a line becomes empty and nothing else moves, so
that its hash, its number and its link in the chain still stand.
"""

from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.backends.base.schema import BaseDatabaseSchemaEditor

KEPT = (
    "nursery_id", "seq", "type", "what", "ident", "rev", "hash", "link", "received_at",
    "occurred_at", "install", "n", "set_aside",
)  # fmt: skip

REFUSAL = "the feed is append-only"

_SAME = {
    "sqlite": " AND ".join(f"NEW.{name} IS OLD.{name}" for name in KEPT),
    "postgresql": " AND ".join(
        f"NEW.{column} IS NOT DISTINCT FROM OLD.{column}" for column in KEPT
    ),
}

_INSTALL = {
    "sqlite": (
        f"""CREATE TRIGGER feed_no_update BEFORE UPDATE ON feed
            WHEN NOT (NEW.text = '' AND {_SAME["sqlite"]})
            BEGIN SELECT RAISE(ABORT, '{REFUSAL}'); END""",
        f"""CREATE TRIGGER feed_no_delete BEFORE DELETE ON feed
            BEGIN SELECT RAISE(ABORT, '{REFUSAL}'); END""",
    ),
    "postgresql": (
        f"""CREATE FUNCTION feed_refuse() RETURNS trigger LANGUAGE plpgsql AS $$
            BEGIN RAISE EXCEPTION '{REFUSAL}'; END $$""",
        f"""CREATE TRIGGER feed_no_update BEFORE UPDATE ON feed FOR EACH ROW
            WHEN (NOT (NEW.text = '' AND {_SAME["postgresql"]}))
            EXECUTE FUNCTION feed_refuse()""",
        """CREATE TRIGGER feed_no_delete BEFORE DELETE ON feed FOR EACH ROW
            EXECUTE FUNCTION feed_refuse()""",
    ),
}

_REMOVE = {
    "sqlite": ("DROP TRIGGER feed_no_update", "DROP TRIGGER feed_no_delete"),
    "postgresql": (
        "DROP TRIGGER feed_no_update ON feed",
        "DROP TRIGGER feed_no_delete ON feed",
        "DROP FUNCTION feed_refuse()",
    ),
}


def install(connection: BaseDatabaseWrapper) -> None:
    """Put the refusal in place on this database."""
    _run(connection, _INSTALL[connection.vendor])


def remove(connection: BaseDatabaseWrapper) -> None:
    """Take it away again; only a test database that is being emptied needs this."""
    _run(connection, _REMOVE[connection.vendor])


def migrate(_apps: object, editor: BaseDatabaseSchemaEditor) -> None:
    install(editor.connection)


def _run(connection: BaseDatabaseWrapper, statements: tuple[str, ...]) -> None:
    with connection.cursor() as cursor:
        for statement in statements:
            cursor.execute(statement)
