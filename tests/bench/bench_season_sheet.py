"""The season sheet of 20 consignments from what is stored, and 30 years of weather by its job.

Run `python -m tests.bench.bench_season_sheet`. Goals: the sheet in under 300 ms, the job in under
1 500 ms.
"""

# ruff: noqa: PLC0415  Django is loaded once the database to measure is there

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from statistics import median
from time import perf_counter
from typing import Any

from tests.bench import fresh, table
from tests.phone import Writer

CONSIGNMENTS, TRAYS, PLANTS, TAGGED = 20, 6, 50, 5
YEARS, ROUNDS, AT_ONCE = 30, 7, 200
NOW = datetime(2031, 7, 30, 8, tzinfo=UTC)
PROFILE = {
    "id": "lime",
    "name": {"en": "Lime", "es": "Lima"},
    "botanical": "Citrus",
    "made_by": "budded",
    "nursery_weeks": {"low": 61, "high": 87},
    "least": {"height_cm": {"low": 45}, "collar_mm": {"low": 8}},
    "shade": [50, 30, 0],
    "toughening_weeks": {"low": 4},
    "litres": {"low": 2.5},
    "stages": {},
    "spacing_m": [],
    "pests": [],
}


def rows() -> dict[tuple[str, str], dict[str, Any]]:
    weeks = [{"first": "10-01", "last": "11-15"}, {"first": "03-01", "last": "03-31"}]
    found: dict[tuple[str, str], dict[str, Any]] = {
        ("nursery", "bench"): {"name": "Bench", "zone": "Etc/GMT-10", "planting": weeks},
        ("site", "site"): {"latitude": -17, "plants_per_day": 40, "cost_plant": 9, "cost_hour": 4},
        ("crop", "lime"): {"name": "Lime", "profile": PROFILE},
    }
    for i in range(CONSIGNMENTS):
        line = {"id": "a", "crop": "lime"}
        body = {"name": f"C {i}", "lines": [line], "without_conditions": True}
        found["consignment", f"c-{i}"] = body
    return found


def entries() -> list[str]:
    """Return the records of all trays: arrival, count, and four measurings of tagged plants."""
    writer = Writer("bench")
    for i in range(CONSIGNMENTS * TRAYS):
        name, came = f"b-{i}", NOW - timedelta(days=150)
        new = {"id": name, "label": f"T{i}", "place": "r-1"}
        body = {"consignment": f"c-{i // TRAYS}", "batches": [new]}
        writer.write("received", [name], body, came)
        counted = {"method": "full", "alive": PLANTS}
        writer.write("counted", [name], counted, came + timedelta(minutes=5))
        for weeks in (0, 5, 10, 15):
            plants = [
                {"tag": str(n), "height_cm": 15 + 0.8 * weeks + n, "collar_mm": 3.5 + weeks / 10}
                for n in range(TAGGED)
            ]
            at = came + timedelta(weeks=weeks, hours=1)
            writer.write("measured", [name], {"plants": plants}, at)
    return list(writer.written)


def fill(nursery: str, texts: list[str]) -> None:
    from nursery.domain.weather import Choices, invented
    from nursery.services import log, nurseries, weather
    from nursery.services import rows as kept
    from nursery.services.installs import Outbox

    nurseries.begin(nursery, nursery.title(), "Etc/GMT-10")
    for (kind, ident), body in rows().items():
        kept.put(nursery, kept.Row(kind, ident, None, body), NOW)
    box = Outbox("i-bench", "d-bench")
    for start in range(0, len(texts), AT_ONCE):
        log.receive(nursery, box, texts[start : start + AT_ONCE], NOW)
    file = weather.File(invented.csv(1, 2001, YEARS).encode(), Choices())
    weather.take(nursery, weather.Series("own", "Own", "", True), file, "", NOW)


def main() -> None:
    with fresh.database() as engine:
        from nursery.services import season
        from nursery.store.models import ForecastRow

        fill("bench", entries())
        fill("bare", [])
        spent: dict[str, list[float]] = {"weather": [], "all": [], "sheet": []}
        for _ in range(ROUNDS):
            ForecastRow.objects.all().delete()  # else the odds of the same weather are kept
            spent["weather"].append(_timed(lambda: season.materialise("bare", NOW)))
            spent["all"].append(_timed(lambda: season.materialise("bench", NOW)))
            spent["sheet"].append(_timed(lambda: season.read("bench", NOW)))
        items = season.read("bench", NOW)["items"]
        states = {one["readiness"]["state"] for one in items}
        took = {name: median(some) for name, some in spent.items()}
        print(f"{engine}: {len(items)} consignments of {TRAYS} trays, readiness {states}")
        what, weather, sheet = f"{YEARS} years of weather", took["weather"], took["sheet"]
        table.note(f"job, {what}", "1500 ms", f"{weather:.0f} ms", reached=weather <= 1500)
        print(f"job, with {len(items)} forecasts of growth {took['all']:8.0f} ms")
        what = f"season sheet of {len(items)} consignments"
        table.note(what, "300 ms", f"{sheet:.0f} ms", reached=sheet <= 300)


def _timed(what: Callable[[], object]) -> float:
    start = perf_counter()
    what()
    return 1000 * (perf_counter() - start)


if __name__ == "__main__":
    main()
