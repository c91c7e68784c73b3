"""The one door to a nursery's rows.

    with scope(ident) as book:               # to read: no transaction
    with scope(ident, write=True) as book:   # to write: one transaction, committed at the end

Everything that hangs from `book` is of that nursery alone. Until its end the scope also names the
nursery to PostgreSQL, whose policies then show and take no row of another (`isolation`). What is
read must be read by then; who streams asks for each piece in the scope anew (`Scope.each`).
"""

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from typing import TypeVar, cast
from zoneinfo import ZoneInfo

from django.db.models import QuerySet

from nursery.store import each_push, isolation, models
from nursery.store.turns import writing


class NoSuchNursery(LookupError):
    """No nursery has this name."""


T = TypeVar("T")
_END = object()


class Scope:
    """One nursery's rows, table by table."""

    def __init__(self, nursery: models.NurseryRow) -> None:
        self.nursery = nursery
        self.key = nursery.pk
        self.ident = nursery.ident
        self.zone = ZoneInfo(nursery.zone)

    @contextmanager
    def named(self) -> Iterator[None]:
        """Name the nursery to the database until the end."""
        with isolation.saying(nursery=str(self.key), everything=""):
            yield

    @contextmanager
    def writing(self) -> Iterator[None]:
        """Write in one transaction, committed at the end."""
        with writing(), self.named():
            yield

    def each(self, source: Iterable[T]) -> Iterator[T]:
        """Yield what `source` reads, naming the nursery only while it reads."""
        left = iter(source)
        while True:
            with self.named():
                found = next(left, _END)
            if found is _END:
                return
            yield cast("T", found)

    @property
    def head(self) -> models.HeadRow:
        return each_push.head(self.key)

    def lock_head(self) -> models.HeadRow:
        """Take the head for this transaction. On SQLite the writer already is the only one."""
        return each_push.head(self.key, lock=True)

    @property
    def feed(self) -> QuerySet[models.FeedRow]:
        return models.FeedRow.objects.filter(nursery_id=self.key)

    @property
    def entries(self) -> QuerySet[models.FeedRow]:
        return self.feed.filter(type=models.FeedRow.ENTRY)

    @property
    def refs(self) -> QuerySet[models.RefRow]:
        return models.RefRow.objects.filter(nursery_id=self.key)

    @property
    def subjects(self) -> QuerySet[models.SubjectRow]:
        return models.SubjectRow.objects.filter(nursery_id=self.key)

    @property
    def kept_raw(self) -> QuerySet[models.KeptRawRow]:
        return models.KeptRawRow.objects.filter(nursery_id=self.key)

    @property
    def checks(self) -> QuerySet[models.CheckRow]:
        return models.CheckRow.objects.filter(nursery_id=self.key)

    @property
    def outlooks(self) -> QuerySet[models.OutlookRow]:
        return models.OutlookRow.objects.filter(nursery_id=self.key)

    @property
    def devices(self) -> QuerySet[models.DeviceRow]:
        return models.DeviceRow.objects.filter(nursery_id=self.key)

    @property
    def installs(self) -> QuerySet[models.InstallRow]:
        return models.InstallRow.objects.filter(nursery_id=self.key)

    @property
    def links(self) -> QuerySet[models.LinkRow]:
        return models.LinkRow.objects.filter(nursery_id=self.key)

    @property
    def link_reads(self) -> QuerySet[models.LinkReadRow]:
        return models.LinkReadRow.objects.filter(nursery_id=self.key)

    @property
    def accesses(self) -> QuerySet[models.AccessRow]:
        return models.AccessRow.objects.filter(nursery_id=self.key)

    @property
    def invites(self) -> QuerySet[models.InviteRow]:
        return models.InviteRow.objects.filter(nursery_id=self.key)

    @property
    def uploads(self) -> QuerySet[models.UploadRow]:
        return models.UploadRow.objects.filter(nursery_id=self.key)

    @property
    def photos(self) -> QuerySet[models.PhotoRow]:
        return models.PhotoRow.objects.filter(nursery_id=self.key)

    @property
    def weather_series(self) -> QuerySet[models.WeatherSeriesRow]:
        return models.WeatherSeriesRow.objects.filter(nursery_id=self.key)

    @property
    def weather_years(self) -> QuerySet[models.WeatherYearRow]:
        return models.WeatherYearRow.objects.filter(nursery_id=self.key)

    @property
    def forecasts(self) -> QuerySet[models.ForecastRow]:
        return models.ForecastRow.objects.filter(nursery_id=self.key)

    @property
    def pushes(self) -> QuerySet[models.PushRow]:
        return models.PushRow.objects.filter(nursery_id=self.key)

    @property
    def calendar_links(self) -> QuerySet[models.CalendarLinkRow]:
        return models.CalendarLinkRow.objects.filter(nursery_id=self.key)

    @property
    def calendars(self) -> QuerySet[models.CalendarRow]:
        return models.CalendarRow.objects.filter(nursery_id=self.key)

    @property
    def reminders(self) -> QuerySet[models.ReminderRow]:
        return models.ReminderRow.objects.filter(nursery_id=self.key)

    @property
    def reminder_attempts(self) -> QuerySet[models.ReminderAttemptRow]:
        return models.ReminderAttemptRow.objects.filter(nursery_id=self.key)

    @property
    def reminder_settings(self) -> QuerySet[models.ReminderSettingRow]:
        return models.ReminderSettingRow.objects.filter(nursery_id=self.key)


@contextmanager
def scope(ident: str, *, write: bool = False) -> Iterator[Scope]:
    """Open the rows of nursery `ident`.

    Raises:
        NoSuchNursery: no nursery is called so.
    """
    row = each_push.nursery(ident)
    if row is None:
        raise NoSuchNursery(ident)
    book = Scope(row)
    with book.writing() if write else book.named():
        yield book
