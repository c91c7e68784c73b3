"""What a version before kept of a batch lacks what this one keeps: an upgrade folds it anew."""

from datetime import timedelta
from typing import Any

import orjson
from django.apps import apps
from django.db import connection

from nursery.services import refold
from nursery.store.migrations._anew import mark
from nursery.store.models import SubjectRow
from tests.api.conftest import NOW, Cast
from tests.phone import Writer


def of_the_version_before(row: SubjectRow) -> None:
    state = orjson.loads(row.state)
    state["record"]["happenings"] = []
    row.state = orjson.dumps(state).decode()
    row.save()


def told(cast: Cast) -> Any:
    return cast.grower.get("/api/v1/batches/b-9").json()["propagation"]


def test_what_was_written_before_an_upgrade_is_told_after_it(cast: Cast, writer: Writer) -> None:
    batch = {"id": "b-9", "label": "T9", "crop": "Mango"}
    body = {"batch": batch, "seeds": 50}
    cast.phone.push(writer.write("sown", ["b-9"], body, NOW - timedelta(days=30)))
    cast.phone.push(writer.write("emerged", ["b-9"], {"total": 30}, NOW - timedelta(days=10)))
    of_the_version_before(SubjectRow.objects.get(ident="b-9"))
    assert told(cast) is None
    mark(apps, connection.schema_editor())
    assert told(cast)["germination"]["percent"] == 60.0
    nursery = SubjectRow.objects.get(ident="b-9").nursery.ident
    assert refold.stale(nursery) > 0
    assert refold.differences(nursery) == []
    assert told(cast)["germination"]["percent"] == 60.0
