"""Who came in or tried to: counted tries, and what was looked at or taken away."""

from django.db import models

from nursery.store.models.book import NurseryRow


class LimitRow(models.Model):
    """How often something was done of late, counted under a row lock.

    `who` is a hash: a name that was typed, or the address that it came from, is told to nobody.
    """

    id = models.BigAutoField(primary_key=True)
    what = models.CharField(max_length=24)
    who = models.CharField(max_length=64)
    used = models.IntegerField(default=0)
    since = models.DateTimeField()
    shut_until = models.DateTimeField(null=True)

    class Meta:
        db_table = "limit_used"
        constraints = [models.UniqueConstraint(fields=["what", "who"], name="limit_once")]
        indexes = [models.Index(fields=["since"], name="limit_by_age")]


class AccessRow(models.Model):
    """Somebody looked at or took away something, or came in. Never changed; shortened at its end.

    `role` and `ident` say who: an account, a phone or a link; `person` who of the nursery's people
    that is, as far as it is known. `of` is what it was: an address below the API's, or an id.
    """

    id = models.BigAutoField(primary_key=True)
    nursery = models.ForeignKey(NurseryRow, models.DO_NOTHING, db_index=False)
    at = models.DateTimeField()
    did = models.CharField(max_length=24)
    role = models.CharField(max_length=16, blank=True)
    ident = models.CharField(max_length=64, blank=True)
    person = models.CharField(max_length=64, blank=True)
    of = models.CharField(max_length=300, blank=True)

    class Meta:
        db_table = "access"
        indexes = [
            models.Index(fields=["nursery", "-id"], name="access_latest"),
            models.Index(fields=["nursery", "person", "-id"], name="access_by_person"),
        ]
