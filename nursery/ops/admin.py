"""A window for operators to look through: nothing can be added, changed or removed here.

It is there only where the setting says so (`NURSERY_ADMIN`). People edit through services.
"""

from typing import Any

from django.contrib import admin
from django.db.models import Model
from django.http import HttpRequest

from nursery.store import models

# What even an operator has no use for.
SECRET = frozenset({"password", "secret_hash", "code_hash"})


class Window(admin.ModelAdmin[Model]):
    """One table: to be read, a hundred rows at a time, without counting a million."""

    list_per_page = 100
    show_full_result_count = False
    actions = None

    def has_add_permission(self, request: HttpRequest) -> bool:
        return False

    def has_change_permission(self, request: HttpRequest, obj: Model | None = None) -> bool:
        return False

    def has_delete_permission(self, request: HttpRequest, obj: Model | None = None) -> bool:
        return False

    def get_exclude(self, request: HttpRequest, obj: Any | None = None) -> list[str]:
        return [f.name for f in self.model._meta.fields if f.name in SECRET]  # noqa: SLF001  Django's published API


# What is shown of each table in its list.
SHOWN: dict[type[Model], tuple[str, ...]] = {
    models.NurseryRow: ("ident", "name", "zone", "demo"),
    models.HeadRow: ("nursery", "epoch", "last_seq", "durable_seq"),
    models.FeedRow: ("nursery", "seq", "type", "what", "ident", "received_at", "set_aside"),
    models.KeptRawRow: ("nursery", "ident", "code", "field", "install", "received_at"),
    models.RefRow: ("nursery", "type", "ident", "rev", "gone"),
    models.SubjectRow: ("nursery", "type", "ident", "label", "alive", "doubts", "stale_from"),
    models.CheckRow: ("nursery", "kind", "subject", "opens_at", "due_by", "answered_by"),
    models.OutlookRow: ("nursery", "as_of_seq", "stale_from", "made_at"),
    models.Account: ("email", "name", "is_active", "is_operator"),
    models.MembershipRow: ("nursery", "account", "role", "person", "until"),
    models.DeviceRow: ("nursery", "ident", "name", "joined_at", "revoked_at"),
    models.AccessRow: ("nursery", "at", "did", "role", "ident", "person", "of"),
    models.InstallRow: ("nursery", "ident", "device", "n_max", "unsent", "last_seen_at"),
    models.JobRow: ("nursery", "kind", "key", "state", "due_at", "attempts", "ended_at"),
    models.BackupRow: ("file", "made_at", "tested_at", "bytes"),
    models.BeatRow: ("name", "at"),
}

for model, shown in SHOWN.items():
    admin.site.register(model, Window, list_display=shown)
