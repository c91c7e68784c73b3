"""What leads out of the house: browsers that take pushes, calendars that are subscribed to."""

from django.db import models

from nursery.store.models.book import NurseryRow


class PushRow(models.Model):
    """A browser on a phone that shows what one person is told. `gone_at`: it takes no more.

    A phone that several people share has a row for each of them.
    """

    nursery = models.ForeignKey(NurseryRow, models.CASCADE)
    person = models.CharField(max_length=64)
    device = models.CharField(max_length=64)
    endpoint = models.TextField()
    endpoint_hash = models.CharField(max_length=64)
    p256dh = models.CharField(max_length=100)
    auth = models.CharField(max_length=40)
    made_at = models.DateTimeField()
    gone_at = models.DateTimeField(null=True)
    gone_why = models.CharField(max_length=40, blank=True)

    class Meta:
        db_table = "push"
        constraints = [
            models.UniqueConstraint(fields=["nursery", "person", "endpoint_hash"], name="push_once")
        ]


class CalendarLinkRow(models.Model):
    """An address at which one person's calendar reads; its secret is kept as a hash.

    `asked` counts how often it was read since `asked_since`.
    """

    nursery = models.ForeignKey(NurseryRow, models.CASCADE)
    ident = models.CharField(max_length=64)
    name = models.CharField(max_length=120)
    person = models.CharField(max_length=64, blank=True)
    language = models.CharField(max_length=8)
    secret_hash = models.CharField(max_length=64, unique=True)
    made_at = models.DateTimeField()
    ended_at = models.DateTimeField(null=True)
    read_at = models.DateTimeField(null=True)
    asked_since = models.DateTimeField(null=True)
    asked = models.IntegerField(default=0)

    class Meta:
        db_table = "calendar_link"
        constraints = [
            models.UniqueConstraint(fields=["nursery", "ident"], name="calendar_link_once")
        ]


class CalendarRow(models.Model):
    """What calendars were told last, so that a change of it has a higher number (RFC 5545)."""

    nursery = models.OneToOneField(NurseryRow, models.CASCADE, primary_key=True)
    text = models.TextField()

    class Meta:
        db_table = "calendar"
