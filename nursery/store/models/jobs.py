"""Work to be done later: the rows are the queue of record, messages only wake somebody up."""

from django.db import models

from nursery.store.models.book import NurseryRow


class JobRow(models.Model):
    """One piece of work. `key` is unique, so writing it twice is writing it once.

    `attempts` tells one claim of the row from the next; `sent_at` is when a worker was last told of
    it; a job that must not be done twice is `unknown` once a worker died on it.
    """

    NEW = "new"
    RUNNING = "running"
    DONE = "done"
    FAILED = "failed"
    UNKNOWN = "unknown"

    id = models.BigAutoField(primary_key=True)
    nursery = models.ForeignKey(NurseryRow, models.CASCADE, null=True)
    kind = models.CharField(max_length=40)
    key = models.CharField(max_length=200, unique=True)
    params = models.JSONField(default=dict)
    state = models.CharField(max_length=8, default=NEW)
    due_at = models.DateTimeField()
    lease_until = models.DateTimeField(null=True)
    sent_at = models.DateTimeField(null=True)
    attempts = models.IntegerField(default=0)
    told = models.TextField(blank=True)
    made_at = models.DateTimeField()
    ended_at = models.DateTimeField(null=True)

    class Meta:
        db_table = "job"
        indexes = [
            models.Index(
                fields=["due_at"],
                condition=models.Q(state__in=["new", "running"]),
                name="job_open",
            )
        ]


class BeatRow(models.Model):
    """When a tick last came, per name: a beat that stopped is seen by its silence."""

    name = models.CharField(max_length=40, unique=True)
    at = models.DateTimeField()

    class Meta:
        db_table = "beat"


class BackupRow(models.Model):
    """A backup, and whether it was restored and verified before anybody called it one.

    `trial_seconds` is how long bringing it back took. `photos` lie beside it, each found to be
    whole; `photos_lacking` could not be brought there.
    """

    id = models.BigAutoField(primary_key=True)
    file = models.CharField(max_length=300)
    made_at = models.DateTimeField()
    tested_at = models.DateTimeField(null=True)
    heads = models.JSONField(default=dict)
    bytes = models.BigIntegerField(default=0)
    trial_seconds = models.FloatField(null=True)
    fault = models.TextField(blank=True)
    photos = models.IntegerField(default=0)
    photos_lacking = models.IntegerField(default=0)

    class Meta:
        db_table = "backup"
