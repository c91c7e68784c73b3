"""Who may come in: accounts sign in with a password, devices with a secret of their own."""

from typing import Any, ClassVar

from django.contrib.auth.models import AbstractBaseUser, BaseUserManager
from django.db import models

from nursery.store.models.book import NurseryRow


class AccountManager(BaseUserManager["Account"]):
    """Makes accounts; an e-mail address is kept in lower case."""

    def create_user(self, email: str, password: str | None = None, **fields: Any) -> "Account":
        account = self.model(email=email.strip().lower(), **fields)
        account.set_password(password)
        account.save(using=self._db)
        return account

    def get_by_natural_key(self, username: str | None) -> "Account":
        return self.get(email=(username or "").strip().lower())


class Account(AbstractBaseUser):
    """A grower, an inspector or an operator. Workers are people with a PIN, not accounts."""

    id = models.BigAutoField(primary_key=True)
    email = models.EmailField(unique=True)
    name = models.CharField(max_length=120)
    language = models.CharField(max_length=8, default="en")
    is_active = models.BooleanField(default=True)
    is_operator = models.BooleanField(default=False)

    objects: ClassVar[AccountManager] = AccountManager()

    USERNAME_FIELD = "email"
    REQUIRED_FIELDS: ClassVar[list[str]] = ["name"]

    @property
    def is_staff(self) -> bool:
        """The read-only admin lets operators in."""
        return self.is_operator

    def has_perm(self, perm: str, obj: object = None) -> bool:
        """Operators may look; nobody may change anything in the admin."""
        return self.is_active and self.is_operator and ".view_" in perm

    def has_module_perms(self, app_label: str) -> bool:
        return self.is_active and self.is_operator


class MembershipRow(models.Model):
    """An account's part in a nursery: grower, or inspector until a day."""

    nursery = models.ForeignKey(NurseryRow, models.CASCADE)
    account = models.ForeignKey(Account, models.CASCADE)
    role = models.CharField(max_length=16)
    person = models.CharField(max_length=64, blank=True)
    until = models.DateTimeField(null=True)

    class Meta:
        db_table = "membership"
        constraints = [
            models.UniqueConstraint(fields=["nursery", "account"], name="membership_once")
        ]


class DeviceRow(models.Model):
    """A phone that joined a nursery. Its secret is kept as a hash."""

    nursery = models.ForeignKey(NurseryRow, models.CASCADE)
    ident = models.CharField(max_length=64)
    name = models.CharField(max_length=120)
    secret_hash = models.CharField(max_length=64, unique=True)
    joined_at = models.DateTimeField()
    revoked_at = models.DateTimeField(null=True)
    last_seen_at = models.DateTimeField(null=True)

    class Meta:
        db_table = "device"
        constraints = [models.UniqueConstraint(fields=["nursery", "ident"], name="device_once")]


class InviteRow(models.Model):
    """A one-time code by which a phone joins; kept as a hash, with an end."""

    nursery = models.ForeignKey(NurseryRow, models.CASCADE)
    code_hash = models.CharField(max_length=64, unique=True)
    device_name = models.CharField(max_length=120)
    ends_at = models.DateTimeField()
    used_at = models.DateTimeField(null=True)

    class Meta:
        db_table = "invite"


class InstallRow(models.Model):
    """One installation of the app on a device, and what it told about its outbox.

    `n_max` is the highest of its numbers that came, `n_missing` the holes below it. `wrong_pins`
    counts by person how often a wrong PIN was typed on it.
    """

    nursery = models.ForeignKey(NurseryRow, models.CASCADE)
    ident = models.CharField(max_length=64)
    device = models.CharField(max_length=64)
    n_max = models.BigIntegerField(default=0)
    n_missing = models.JSONField(default=list)
    unsent = models.IntegerField(default=0)
    photos_unsent = models.IntegerField(default=0)
    oldest_unsent_at = models.DateTimeField(null=True)
    persisted = models.BooleanField(null=True)
    app = models.CharField(max_length=40, blank=True)
    skew_ms = models.BigIntegerField(null=True)
    last_seen_at = models.DateTimeField(null=True)
    pulled_seq = models.BigIntegerField(default=0)
    replaced_at = models.DateTimeField(null=True)
    wrong_pins = models.JSONField(default=dict)

    class Meta:
        db_table = "install"
        constraints = [models.UniqueConstraint(fields=["nursery", "ident"], name="install_once")]
