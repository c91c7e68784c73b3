"""PostgreSQL itself shows a connection the rows of one nursery alone.

Every table with a nursery has row-level security, forced so that it binds the tables' owner too.
The policies read what `nursery.store.isolation` says; each asks in a sub-select, which is worked
out once for a query and not for each row. Nothing said means no row, and none can be written.
"""

from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.backends.base.schema import BaseDatabaseSchemaEditor

TABLES = (
    "about", "access", "calendar", "calendar_link", "device", "due_check", "feed", "forecast",
    "head", "install", "invite", "job", "kept_raw", "link", "link_read", "membership", "outlook",
    "photo", "push", "ref", "reminder", "reminder_attempt", "reminder_setting", "subject", "upload",
    "weather_series", "weather_year",
)  # fmt: skip

# Why these need none, by table. Whatever else there is must have a policy: a test says so.
WITHOUT = {
    "nursery": "the list by which a name becomes the key that is said; every sweep begins with it",
    "store_account": "a person's own, who may have a part in several nurseries",
    "limit_used": "counts of tries under hashes, before anybody knows for which nursery",
    "backup": "a backup is of the whole server",
    "beat": "when the beat last came",
    "django_content_type": "names of tables",
    "django_migrations": "names of migrations",
    "session": "who is signed in: an account, which is of no nursery",
    "django_session": "empty: who is signed in stands in `session`",
    "django_admin_log": "empty, since the operators' window changes nothing",
    "auth_group": "empty: parts stand in `membership`",
    "auth_group_permissions": "empty: parts stand in `membership`",
    "auth_permission": "names of what could be allowed",
}

_NURSERY = "nursery_id = (SELECT nullif(current_setting('app.nursery', true), '')::bigint)"
_HASH = "{column} = (SELECT nullif(current_setting('app.secret', true), ''))"
_ACCOUNT = "account_id = (SELECT nullif(current_setting('app.account', true), '')::bigint)"
_QUEUE = "(SELECT current_setting('app.queue', true)) = 'yes'"

# The whole book is for backups and changes of the tables. Whoever serves cannot ask for it: it is
# the tables' owner that may, or one who has the owner's rights.
_EVERYTHING = """CREATE FUNCTION sees_everything() RETURNS boolean
    LANGUAGE plpgsql STABLE SET search_path FROM CURRENT AS $$
    BEGIN
        RETURN coalesce(current_setting('app.everything', true), '') = 'yes' AND pg_has_role(
            (SELECT relowner FROM pg_class WHERE oid = 'nursery'::regclass), 'USAGE');
    END $$"""

MORE = {
    "device": (("by_secret", "SELECT", _HASH.format(column="secret_hash")),),
    "link": (("by_secret", "SELECT", _HASH.format(column="secret_hash")),),
    "calendar_link": (("by_secret", "SELECT", _HASH.format(column="secret_hash")),),
    "invite": (("by_secret", "SELECT", _HASH.format(column="code_hash")),),
    "membership": (("of_account", "SELECT", _ACCOUNT),),
    "job": (("queue", "ALL", _QUEUE),),
}


def protect(table: str) -> list[str]:
    """Return the statements that keep one table's rows apart by nursery."""
    own = (("one_nursery", "ALL", _NURSERY), ("everything", "ALL", "(SELECT sees_everything())"))
    return [
        *(
            f"CREATE POLICY {name} ON {table} FOR {what} USING ({rule})"
            for name, what, rule in (*own, *MORE.get(table, ()))
        ),
        f"ALTER TABLE {table} ENABLE ROW LEVEL SECURITY",
        f"ALTER TABLE {table} FORCE ROW LEVEL SECURITY",
    ]


def migrate(_apps: object, editor: BaseDatabaseSchemaEditor) -> None:
    """Keep the rows of all tables apart; SQLite knows no such thing."""
    if editor.connection.vendor == "postgresql":
        _run(editor.connection, [_EVERYTHING, *(one for name in TABLES for one in protect(name))])


def _run(connection: BaseDatabaseWrapper, statements: list[str]) -> None:
    with connection.cursor() as cursor:
        for statement in statements:
            cursor.execute(statement)
