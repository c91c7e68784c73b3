"""Two nurseries with the same ids in every table, and what is seen past the scope."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, date, datetime
from typing import Any

from django.apps import apps
from django.db import connection, models, transaction

from nursery.services import nurseries
from nursery.store import isolation, row_security
from nursery.store.models import Account, NurseryRow
from nursery.store.scope import scope
from tests import looking
from tests.servers import OWNER

OURS, THEIRS = "veshmere", "elsewhere"
NOW = datetime(2031, 3, 3, 2, tzinfo=UTC)
# What is drawn at random and never an id: no two are alike, in whichever nursery.
DRAWN = ("secret_hash", "code_hash", "key")

VALUES: dict[type[Any], Any] = {
    models.CharField: "same",
    models.TextField: "same",
    models.DateTimeField: NOW,
    models.DateField: date(2031, 3, 3),
    models.JSONField: {},
    models.BinaryField: b"same",
    models.BooleanField: False,
    models.BigIntegerField: 7,
    models.IntegerField: 7,
    models.SmallIntegerField: 7,
}


def of_nurseries() -> list[type[models.Model]]:
    """Return every model whose rows belong to a nursery, those that others rest on first."""
    found = [
        model
        for model in apps.get_app_config("store").get_models()
        if any(field.name == "nursery" for field in model._meta.fields)
    ]
    return sorted(found, key=lambda model: model._meta.db_table)


def fill(ident: str) -> None:
    """Give a nursery one row in every table, with the same ids as any other nursery's."""
    nurseries.begin(ident, ident.title(), "Etc/GMT-10")
    with scope(ident, write=True) as book:
        account = Account.objects.create(email=f"{ident}@veshmere.invalid", name="same")
        for model in of_nurseries():
            if not model._default_manager.filter(nursery_id=book.key).exists():
                model._default_manager.create(**_values(model, book.nursery, account))


def _values(model: type[models.Model], nursery: NurseryRow, account: Account) -> dict[str, Any]:
    values: dict[str, Any] = {}
    for field in model._meta.concrete_fields:
        if isinstance(field, models.ForeignKey):
            here = {NurseryRow: nursery, Account: account}
            target: Any = field.related_model
            found = here.get(target) or target.objects.get(nursery_id=nursery.pk)
            values[field.name] = found
        elif field.name in DRAWN:
            values[field.name] = nursery.ident
        elif not isinstance(field, models.AutoField | models.BigAutoField):
            values[field.name] = VALUES[type(field)]
    return values


def seen(key: int | None = None) -> dict[str, int]:
    """Return how many rows this connection is shown by table: of one nursery, or of any."""
    where = "" if key is None else f" WHERE nursery_id = {key}"
    with connection.cursor() as cursor:
        found = {}
        for model in of_nurseries():
            table = model._meta.db_table
            cursor.execute(f"SELECT count(*) FROM {table}{where}")
            found[table] = int(cursor.fetchone()[0])
    return found


def key_of(ident: str) -> int:
    return NurseryRow.objects.get(ident=ident).pk


@contextmanager
def as_one_role() -> Iterator[None]:
    """Be the tables' owner, as where one role does both, but without asking for the whole book."""
    before = isolation.UNSAID["role"]
    isolation.UNSAID["role"] = OWNER
    try:
        yield
    finally:
        isolation.UNSAID["role"] = before


def leaks() -> list[str]:
    """Return in words each way in which the database does not keep the two nurseries apart."""
    ours, theirs = key_of(OURS), key_of(THEIRS)
    with looking.strictly(), transaction.atomic():
        found = _leaks(ours, theirs, "who serves")
        with as_one_role():
            found += _leaks(ours, theirs, "the owner")
    return found


def _leaks(ours: int, theirs: int, who: str) -> list[str]:
    found = [f"{who} sees {table} without a scope" for table, n in seen().items() if n]
    with scope(OURS):
        found += [f"{who} sees {table} of another" for table, n in seen(theirs).items() if n]
        found += [f"{who} does not see {table}" for table, n in seen(ours).items() if not n]
    return found


_PROTECTED = """SELECT c.relname, c.relrowsecurity, c.relforcerowsecurity,
    EXISTS (SELECT 1 FROM pg_attribute a WHERE a.attrelid = c.oid AND a.attname = 'nursery_id'
            AND NOT a.attisdropped),
    EXISTS (SELECT 1 FROM pg_policy p WHERE p.polrelid = c.oid AND p.polcmd = '*'
            AND p.polpermissive
            AND pg_get_expr(p.polqual, c.oid) LIKE '%nursery_id = %app.nursery%'
            AND p.polwithcheck IS NULL AND p.polroles = '{0}')
    FROM pg_class c WHERE c.relkind IN ('r', 'p') AND c.relnamespace = 'public'::regnamespace"""

_POLICIES = """SELECT c.relname, p.polname FROM pg_policy p JOIN pg_class c ON c.oid = p.polrelid"""


def unprotected() -> list[str]:
    """Return in words what the catalogue lacks, table by table."""
    with connection.cursor() as cursor:
        cursor.execute(_PROTECTED)
        tables = cursor.fetchall()
        cursor.execute(_POLICIES)
        policies = {*cursor.fetchall()}
    found = []
    for table, enabled, forced, of_nursery, policy in tables:
        if table in row_security.WITHOUT and not of_nursery:
            continue
        asked = {
            "row-level security": enabled,
            "forced row-level security": forced,
            "a policy by nursery": policy,
        }
        found += [f"{table} has no {what}" for what, there in asked.items() if not there]
    known = {
        (table, name)
        for table in row_security.TABLES
        for name in ("one_nursery", "everything", *(m[0] for m in row_security.MORE.get(table, ())))
    }
    found += [f"{table} has a policy nobody wrote: {name}" for table, name in policies - known]
    return sorted(found)


_UNIQUE = """SELECT c.relname, i.relname, ARRAY(SELECT a.attname::text FROM pg_attribute a
    WHERE a.attrelid = x.indrelid AND a.attnum = ANY(x.indkey::smallint[]))
    FROM pg_index x JOIN pg_class c ON c.oid = x.indrelid JOIN pg_class i ON i.oid = x.indexrelid
    WHERE x.indisunique AND NOT x.indisprimary AND c.relnamespace = 'public'::regnamespace"""


def unique_over_nurseries() -> set[tuple[str, tuple[str, ...]]]:
    """Return table and columns of what is unique over all nurseries, in tables that have one."""
    with connection.cursor() as cursor:
        cursor.execute(_UNIQUE)
        return {
            (table, tuple(sorted(columns)))
            for table, _, columns in cursor.fetchall()
            if table in row_security.TABLES and "nursery_id" not in columns
        }
