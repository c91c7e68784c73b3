"""The book itself: nurseries, their head, the feed, and what could not be read.

The feed is append-only and the database refuses anything else (migration 0002). Numbers are given
under the lock of the head row, without holes, and each link of the chain rests on the one before.
"""

from django.db import models


class NurseryRow(models.Model):
    """A nursery; its hidden key stands in every table, its `ident` is what the outside knows."""

    id = models.BigAutoField(primary_key=True)
    ident = models.CharField(max_length=64, unique=True)
    name = models.CharField(max_length=120)
    zone = models.CharField(max_length=64)
    demo = models.BooleanField(default=False)

    class Meta:
        db_table = "nursery"


class HeadRow(models.Model):
    """Where the feed of a nursery stands. Locked last, and only to append."""

    nursery = models.OneToOneField(NurseryRow, models.CASCADE, primary_key=True)
    epoch = models.CharField(max_length=36)
    last_seq = models.BigIntegerField(default=0)
    chain = models.CharField(max_length=64)
    durable_seq = models.BigIntegerField(default=0)

    class Meta:
        db_table = "head"


class FeedRow(models.Model):
    """One line of the feed: an entry exactly as sent, a revision of a row, or a mark.

    `text` is ready-made JSON, so a pull is a copy. `hash` is SHA-256 of it, and
    `link` = SHA-256(previous link, seq, ident, hash). Blanking `text` leaves the chain valid.
    """

    ENTRY = "entry"
    ROW = "ref"
    GONE = "gone"
    MARK = "mark"

    id = models.BigAutoField(primary_key=True)
    nursery = models.ForeignKey(NurseryRow, models.DO_NOTHING, db_index=False)
    seq = models.BigIntegerField()
    type = models.CharField(max_length=8)
    what = models.CharField(max_length=40)
    ident = models.CharField(max_length=64)
    rev = models.BigIntegerField(default=0)
    text = models.TextField()
    hash = models.CharField(max_length=64)
    link = models.CharField(max_length=64)
    received_at = models.DateTimeField()
    occurred_at = models.DateTimeField(null=True)
    install = models.CharField(max_length=64, null=True)  # noqa: DJ001  # absent, not empty
    n = models.BigIntegerField(null=True)
    set_aside = models.BooleanField(default=False)

    class Meta:
        db_table = "feed"
        constraints = [
            models.UniqueConstraint(fields=["nursery", "seq"], name="feed_number_once"),
            models.UniqueConstraint(
                fields=["nursery", "type", "what", "ident", "rev"],
                condition=~models.Q(type="entry"),
                name="feed_revision_once",
            ),
            # By the id first: an index that begins with the nursery is one of many to a planner
            # that takes a nursery for empty (`each_push.KNOWN`).
            models.UniqueConstraint(
                fields=["ident", "nursery"],
                condition=models.Q(type="entry"),
                name="feed_entry_once",
            ),
        ]
        indexes = [
            models.Index(
                fields=["nursery", "what", "seq"],
                condition=models.Q(type="entry"),
                name="feed_by_kind",
            ),
            models.Index(
                fields=["nursery", "install", "n"],
                condition=models.Q(type="entry"),
                name="feed_by_install",
            ),
            models.Index(
                fields=["nursery", "seq"],
                condition=models.Q(set_aside=True),
                name="feed_set_aside",
            ),
        ]


class AboutRow(models.Model):
    """Which entries name a subject: the set that a refold reads."""

    id = models.BigAutoField(primary_key=True)
    nursery = models.ForeignKey(NurseryRow, models.DO_NOTHING, db_index=False)
    subject = models.CharField(max_length=64)
    seq = models.BigIntegerField()

    class Meta:
        db_table = "about"
        constraints = [
            models.UniqueConstraint(fields=["nursery", "subject", "seq"], name="about_once")
        ]


class KeptRawRow(models.Model):
    """What a phone sent and nobody can take as an entry: kept, byte for byte, for a person."""

    id = models.BigAutoField(primary_key=True)
    nursery = models.ForeignKey(NurseryRow, models.DO_NOTHING, db_index=False)
    ident = models.CharField(max_length=80)
    raw = models.BinaryField()
    hash = models.CharField(max_length=64)
    code = models.CharField(max_length=40)
    field = models.CharField(max_length=200, blank=True)
    install = models.CharField(max_length=64)
    device = models.CharField(max_length=64)
    received_at = models.DateTimeField()
    looked_at = models.DateTimeField(null=True)

    class Meta:
        db_table = "kept_raw"
        constraints = [
            models.UniqueConstraint(fields=["nursery", "hash", "code"], name="kept_raw_once")
        ]
