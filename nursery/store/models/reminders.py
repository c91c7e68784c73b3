"""Reminders: one row for each occurrence and person, one more for each attempt to reach them."""

from django.db import models

from nursery.store.models.book import NurseryRow


class ReminderRow(models.Model):
    """Something that somebody is to hear of.

    `wall` is what a clock in `zone` shows when it falls, `due_at` that instant; `next_at` is when
    somebody looks at it again, moved by quiet hours, null where nothing follows. Whoever works on
    it holds it until `lease_until`; `claim` tells one holding from the next.
    """

    id = models.BigAutoField(primary_key=True)
    nursery = models.ForeignKey(NurseryRow, models.CASCADE, db_index=False)
    ident = models.CharField(max_length=40)
    rule = models.CharField(max_length=40)
    occurrence = models.CharField(max_length=40)
    cause = models.CharField(max_length=40)
    person = models.CharField(max_length=64)
    role = models.CharField(max_length=16)
    escalated = models.BooleanField(default=False)
    urgent = models.BooleanField(default=False)
    code = models.CharField(max_length=60)
    params = models.JSONField(default=dict)
    subject_type = models.CharField(max_length=16, blank=True)
    subject = models.CharField(max_length=64, blank=True)
    wall = models.CharField(max_length=16)
    zone = models.CharField(max_length=64)
    due_at = models.DateTimeField()
    on = models.DateField(null=True)
    ends_at = models.DateTimeField(null=True)
    state = models.CharField(max_length=10)
    why = models.CharField(max_length=10, blank=True)
    next_at = models.DateTimeField(null=True)
    lease_until = models.DateTimeField(null=True)
    claim = models.IntegerField(default=0)
    made_at = models.DateTimeField()
    changed_at = models.DateTimeField()
    seen_at = models.DateTimeField(null=True)
    seen_by = models.CharField(max_length=64, blank=True)

    class Meta:
        db_table = "reminder"
        constraints = [
            models.UniqueConstraint(
                fields=["nursery", "rule", "occurrence", "person"], name="reminder_once"
            ),
            models.UniqueConstraint(fields=["nursery", "ident"], name="reminder_ident_once"),
        ]
        indexes = [
            models.Index(
                fields=["nursery", "next_at"],
                condition=models.Q(next_at__isnull=False),
                name="reminder_next",
            ),
            models.Index(fields=["nursery", "due_at"], name="reminder_by_day"),
        ]


class ReminderAttemptRow(models.Model):
    """One try to reach one person by one channel: there is never a second one.

    But for a letter that a server will take later, which was not sent for sure: `tries` counts.
    `message` is shared by all that went out as one digest.
    """

    id = models.BigAutoField(primary_key=True)
    nursery = models.ForeignKey(NurseryRow, models.CASCADE, db_index=False)
    reminder = models.ForeignKey(ReminderRow, models.CASCADE, related_name="attempts")
    channel = models.CharField(max_length=8)
    state = models.CharField(max_length=8)
    message = models.CharField(max_length=40)
    at = models.DateTimeField()
    answered_at = models.DateTimeField(null=True)
    tries = models.SmallIntegerField(default=1, db_default=1)

    class Meta:
        db_table = "reminder_attempt"
        constraints = [
            models.UniqueConstraint(fields=["reminder", "channel"], name="reminder_attempt_once")
        ]


class ReminderSettingRow(models.Model):
    """How a nursery, or one person of it, wants to be reminded; no `person` is the nursery."""

    id = models.BigAutoField(primary_key=True)
    nursery = models.ForeignKey(NurseryRow, models.CASCADE, db_index=False)
    person = models.CharField(max_length=64, blank=True)
    said = models.JSONField(default=dict)

    class Meta:
        db_table = "reminder_setting"
        constraints = [
            models.UniqueConstraint(fields=["nursery", "person"], name="reminder_setting_once")
        ]
