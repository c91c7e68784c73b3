"""Requirement 37: with the role that serves, nobody is shown or kept from a row by another nursery.

On SQLite the scope's own filters are the guard; there the same ids in two nurseries are tried, and
the answers of every address. PostgreSQL is asked past the scope, by plain SQL, and its catalogue is
gone through. What must be caught is broken on purpose, in a transaction that is rolled back.
"""

import threading
from contextlib import nullcontext
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings as as_set
from django.db import Error, connection, transaction

from nursery.services import access, engines, health, jobs, people, periods
from nursery.store import isolation, row_security
from nursery.store.models import CheckRow, DeviceRow, InviteRow, JobRow, MembershipRow
from nursery.store.scope import scope
from tests import looking
from tests.store import apart
from tests.store.apart import NOW, OURS, THEIRS

pytestmark = pytest.mark.django_db
on_postgresql = pytest.mark.skipif(
    as_set.DATABASES["default"]["ENGINE"].endswith("sqlite3"),
    reason="SQLite has no policies; the scope's filters are its guard",
)


@pytest.fixture
def both() -> None:
    apart.fill(OURS)
    apart.fill(THEIRS)


@pytest.mark.usefixtures("both")
def test_the_same_ids_stand_in_two_nurseries_in_every_table() -> None:
    ours, theirs = (apart.seen(apart.key_of(ident)) for ident in (OURS, THEIRS))
    assert set(ours) == set(row_security.TABLES)
    assert ours == theirs
    assert set(ours.values()) == {1}


@pytest.mark.usefixtures("both")
def test_a_scope_hands_out_rows_of_its_nursery_alone() -> None:
    for ident in (OURS, THEIRS):
        with looking.strictly(), scope(ident) as book:
            for name in dir(type(book)):
                if isinstance(getattr(type(book), name), property) and name != "head":
                    rows = getattr(book, name)
                    assert {row.nursery_id for row in rows} <= {book.key}, name


@on_postgresql
def test_every_table_with_a_nursery_has_a_forced_policy() -> None:
    assert apart.unprotected() == []
    assert {model._meta.db_table for model in apart.of_nurseries()} == set(row_security.TABLES)


@on_postgresql
def test_nothing_but_what_is_drawn_at_random_is_unique_over_nurseries() -> None:
    """A unique index is looked up past the policies, and would tell that an id exists elsewhere."""
    assert apart.unique_over_nurseries() == {
        ("calendar_link", ("secret_hash",)),
        ("device", ("secret_hash",)),
        ("invite", ("code_hash",)),
        ("link", ("secret_hash",)),
        # Begins with the kind and the nursery's key.
        ("job", ("key",)),
        # A reminder is of one nursery, and its key is the database's own number.
        ("reminder_attempt", ("channel", "reminder_id")),
    }


@on_postgresql
@pytest.mark.usefixtures("both")
def test_past_the_scope_nobody_sees_another_nursery_nor_anything_without_one() -> None:
    assert apart.leaks() == []


MUTANTS = [
    ("DROP POLICY one_nursery ON feed", "feed has no a policy by nursery", "does not see feed"),
    ("ALTER TABLE photo DISABLE ROW LEVEL SECURITY", "photo has no row-level", "sees photo of"),
    ("ALTER TABLE head NO FORCE ROW LEVEL SECURITY", "head has no forced", "owner sees head of"),
    ("CREATE POLICY open ON ref USING (true)", "ref has a policy nobody", "serves sees ref of"),
    ("ALTER POLICY one_nursery ON subject USING (true)", "subject has no a", "sees subject with"),
]


@on_postgresql
@pytest.mark.parametrize(("broken", "told", "seen"), MUTANTS, ids=[m[0] for m in MUTANTS])
@pytest.mark.usefixtures("both")
def test_a_policy_that_was_removed_is_found_in_the_catalogue_and_by_its_leak(
    broken: str, told: str, seen: str
) -> None:
    with connection.cursor() as cursor:
        cursor.execute("SET CONSTRAINTS ALL IMMEDIATE")
        cursor.execute(broken)
    assert any(told in fault for fault in apart.unprotected()), apart.unprotected()
    assert any(seen in leak for leak in apart.leaks()), apart.leaks()


@on_postgresql
def test_a_new_table_with_a_nursery_is_found_where_it_has_no_policy() -> None:
    with connection.cursor() as cursor:
        cursor.execute("CREATE TABLE bench (nursery_id bigint, height integer)")
    assert apart.unprotected() == [
        "bench has no a policy by nursery",
        "bench has no forced row-level security",
        "bench has no row-level security",
    ]


@on_postgresql
@pytest.mark.usefixtures("both")
@pytest.mark.parametrize("within", [None, THEIRS])
def test_nobody_writes_for_a_nursery_whose_scope_is_not_open(within: str | None) -> None:
    key = apart.key_of(OURS)
    row = CheckRow(nursery_id=key, ident="new", kind="x", subject="b-1", opens_at=NOW, text="{}")
    opened = nullcontext() if within is None else scope(within, write=True)
    refused = pytest.raises(Error, match="row-level security")
    with looking.strictly(), refused, transaction.atomic(), opened:
        row.save()
    with looking.strictly(), scope(THEIRS, write=True):
        assert CheckRow.objects.filter(nursery_id=key).update(kind="y") == 0
        assert CheckRow.objects.filter(nursery_id=key).delete()[0] == 0


