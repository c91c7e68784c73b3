"""Odds and forecasts follow what they rest on, and no change is lost while they are made."""

import json
from collections.abc import Callable, Iterator
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest

from nursery.domain.season_sheet import odds, readiness
from nursery.domain.weather import invented
from nursery.domain.weather.shown import Choices
from nursery.services import log, nurseries, outlook, refold, rows, season, weather
from nursery.services.installs import Outbox
from nursery.store.models import ForecastRow, JobRow
from tests.domain.test_toughening_course import PROFILE
from tests.phone import Writer

NOW = datetime(2031, 9, 1, 2, tzinfo=UTC)
BOX = Outbox(install="i-a", device="d-a")
CROP = {"name": "Lime", "profile": {**PROFILE, "least": {"height_cm": {"low": 30}}}}
HEIGHTS = (18, 19, 20, 21, 22, 23)

pytestmark = pytest.mark.django_db


class Nursery:
    """Forty seedlings of one crop, measured on two days, and a phone that writes of them."""

    def __init__(self) -> None:
        self.phone = Writer("a")
        nurseries.begin("veshmere", "Veshmere Terraces", "Etc/GMT-10")
        self.row("crop", "lime", CROP)
        new = {"id": "s", "label": "S", "crop": "lime"}
        self.says("sown", {"batch": new, "seeds": 40}, date(2031, 3, 3))
        self.says("emerged", {"total": 40}, date(2031, 3, 20))
        self.measured(date(2031, 7, 1))
        self.last = self.measured(date(2031, 8, 1), 6)

    def row(self, kind: str, ident: str, body: dict[str, Any]) -> None:
        rows.put("veshmere", rows.Row(kind, ident, None, body), NOW)

    def says(self, kind: str, body: dict[str, Any], on: date, *about: str, **more: Any) -> str:
        at = datetime.combine(on, NOW.timetz())
        text = self.phone.write(kind, about or ["s"], body, at, **more)
        log.receive("veshmere", BOX, [text], NOW)
        return str(json.loads(text)["id"])

    def measured(self, on: date, taller: float = 0, batch: str = "s") -> str:
        plants = [{"tag": str(i), "height_cm": one + taller} for i, one in enumerate(HEIGHTS)]
        return self.says("measured", {"plants": plants}, on, batch)

    def sky(self, seed: int) -> None:
        days = invented.csv(seed, 2001, 12).encode()
        file = weather.File(days, Choices())
        weather.take("veshmere", weather.Series("own", "Own"), file, "p-g", NOW)

    def works_out(self) -> None:
        """Do what waits, as a worker does: the row is claimed before the book is read."""
        JobRow.objects.filter(kind="season").update(state=JobRow.DONE)
        season.materialise("veshmere", NOW)

    @property
    def told(self) -> dict[str, Any]:
        return season.read("veshmere", NOW)

    @property
    def ready(self) -> dict[str, Any]:
        [found] = self.told["items"]
        return dict(found["readiness"])


@pytest.fixture
def nursery() -> Iterator[Nursery]:
    made = Nursery()
    made.works_out()
    yield made
    assert refold.differences("veshmere") == []


@pytest.fixture
def runs(nursery: Nursery, monkeypatch: pytest.MonkeyPatch) -> list[Callable[[], None]]:
    """What happens while forecasts are being made, and one `None` in place of each that was."""
    waiting: list[Any] = []
    make = readiness.of_book

    def made(book: Any) -> Any:
        found = make(book)
        waiting.append(None)
        while waiting[0] is not None:
            waiting.pop(0)()
        return found

    monkeypatch.setattr(readiness, "of_book", made)
    return waiting


def jobs() -> int:
    return JobRow.objects.filter(kind="season").count()


def test_forecasts_that_nothing_has_touched_are_fresh(nursery: Nursery) -> None:
    assert (nursery.ready["state"], nursery.told["stale"]) == ("forecast", False)


def withdraw(nursery: Nursery) -> None:
    nursery.says("withdrawn", {"saw": nursery.last}, date(2031, 8, 2), corrects=nursery.last)


def sow_more(nursery: Nursery) -> None:
    new = {"id": "s2", "label": "S2", "crop": "lime"}
    nursery.says("sown", {"batch": new, "seeds": 9}, date(2031, 8, 2), "s2")


def split(nursery: Nursery) -> None:
    child = {"id": "s2", "label": "S2", "count": 10}
    body = {"parents": [{"id": "s", "left": 30}], "children": [child]}
    nursery.says("split", body, date(2031, 8, 2), "s", "s2")


CHANGES: dict[str, Callable[[Nursery], object]] = {
    "more is measured": lambda nursery: nursery.measured(date(2031, 8, 20), 12),
    "a measuring is withdrawn": withdraw,
    "more is sown": sow_more,
    "a batch is split": split,
    "the crop asks more": lambda nursery: nursery.row("crop", "lime", {**CROP, "name": "Limes"}),
    "the share of a site": lambda nursery: nursery.row(
        "site", "site", {"latitude": -17, "fit_share": 0.5}
    ),
    "weather came in": lambda nursery: nursery.sky(1),
}


@pytest.mark.parametrize("change", CHANGES.values(), ids=CHANGES)
def test_what_forecasts_rest_on_makes_them_stale_and_asks_for_a_job(
    nursery: Nursery, change: Callable[[Nursery], object]
) -> None:
    before = jobs()
    change(nursery)
    assert (nursery.told["stale"], jobs()) == (True, before + 1)
    nursery.works_out()
    assert not nursery.told["stale"]


