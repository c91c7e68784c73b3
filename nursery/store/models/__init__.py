"""The tables. Every row's name ends in Row, so that a value and its row are never mixed up."""

from nursery.store.models.access import AccessRow, LimitRow
from nursery.store.models.accounts import (
    Account,
    DeviceRow,
    InstallRow,
    InviteRow,
    MembershipRow,
)
from nursery.store.models.book import AboutRow, FeedRow, HeadRow, KeptRawRow, NurseryRow
from nursery.store.models.jobs import BackupRow, BeatRow, JobRow
from nursery.store.models.links import LinkReadRow, LinkRow
from nursery.store.models.outside import CalendarLinkRow, CalendarRow, PushRow
from nursery.store.models.read import CheckRow, OutlookRow, RefRow, SubjectRow
from nursery.store.models.reminders import ReminderAttemptRow, ReminderRow, ReminderSettingRow
from nursery.store.models.season import ForecastRow, WeatherSeriesRow, WeatherYearRow
from nursery.store.models.sessions import SessionRow
from nursery.store.models.uploads import PhotoRow, UploadRow

__all__ = [
    "AboutRow",
    "AccessRow",
    "Account",
    "BackupRow",
    "BeatRow",
    "CalendarLinkRow",
    "CalendarRow",
    "CheckRow",
    "DeviceRow",
    "FeedRow",
    "ForecastRow",
    "HeadRow",
    "InstallRow",
    "InviteRow",
    "JobRow",
    "KeptRawRow",
    "LimitRow",
    "LinkReadRow",
    "LinkRow",
    "MembershipRow",
    "NurseryRow",
    "OutlookRow",
    "PhotoRow",
    "PushRow",
    "RefRow",
    "ReminderAttemptRow",
    "ReminderRow",
    "ReminderSettingRow",
    "SessionRow",
    "SubjectRow",
    "UploadRow",
    "WeatherSeriesRow",
    "WeatherYearRow",
]