@on_postgresql
@pytest.mark.usefixtures("both")
def test_who_serves_cannot_ask_for_the_whole_book() -> None:
    with looking.strictly(), isolation.saying(everything="yes"):
        assert set(apart.seen().values()) == {0}
        with apart.as_one_role():
            assert set(apart.seen().values()) == {2}


@on_postgresql
@pytest.mark.usefixtures("both")
def test_a_door_shows_what_it_is_for_and_nothing_else() -> None:
    doors = {
        "secret": (THEIRS, {"device": 1, "link": 1, "calendar_link": 1, "invite": 1}),
        "account": (
            str(MembershipRow.objects.get(nursery__ident=THEIRS).account_id),
            {"membership": 1},
        ),
        "queue": ("yes", {"job": 2}),
    }
    for name, (value, shown) in doors.items():
        with looking.strictly(), isolation.saying(**{name: value}):
            assert {table: n for table, n in apart.seen().items() if n} == shown
    with looking.strictly(), isolation.saying(secret=THEIRS):
        assert DeviceRow.objects.update(name="x") == 0
        assert InviteRow.objects.all().delete()[0] == 0


@pytest.mark.usefixtures("both")
def test_a_scope_within_another_gives_back_the_one_around_it() -> None:
    ours, theirs = apart.key_of(OURS), apart.key_of(THEIRS)
    with looking.strictly(), scope(OURS, write=True) as book:
        assert book.subjects.count() == 1
        with scope(THEIRS) as other:
            assert [row.nursery_id for row in other.subjects] == [theirs]
            with scope(OURS, write=True) as again:
                assert [row.nursery_id for row in again.subjects] == [ours]
            assert other.subjects.count() == 1
        assert [row.nursery_id for row in book.subjects] == [ours]
        with pytest.raises(ZeroDivisionError), transaction.atomic(), scope(THEIRS, write=True):
            raise ZeroDivisionError
        assert book.subjects.count() == 1


@pytest.mark.usefixtures("both")
def test_what_streams_names_its_nursery_only_while_it_reads() -> None:
    with scope(OURS) as book:
        pass
    with looking.strictly():
        stream = book.each(row.nursery_id for row in book.subjects.iterator(1))
        with scope(THEIRS) as other:
            assert next(stream) == book.key
            assert other.subjects.count() == 1
        assert list(stream) == []


@pytest.mark.django_db(transaction=True)
def test_what_is_written_within_a_reading_scope_is_committed_at_once() -> None:
    apart.fill(OURS)
    found: list[int] = []

    def look() -> None:
        with looking.strictly(), scope(OURS) as book:
            found.append(book.checks.filter(kind="new").count())
        connection.close()

    with scope(OURS) as book:
        with scope(OURS, write=True) as inner:
            inner.checks.update(kind="new")
        other = threading.Thread(target=look)
        other.start()
        other.join()
        assert book.checks.filter(kind="new").count() == 1
    assert found == [1]


@pytest.mark.usefixtures("both")
def test_what_goes_over_all_nurseries_finds_what_is_there_of_each() -> None:
    JobRow.objects.all().delete()
    with looking.strictly():
        periods.write_due()
    written = list(JobRow.objects.values_list("pk", flat=True))
    with looking.strictly():
        assert {job.nursery for n in written if (job := jobs.claim(n))} == {"", OURS, THEIRS}
        assert health.queue_age().params["seconds"] is None
        assert health.failed_jobs().good
        assert health.isolated().good
        assert [access.shorten(ident, NOW + timedelta(days=9999)) for ident in (OURS, THEIRS)] == [
            1,
            1,
        ]
        assert people.device("not one of ours") is None


@on_postgresql
@pytest.mark.django_db(transaction=True)
def test_a_role_that_is_not_shown_the_whole_book_makes_no_backup_of_it(
    tmp_path: Path, settings: Any
) -> None:
    apart.fill(OURS)
    settings.DATABASE_OWNER = None
    with (
        looking.strictly(),
        pytest.raises(engines.ProgramFailed, match="NURSERY_OWNER_DATABASE_URL must name"),
    ):
        engines.Postgres().dump(tmp_path / "book")
    assert not [*tmp_path.iterdir()]


PLAN = "EXPLAIN SELECT seq FROM feed WHERE nursery_id = {key} AND seq > 5 ORDER BY seq LIMIT 10"


@on_postgresql
@pytest.mark.usefixtures("both")
def test_a_page_of_the_feed_is_still_read_by_its_index_and_asks_once_whose_it_is() -> None:
    with looking.strictly(), scope(OURS, write=True) as book, connection.cursor() as cursor:
        # Of few rows, counted who knows when, the planner may think any way cheap; these leave it
        # the walk along the index, if the policy lets it walk there.
        cursor.execute("SET LOCAL enable_seqscan = off")
        cursor.execute("SET LOCAL enable_bitmapscan = off")
        cursor.execute(PLAN.format(key=book.key))
        plan = "\n".join(line for (line,) in cursor.fetchall())
    assert "feed_number_once" in plan
    assert "Sort" not in plan
    assert "InitPlan" in plan
    assert "current_setting" not in plan.split("InitPlan")[0]
