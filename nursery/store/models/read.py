"""What follows from the book, kept so that a list is quick: any of it can be folded anew.

`stale_from` is the feed number from which a state no longer tells everything; a reader folds such a
row on the fly and a job brings it up to date.
"""

from django.db import models

from nursery.store.models.book import NurseryRow


class RefRow(models.Model):
    """The latest revision of a row of reference data: people, places, permits and the like."""

    id = models.BigAutoField(primary_key=True)
    nursery = models.ForeignKey(NurseryRow, models.DO_NOTHING, db_index=False)
    type = models.CharField(max_length=40)
    ident = models.CharField(max_length=64)
    rev = models.BigIntegerField()
    seq = models.BigIntegerField()
    text = models.TextField()
    gone = models.BooleanField(default=False)

    class Meta:
        db_table = "ref"
        constraints = [
            models.UniqueConstraint(fields=["nursery", "type", "ident"], name="ref_once")
        ]


class SubjectRow(models.Model):
    """The folded state of a batch or a place, as JSON, with the columns that lists sort by."""

    BATCH = "batch"
    PLACE = "place"

    id = models.BigAutoField(primary_key=True)
    nursery = models.ForeignKey(NurseryRow, models.DO_NOTHING, db_index=False)
    type = models.CharField(max_length=8)
    ident = models.CharField(max_length=64)
    label = models.CharField(max_length=64, blank=True)
    place = models.CharField(max_length=64, blank=True)
    consignment = models.CharField(max_length=64, blank=True)
    alive = models.BigIntegerField(null=True)
    closed = models.BooleanField(default=False)
    doubts = models.IntegerField(default=0)
    state = models.TextField()
    as_of_seq = models.BigIntegerField()
    stale_from = models.BigIntegerField(null=True)

    class Meta:
        db_table = "subject"
        constraints = [
            models.UniqueConstraint(fields=["nursery", "type", "ident"], name="subject_once")
        ]
        indexes = [
            models.Index(
                fields=["nursery", "stale_from"],
                condition=models.Q(stale_from__isnull=False),
                name="subject_stale",
            ),
            models.Index(
                fields=["nursery", "ident"],
                condition=models.Q(doubts__gt=0),
                name="subject_doubtful",
            ),
        ]


class CheckRow(models.Model):
    """A check that falls due, worked out from dated terms. Overdue is a comparison, not a state."""

    id = models.BigAutoField(primary_key=True)
    nursery = models.ForeignKey(NurseryRow, models.DO_NOTHING, db_index=False)
    ident = models.CharField(max_length=160)
    kind = models.CharField(max_length=40)
    subject = models.CharField(max_length=64)
    opens_at = models.DateTimeField()
    due_by = models.DateTimeField(null=True)
    answered_by = models.CharField(max_length=64, blank=True)
    text = models.TextField()

    class Meta:
        db_table = "due_check"
        constraints = [models.UniqueConstraint(fields=["nursery", "ident"], name="check_once")]
        indexes = [
            models.Index(
                fields=["nursery", "opens_at"],
                condition=models.Q(answered_by=""),
                name="check_open",
            )
        ]


class OutlookRow(models.Model):
    """What is shipped to phones: forecasts, gates, exposed sets, doubts, as of one feed number."""

    nursery = models.OneToOneField(NurseryRow, models.DO_NOTHING, primary_key=True)
    as_of_seq = models.BigIntegerField()
    stale_from = models.BigIntegerField(null=True)
    made_at = models.DateTimeField()
    etag = models.CharField(max_length=64)
    text = models.TextField()

    class Meta:
        db_table = "outlook"
