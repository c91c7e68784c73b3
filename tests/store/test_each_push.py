"""What is asked in plain statements is what the ORM answers, and what they keep it reads."""

from datetime import timedelta
from typing import Any

import pytest
from django.db import DatabaseError, connection
from django.db.models import Model

from nursery.services.limits import Limit
from nursery.store import each_push
from nursery.store.models import (
    DeviceRow,
    FeedRow,
    HeadRow,
    InstallRow,
    JobRow,
    LimitRow,
    NurseryRow,
    OutlookRow,
)
from nursery.store.scope import scope
from tests.store import apart
from tests.store.apart import NOW, OURS, THEIRS

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("both")]
SECOND = timedelta(seconds=1)
LIMIT = Limit("tries", 5, timedelta(minutes=10), timedelta(minutes=1))


@pytest.fixture
def both() -> None:
    """Two nurseries; in every table each has one row, with the same ids."""
    apart.fill(OURS)
    apart.fill(THEIRS)


@pytest.fixture
def key() -> int:
    return apart.key_of(OURS)


def told(row: Model | None) -> dict[str, Any]:
    assert row is not None
    return {field.attname: getattr(row, field.attname) for field in row._meta.concrete_fields}


def test_a_nursery_is_read_whole_and_none_by_a_name_that_none_has() -> None:
    NurseryRow.objects.filter(ident=OURS).update(demo=True)
    for ident, demo in ((OURS, True), (THEIRS, False)):
        row = each_push.nursery(ident)
        assert told(row) == told(NurseryRow.objects.get(ident=ident))
        assert row is not None
        assert row.demo is demo
    assert each_push.nursery("nowhere") is None


@pytest.mark.parametrize("lock", [False, True])
def test_a_head_is_read_and_moved_in_its_own_nursery_alone(key: int, *, lock: bool) -> None:
    theirs = told(HeadRow.objects.get(pk=apart.key_of(THEIRS)))
    with scope(OURS, write=True):
        row = each_push.head(key, lock=lock)
        assert told(row) == told(HeadRow.objects.get(pk=key))
        row.last_seq, row.chain, row.epoch = 2**40, "c" * 64, "not kept"
        each_push.keep_head(row)
    kept = HeadRow.objects.get(pk=key)
    assert (kept.last_seq, kept.chain) == (2**40, "c" * 64)
    assert kept.epoch != "not kept"
    assert told(HeadRow.objects.get(pk=apart.key_of(THEIRS))) == theirs


def test_what_is_not_there_is_an_error_to_read_and_to_keep(key: int) -> None:
    with scope(OURS, write=True):
        install = InstallRow.objects.get(nursery_id=key)
        install.pk = -1
        with pytest.raises(HeadRow.DoesNotExist):
            each_push.head(-1)
        with pytest.raises(DatabaseError):
            each_push.keep_head(HeadRow(nursery_id=-1))
        with pytest.raises(DatabaseError):
            each_push.keep_install(install)


@pytest.mark.parametrize(
    "change",
    [
        {},
        {"n_missing": [[3, 5], [9, 9]], "wrong_pins": {"p-1": 2, "ñ": 1}},
        {"persisted": True, "oldest_unsent_at": NOW + timedelta(microseconds=7)},
        {"skew_ms": -(2**40), "pulled_seq": 2**40},
        {"persisted": None, "oldest_unsent_at": None, "skew_ms": None, "last_seen_at": None},
    ],
)  # fmt: skip
def test_an_install_comes_back_as_it_was_kept(key: int, change: dict[str, Any]) -> None:
    theirs = told(InstallRow.objects.get(nursery_id=apart.key_of(THEIRS)))
    with scope(OURS, write=True):
        row = each_push.install(key, "same")
        assert told(row) == told(InstallRow.objects.get(nursery_id=key))
        assert row is not None
        for name, value in change.items():
            setattr(row, name, value)
        each_push.keep_install(row)
        again = each_push.install(key, "same")
    assert told(again) == told(row) == told(InstallRow.objects.get(nursery_id=key))
    assert told(InstallRow.objects.get(nursery_id=apart.key_of(THEIRS))) == theirs
    with scope(OURS):
        assert each_push.install(key, "another") is None


def test_a_phone_is_known_by_its_secret_shut_out_or_not() -> None:
    row = DeviceRow.objects.get(nursery__ident=OURS)
    assert each_push.phone(row.secret_hash) == (OURS, "same", True)
    DeviceRow.objects.filter(pk=row.pk).update(revoked_at=None)
    assert each_push.phone(row.secret_hash) == (OURS, "same", False)
    assert each_push.phone("nobody's") is None


