"""The database itself refuses to change or remove a line of the feed.

The one change it lets pass is erasure: the text of a line becomes empty and nothing else moves, so
that its hash, its number and its link in the chain still stand. Only what may hold a person's name
or free words is erased: notes, what withdrew them, and revisions of people.

The list of who looked at what is never changed either; it only grows shorter from its oldest end.
"""

from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.backends.base.schema import BaseDatabaseSchemaEditor

KEPT = (
    "nursery_id", "seq", "type", "what", "ident", "rev", "hash", "link", "received_at",
    "occurred_at", "install", "n", "set_aside",
)  # fmt: skip

REFUSAL = "the feed is append-only"

# Which lines may be erased. `nursery.services.erasure` is who does it.
ERASABLE = (
    "(OLD.type = 'entry' AND OLD.what IN ('noted', 'withdrawn')"
    " OR OLD.type = 'ref' AND OLD.what = 'person')"
)

_SAME = {
    "sqlite": " AND ".join(f"NEW.{name} IS OLD.{name}" for name in KEPT),
    "postgresql": " AND ".join(
        f"NEW.{column} IS NOT DISTINCT FROM OLD.{column}" for column in KEPT
    ),
}

_INSTALL = {
    "sqlite": (
        f"""CREATE TRIGGER feed_no_update BEFORE UPDATE ON feed
            WHEN NOT (NEW.text = '' AND {ERASABLE} AND {_SAME["sqlite"]})
            BEGIN SELECT RAISE(ABORT, '{REFUSAL}'); END""",
        f"""CREATE TRIGGER feed_no_delete BEFORE DELETE ON feed
            BEGIN SELECT RAISE(ABORT, '{REFUSAL}'); END""",
    ),
    "postgresql": (
        f"""CREATE FUNCTION feed_refuse() RETURNS trigger LANGUAGE plpgsql AS $$
            BEGIN RAISE EXCEPTION '{REFUSAL}'; END $$""",
        f"""CREATE TRIGGER feed_no_update BEFORE UPDATE ON feed FOR EACH ROW
            WHEN (NOT (NEW.text = '' AND {ERASABLE} AND {_SAME["postgresql"]}))
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

ACCESS_REFUSAL = "who looked at what is never changed"

_OLDER = """EXISTS (SELECT 1 FROM access older
            WHERE older.nursery_id = OLD.nursery_id AND older.id < OLD.id)"""

_INSTALL_ACCESS = {
    "sqlite": (
        f"""CREATE TRIGGER access_no_update BEFORE UPDATE ON access
            BEGIN SELECT RAISE(ABORT, '{ACCESS_REFUSAL}'); END""",
        f"""CREATE TRIGGER access_oldest_first BEFORE DELETE ON access WHEN {_OLDER}
            BEGIN SELECT RAISE(ABORT, '{ACCESS_REFUSAL}'); END""",
    ),
    "postgresql": (
        f"""CREATE FUNCTION access_refuse() RETURNS trigger LANGUAGE plpgsql AS $$
            BEGIN
                IF TG_OP = 'UPDATE' OR {_OLDER} THEN RAISE EXCEPTION '{ACCESS_REFUSAL}'; END IF;
                RETURN OLD;
            END $$""",
        """CREATE TRIGGER access_no_update BEFORE UPDATE OR DELETE ON access FOR EACH ROW
            EXECUTE FUNCTION access_refuse()""",
    ),
}

_REMOVE_ACCESS = {
    "sqlite": ("DROP TRIGGER access_no_update", "DROP TRIGGER access_oldest_first"),
    "postgresql": ("DROP TRIGGER access_no_update ON access", "DROP FUNCTION access_refuse()"),
}


def install(connection: BaseDatabaseWrapper) -> None:
    """Put the refusals in place on this database."""
    _run(connection, _INSTALL[connection.vendor])
    _run(connection, _INSTALL_ACCESS[connection.vendor])


def remove(connection: BaseDatabaseWrapper) -> None:
    """Take them away again; only a test database that is being emptied needs this."""
    _run(connection, _REMOVE[connection.vendor])
    _run(connection, _REMOVE_ACCESS[connection.vendor])


def migrate(_apps: object, editor: BaseDatabaseSchemaEditor) -> None:
    """Refuse to change the feed."""
    _run(editor.connection, _INSTALL[editor.connection.vendor])


def migrate_again(_apps: object, editor: BaseDatabaseSchemaEditor) -> None:
    """Refuse anew, by what may be erased since, and to change the list of who looked at what."""
    connection = editor.connection
    _run(connection, _REMOVE[connection.vendor])
    install(connection)


def _run(connection: BaseDatabaseWrapper, statements: tuple[str, ...]) -> None:
    with connection.cursor() as cursor:
        for statement in statements:
            cursor.execute(statement)
