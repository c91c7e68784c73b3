from datetime import UTC, datetime, timedelta

import orjson
import pytest

from nursery.services import nurseries, reading
from nursery.services.reading import PAGE
from nursery.store.models import CheckRow, SubjectRow
from nursery.store.scope import scope

NOW = datetime(2031, 3, 3, 2, tzinfo=UTC)

pytestmark = pytest.mark.django_db


@pytest.fixture
def nursery() -> str:
    nurseries.begin("veshmere", "Veshmere Terraces", "Etc/GMT-10")
    return "veshmere"


def check(key: int, name: str, opens: int, due: int | None, answered: str = "") -> CheckRow:
    return CheckRow(
        nursery_id=key,
        ident=name,
        kind="look_over",
        subject="b-1",
        opens_at=NOW + timedelta(days=opens),
        due_by=None if due is None else NOW + timedelta(days=due),
        answered_by=answered,
        text=orjson.dumps({"id": name}).decode(),
    )


def names(nursery: str, days: int = 0) -> list[str]:
    """Walk all pages of what is due within so many days."""
    found: list[str] = []
    after: str | None = ""
    while after is not None:
        page = reading.due(nursery, NOW + timedelta(days=days), after)
        found += [item["id"] for item in page.items]
        after = page.next
    return found


def test_what_is_due_comes_most_pressing_first_and_undated_last(nursery: str) -> None:
    with scope(nursery) as book:
        CheckRow.objects.bulk_create(
            [
                check(book.key, "no day yet", 0, None),
                check(book.key, "next week", -1, 7),
                check(book.key, "overdue", -9, -2),
                check(book.key, "done", -9, -2, answered="e-1"),
                check(book.key, "opens later", 3, 5),
            ]
        )
    assert names(nursery) == ["overdue", "next week", "no day yet"]
    assert names(nursery, days=3) == ["overdue", "opens later", "next week", "no day yet"]


def test_each_open_check_stands_on_one_page_alone(nursery: str) -> None:
    wanted = {f"c-{number:03}" for number in range(2 * PAGE + 7)}
    with scope(nursery) as book:
        CheckRow.objects.bulk_create(
            check(book.key, name, -1, None if name < "c-050" else 1) for name in wanted
        )
    found = names(nursery)
    assert sorted(found) == sorted(wanted)


def test_each_batch_stands_on_one_page_alone(nursery: str) -> None:
    with scope(nursery) as book:
        SubjectRow.objects.bulk_create(
            SubjectRow(
                nursery_id=book.key,
                type=SubjectRow.BATCH,
                ident=f"b-{number}",
                label=f"T{number % 3}",
                state=orjson.dumps(
                    {"id": f"b-{number}", "place": None, "crop": None, "consignment": None}
                ).decode(),
                as_of_seq=0,
            )
            for number in range(PAGE + 20)
        )
    first = reading._subjects(nursery, SubjectRow.BATCH, "", closed=False)
    assert first.next is not None
    second = reading._subjects(nursery, SubjectRow.BATCH, first.next, closed=False)
    assert second.next is None
    found = [item["id"] for item in first.items + second.items]
    assert sorted(found) == sorted(f"b-{number}" for number in range(PAGE + 20))
