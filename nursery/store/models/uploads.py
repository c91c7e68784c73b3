"""Photos on their way from a phone."""

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
