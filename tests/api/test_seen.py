"""Who looked at or took away what: written down, kept as it is, shortened at its end alone."""

import json
from datetime import timedelta

import pytest
from django.db import DatabaseError, transaction

from nursery.services import access, clock
from nursery.store import append_only
from nursery.store.models import AccessRow
from tests.api.conftest import NOW, PASSWORD, Cast

pytestmark = pytest.mark.usefixtures("everybody")


def lines(cast: Cast, query: str = "") -> list[tuple[str, str, str]]:
    items = cast.grower.get(f"/api/v1/access{query}").json()["items"]
    return [(item["did"], item["role"], item["of"]) for item in items]


def test_what_people_do_at_the_door_is_told(cast: Cast) -> None:
    told = lines(cast)
    assert ("signed_in", "grower", "") in told
    assert [did for did, role, _ in told if role == "inspector"] == ["link_opened", "link_opened"]


def test_a_wrong_password_is_told_and_neither_it_nor_the_address_is_kept(cast: Cast) -> None:
    body = {"email": "ana@veshmere.invalid", "password": "not-mine-77"}
    cast.nobody.post("/api/v1/session", json.dumps(body), content_type="application/json")
    body["email"] = "nobody@veshmere.invalid"
    cast.nobody.post("/api/v1/session", json.dumps(body), content_type="application/json")
    assert lines(cast)[0][0] == "sign_in_failed"
    assert [did for did, *_ in lines(cast)].count("sign_in_failed") == 1
    kept = repr(list(AccessRow.objects.values()))
    assert "not-mine-77" not in kept
    assert "@" not in kept
    assert PASSWORD not in kept


@pytest.mark.usefixtures("tray")
def test_what_is_printed_or_saved_is_told_with_its_address(cast: Cast) -> None:
    cast.grower.post(
        "/api/v1/labels", json.dumps({"batches": ["b-1"]}), content_type="application/json"
    )
    assert lines(cast)[0] == ("taken_away", "grower", "labels")
    cast.inspector.get("/api/v1/trace.pdf?of=batch:b-1")
    assert lines(cast)[0] == ("taken_away", "inspector", "trace.pdf")
    cast.grower.get("/api/v1/consignments/none/file.pdf")
    assert lines(cast)[0] == ("taken_away", "inspector", "trace.pdf")


def test_the_list_is_that_of_a_person_or_of_a_day(cast: Cast) -> None:
    cast.grower.put(
        "/api/v1/rows/person/p-2",
        json.dumps({"rev": 0, "body": {"name": "Two", "role": "worker"}}),
        content_type="application/json",
    )
    assert lines(cast)[0] == ("person_changed", "grower", "p-2")
    assert {did for did, *_ in lines(cast, "?person=p-g")} == {"signed_in", "person_changed"}
    # The clock stands at noon of the 3rd in the nursery's zone.
    assert lines(cast, "?on=2031-03-03") == lines(cast)
    assert lines(cast, "?on=2031-03-04") == []
    assert cast.grower.get("/api/v1/access?on=x").status_code == 400
    assert cast.grower.get("/api/v1/access?after=x").status_code == 400


def test_no_line_is_changed_and_only_the_oldest_goes(cast: Cast) -> None:
    rows = AccessRow.objects.filter(nursery__ident="veshmere").order_by("pk")
    for change in (lambda: rows.update(did="x"), rows.reverse()[0].delete):
        with pytest.raises(DatabaseError, match=append_only.ACCESS_REFUSAL), transaction.atomic():
            change()
    first = rows.first()
    assert first is not None
    first.delete()


def test_what_is_older_than_the_nursery_keeps_it_goes(cast: Cast) -> None:
    rows = AccessRow.objects.filter(nursery__ident="veshmere")
    there = rows.count()
    assert there
    assert access.shorten("veshmere", NOW + timedelta(days=35 * 30)) == 0
    assert access.shorten("veshmere", NOW + timedelta(days=37 * 31)) == there
    assert rows.count() == 0
    assert clock.now() == NOW
