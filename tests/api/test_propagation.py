"""What a batch's own records tell of its seed and its grafts, asked of the office."""

from datetime import timedelta
from typing import Any

from tests.api.conftest import NOW, Cast
from tests.phone import Writer


def told(cast: Cast, batch: str) -> Any:
    return cast.grower.get(f"/api/v1/batches/{batch}").json()["propagation"]


def push(cast: Cast, writer: Writer, days: int, kind: str, **body: Any) -> None:
    """Write of seedbed b-9, so many days ago."""
    cast.phone.push(writer.write(kind, ["b-9"], body, NOW - timedelta(days=days)))


def test_seed_is_told_in_per_cent_with_its_days(cast: Cast, writer: Writer) -> None:
    batch = {"id": "b-9", "label": "T9", "crop": "Mango"}
    push(cast, writer, 30, "sown", batch=batch, seeds=50)
    assert told(cast, "b-9") is None
    push(cast, writer, 20, "emerged", total=10)
    push(cast, writer, 10, "emerged", total=30, abnormal=2)
    figures = told(cast, "b-9")["germination"]
    assert (figures["sown"], figures["percent"], figures["abnormal"]) == (50, 60.0, 2)
    assert figures["curve"] == [{"day": 10, "total": 10}, {"day": 20, "total": 30}]
    assert (figures["first_day"], figures["last_day"], figures["half_day"]) == (10, 20, 12.5)


def test_grafts_are_told_with_what_took_and_how_sure_that_is(
    cast: Cast, tray: str, writer: Writer
) -> None:
    body = {"method": "grafted", "plants": 40, "operator": "w2", "rootstock_mm": 7}
    worked = writer.write("worked", [tray], body, NOW - timedelta(days=40))
    cast.phone.push(worked)
    assert told(cast, tray)["take"] == {
        "worked": 40,
        "all": None,
        "by_rootstock": [],
        "by_operator": [],
    }
    count = {"took": 32, "failed": 8}
    cast.phone.push(writer.write("took", [tray], count, NOW - timedelta(days=5)))
    share = {"took": 32, "of": 40, "percent": 80.0, "low": 65.2, "high": 89.5}
    take = told(cast, tray)["take"]
    assert take["all"] == share
    assert take["by_rootstock"] == [{"name": "6-8", **share}]
    assert take["by_operator"] == [{"name": "w2", **share}]
