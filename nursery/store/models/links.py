"""Links by which somebody from the authority reads, and what was read by them."""

from django.db import models

from nursery.store.models.book import NurseryRow


class LinkRow(models.Model):
    """A link to read by until a day; its secret is kept as a hash."""

    nursery = models.ForeignKey(NurseryRow, models.CASCADE)
    ident = models.CharField(max_length=64)
    name = models.CharField(max_length=120)
    secret_hash = models.CharField(max_length=64, unique=True)
    made_at = models.DateTimeField()
    ends_at = models.DateTimeField()
    ended_at = models.DateTimeField(null=True)

    class Meta:
        db_table = "link"
        constraints = [models.UniqueConstraint(fields=["nursery", "ident"], name="link_once")]


class LinkReadRow(models.Model):
    """One page that was read by a link."""

    nursery = models.ForeignKey(NurseryRow, models.CASCADE)
    link = models.CharField(max_length=64)
    at = models.DateTimeField()
    address = models.CharField(max_length=300)

    class Meta:
        db_table = "link_read"
        indexes = [models.Index(fields=["nursery", "link", "at"], name="link_read_by_link")]
