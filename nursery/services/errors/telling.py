"""Of reminders, pushes and calendars."""

from nursery.services.errors.refused import Refused


class PushNotSetUp(Refused):
    code = "push_not_set_up"
    status = 503


class PushAddressUnfit(Refused):
    code = "push_address_unfit"
    status = 422


class CalendarAskedOften(Refused):
    code = "calendar_asked_often"
    status = 429


class ReminderSettingUnusable(Refused):
    code = "reminder_setting_unusable"
    status = 422
