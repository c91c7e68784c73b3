"""Photos: those on their way from a phone, and those that came whole."""

from django.db import models

from nursery.store.models.book import NurseryRow


class UploadRow(models.Model):
    """How far one photo has come. Its bytes so far lie in the data folder."""

    nursery = models.ForeignKey(NurseryRow, models.CASCADE)
    sha256 = models.CharField(max_length=64)
    length = models.BigIntegerField()
    offset = models.BigIntegerField(default=0)
    told = models.TextField()
    ends_at = models.DateTimeField()

    class Meta:
        db_table = "upload"
        constraints = [models.UniqueConstraint(fields=["nursery", "sha256"], name="upload_once")]


class PhotoRow(models.Model):
    """A photo that came whole: what became of it, and where its copies are.

    `came_at` is the product's time. `copies` names each copy by its longest side: its SHA-256,
    width and height. `taken_at` is what its camera said, where it said anything. `safe_at` is when
    a backup that holds it was tested, `looked_at` when a person saw that it cannot be read.
    """

    NEW, HERE, UNREADABLE = "new", "here", "unreadable"

    nursery = models.ForeignKey(NurseryRow, models.CASCADE)
    sha256 = models.CharField(max_length=64)
    bytes = models.BigIntegerField()
    came_at = models.DateTimeField()
    state = models.CharField(max_length=16, default=NEW)
    fault = models.CharField(max_length=40, blank=True)
    copies = models.JSONField(default=dict)
    taken_at = models.DateTimeField(null=True)
    safe_at = models.DateTimeField(null=True)
    looked_at = models.DateTimeField(null=True)

    class Meta:
        db_table = "photo"
        constraints = [models.UniqueConstraint(fields=["nursery", "sha256"], name="photo_once")]