def test_entries_and_links_are_found_in_their_own_nursery_by_id_and_number(key: int) -> None:
    [row] = FeedRow.objects.filter(nursery_id=key)
    with scope(OURS) as book:
        assert each_push.known(key, ["same", "other"]) == {}, "a row of another type is no entry"
        assert each_push.links(key, {row.seq, row.seq + 1}) == {row.seq: row.link}
        assert each_push.links(key, set()) == {}
        assert book.key == key
    name = 'a "quoted" ñ'
    more = {"id": None, "seq": row.seq + 1, "type": FeedRow.ENTRY, "ident": name}
    FeedRow.objects.create(**{**told(row), **more})
    theirs = {"nursery_id": apart.key_of(THEIRS), "hash": "e" * 64}
    FeedRow.objects.create(**{**told(row), **more, **theirs})
    with scope(OURS):
        asked = [name, "same"]
        assert each_push.known(key, asked) == {name: (row.seq + 1, row.hash)}
        assert each_push.known(key, []) == {}


EXPLAIN = {"sqlite": "EXPLAIN QUERY PLAN", "postgresql": "EXPLAIN"}


def test_entries_are_found_by_their_own_index_in_a_feed_that_nobody_counted(key: int) -> None:
    # Many more than fit into some pages, for which reading all of them would be the quicker way.
    [row] = FeedRow.objects.filter(nursery_id=key)
    fields = {**told(row), "id": None, "type": FeedRow.ENTRY}
    made = [{**fields, "seq": row.seq + n, "ident": f"entry-{n}"} for n in range(1, 3001)]
    FeedRow.objects.bulk_create(FeedRow(**one) for one in made)
    asked: list[tuple[str, Any]] = []

    def note(execute: Any, sql: Any, params: Any, *rest: Any) -> Any:
        # What the policies are told stands before it.
        asked.append((sql.split("; ")[-1], params))
        return execute(sql, params, *rest)

    with scope(OURS), connection.execute_wrapper(note):
        found = each_push.known(key, ["entry-7", "entry-9", "none"])
    assert found == {f"entry-{n}": (row.seq + n, row.hash) for n in (7, 9)}
    [(sql, params)] = asked
    with scope(OURS), connection.cursor() as cursor:
        cursor.execute(f"{EXPLAIN[connection.vendor]} {sql}", params)
        plan = " ".join(str(line[-1]) for line in cursor.fetchall())
    assert "feed_entry_once" in plan
    assert "feed_by" not in plan


@pytest.mark.parametrize(
    ("since", "used", "shut", "counts"),
    [
        (NOW - SECOND, 3, False, True),
        (NOW - SECOND, 4, False, False),
        (NOW - LIMIT.per, 0, False, False),
        (NOW, 0, False, True),
        (NOW + SECOND, 0, False, False),
        (NOW - SECOND, 0, True, False),
    ],
    ids=["fewer", "as many as may", "its time is over", "it begins", "not begun", "shut"],
)
def test_one_more_is_counted_within_its_time_and_number(
    since: Any, used: int, *, shut: bool, counts: bool
) -> None:
    until = NOW - SECOND if shut else None
    LimitRow.objects.create(what="tries", who="w", used=used, since=since, shut_until=until)
    LimitRow.objects.create(what="tries", who="other", used=0, since=NOW)
    assert each_push.one_more("tries", "w", NOW - LIMIT.per, NOW, 4) is counts
    assert LimitRow.objects.get(what="tries", who="w").used == used + counts
    assert LimitRow.objects.get(what="tries", who="other").used == 0
    assert each_push.may_be_shut("tries", "w") is shut
    assert not each_push.may_be_shut("tries", "nobody")


def test_an_outlook_is_marked_in_its_own_nursery(key: int) -> None:
    with scope(OURS, write=True):
        each_push.mark_outlook(key, 12)
        assert each_push.outlook_mark(key) == 12
    theirs = OutlookRow.objects.get(nursery_id=apart.key_of(THEIRS))
    assert theirs.stale_from == 7
    OutlookRow.objects.filter(nursery_id=key).update(stale_from=None)
    with scope(OURS):
        assert each_push.outlook_mark(key) is None
    OutlookRow.objects.filter(nursery_id=key).delete()
    with scope(OURS):
        assert each_push.outlook_mark(key) is None


@pytest.mark.parametrize(
    ("state", "due", "waits"),
    [
        (JobRow.NEW, NOW, True),
        (JobRow.NEW, NOW + SECOND, False),
        (JobRow.RUNNING, NOW, False),
        (JobRow.DONE, NOW, False),
    ],
)
def test_a_job_waits_that_is_new_and_due(key: int, state: str, due: Any, *, waits: bool) -> None:
    JobRow.objects.filter(nursery_id=key).update(state=state, kind="outlook", due_at=due)
    assert each_push.job_waits("outlook", key, NOW) is waits
    assert not each_push.job_waits("season", key, NOW)
    assert not each_push.job_waits("outlook", -1, NOW)