def test_while_a_job_waits_no_other_is_written(nursery: Nursery) -> None:
    """A morning of many phones would else fill the queue, and reminders would wait behind it."""
    before = jobs()
    for day in range(1, 20):
        nursery.measured(date(2031, 8, day), day)
    assert (nursery.told["stale"], jobs()) == (True, before + 1)
    nursery.works_out()
    assert not nursery.told["stale"]


def test_a_line_that_took_the_job_at_work_for_a_waiting_one_is_not_lost(
    nursery: Nursery, runs: list[Any]
) -> None:
    """It was claimed between the look of the push and its commit, and had read the book."""
    nursery.measured(date(2031, 8, 20), 12)
    before = jobs()

    def measured_meanwhile() -> None:
        JobRow.objects.filter(kind="season").update(state=JobRow.NEW)
        nursery.measured(date(2031, 8, 30), 30)
        assert jobs() == before
        JobRow.objects.filter(kind="season").update(state=JobRow.RUNNING)

    runs.append(measured_meanwhile)
    nursery.works_out()
    assert (nursery.told["stale"], jobs()) == (True, before + 1)
    nursery.works_out()
    assert not nursery.told["stale"]


def test_what_they_do_not_rest_on_leaves_them(nursery: Nursery) -> None:
    before = jobs()
    nursery.says("noted", {"text": "cool nights"}, date(2031, 8, 20))
    nursery.row("person", "p-9", {"name": "Ilsa", "role": "worker"})
    assert (nursery.told["stale"], jobs()) == (False, before)


def test_a_measuring_that_is_withdrawn_counts_no_longer(nursery: Nursery) -> None:
    withdraw(nursery)
    nursery.works_out()
    assert nursery.ready["state"] == "not_enough"
    assert not ForecastRow.objects.filter(kind=outlook.READINESS).exists()


def test_of_several_jobs_that_wait_the_first_does_it_for_all(
    nursery: Nursery, runs: list[Any]
) -> None:
    nursery.measured(date(2031, 8, 20), 12)
    nursery.measured(date(2031, 8, 30), 15)
    nursery.works_out()
    nursery.works_out()
    assert runs == [None]
    assert not nursery.told["stale"]


def test_what_is_measured_while_they_are_made_is_made_anew(
    nursery: Nursery, runs: list[Any]
) -> None:
    nursery.measured(date(2031, 8, 20), 12)
    runs.append(lambda: nursery.measured(date(2031, 8, 30), 30))
    nursery.works_out()
    first = nursery.ready["day"]
    assert nursery.told["stale"]
    nursery.works_out()
    assert not nursery.told["stale"]
    assert nursery.ready["day"] < first


def test_weather_that_is_replaced_while_odds_are_made_of_the_old_is_not_lost(
    nursery: Nursery, runs: list[Any]
) -> None:
    nursery.row("site", "site", {"latitude": -17})
    nursery.sky(1)

    def replace() -> None:
        weather.forget("veshmere", "own", NOW)
        nursery.sky(2)

    runs.append(replace)
    nursery.works_out()
    assert nursery.told["stale"]
    assert nursery.told["odds"] is None  # nothing is told of weather that is gone
    nursery.works_out()
    assert not nursery.told["stale"]
    second = nursery.told["odds"]
    weather.forget("veshmere", "own", NOW + timedelta(hours=1))
    nursery.works_out()
    assert (nursery.told["weather"], nursery.told["odds"]) == (None, None)
    nursery.sky(2)
    nursery.works_out()
    assert nursery.told["odds"] == second


def test_what_came_before_the_first_was_made_is_asked_for(
    nursery: Nursery, runs: list[Any]
) -> None:
    """Nothing was there yet to be marked as stale."""
    ForecastRow.objects.all().delete()
    runs.append(lambda: nursery.measured(date(2031, 8, 30), 30))
    nursery.works_out()
    assert nursery.told["stale"]
    nursery.works_out()
    assert not nursery.told["stale"]


def test_a_later_job_is_not_overtaken_by_an_earlier_one(nursery: Nursery, runs: list[Any]) -> None:
    nursery.measured(date(2031, 8, 20), 12)

    def later() -> None:
        nursery.measured(date(2031, 8, 30), 30)
        nursery.works_out()

    runs.append(later)
    nursery.works_out()
    kept = ForecastRow.objects.get(kind=outlook.READINESS)
    ForecastRow.objects.update(stale_from=0)
    nursery.works_out()
    assert ForecastRow.objects.get(kind=outlook.READINESS).text == kept.text
    assert not nursery.told["stale"]


def test_odds_that_were_made_of_the_same_days_are_kept(
    nursery: Nursery, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A price is no demand of the plants; another hole is."""
    nursery.row("site", "site", {"latitude": -17})
    nursery.sky(1)
    nursery.works_out()
    made: list[Any] = []

    def anew(*of: Any) -> dict[str, Any]:
        made.append(of)
        return {"days": []}

    monkeypatch.setattr(odds, "of_years", anew)
    nursery.row("site", "site", {"latitude": -17, "cost_plant": 3, "currency": "CLD"})
    nursery.works_out()
    assert (made, len(nursery.told["odds"]["days"])) == ([], 366)
    nursery.row("site", "site", {"latitude": -17, "hole_cm": 60})
    nursery.works_out()
    assert len(made) == 1
