"""A window for operators to look through: nothing can be added, changed or removed here.

It is there only where the setting says so (`NURSERY_ADMIN`). People edit through services. Rows
that belong to a nursery are shown of one at a time, since the database shows no more.
"""

from collections.abc import Callable
from contextlib import nullcontext
from typing import Any

from django.contrib import admin
from django.contrib.admin.forms import AdminAuthenticationForm
from django.core.exceptions import ValidationError
from django.db.models import Model
from django.http import HttpRequest, HttpResponse
from django.template.response import TemplateResponse

from nursery.services import access, clock, limits, people, words
from nursery.services.access import Did
from nursery.services.errors import Refused, SignInRefused
from nursery.store import isolation, models
from nursery.store.scope import scope

# How the filter by nursery is spelt in an address.
ASKED = "nursery__id__exact"
# What even an operator has no use for.
SECRET = frozenset({"password", "secret_hash", "code_hash"})


class SignIn(AdminAuthenticationForm):
    """The window's own page to sign in at: wrong passwords are counted as at the other door."""

    def clean(self) -> dict[str, Any]:
        email, password = self.cleaned_data.get("username"), self.cleaned_data.get("password")
        if not email or not password:
            return self.cleaned_data
        if self.request is None:
            raise self.get_invalid_login_error()
        now, told = clock.now(), self.request.META
        house = limits.house_of(told.get("REMOTE_ADDR", ""), told.get("HTTP_X_FORWARDED_FOR"))
        try:
            self.user_cache = people.sign_in(email, password, now, house)
        except Refused as refused:
            known = people.account_of(email)
            if known is not None and isinstance(refused, SignInRefused):
                access.of_account(known.pk, Did.SIGN_IN_FAILED, now)
            say = words.say("en", f"problem.{refused.code}", refused.params)
            raise ValidationError(say, refused.code) from None
        self.confirm_login_allowed(self.user_cache)
        access.of_account(self.user_cache.pk, Did.SIGNED_IN, now)
        return self.cleaned_data


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


class OfNursery(Window):
    """A table whose rows belong to a nursery: the first one's, until the filter names another."""

    list_filter = ("nursery",)

    def changelist_view(self, request: HttpRequest, extra_context: Any = None) -> HttpResponse:
        keys = _nurseries()
        asked = request.GET.get(ASKED, "")
        return _within(
            next((one for key, one in keys if str(key) == asked), keys[0][1] if keys else None),
            lambda: super(OfNursery, self).changelist_view(request, extra_context),
        )

    def changeform_view(
        self,
        request: HttpRequest,
        object_id: str | None = None,
        form_url: str = "",
        extra_context: Any = None,
    ) -> HttpResponse:
        return _within(
            _whose(self.model, object_id),
            lambda: super(OfNursery, self).changeform_view(
                request, object_id, form_url, extra_context
            ),
        )


def _nurseries() -> list[tuple[int, str]]:
    return list(models.NurseryRow.objects.order_by("pk").values_list("pk", "ident"))


def _whose(model: type[Model], key: str | None) -> str | None:
    """Return of which nursery a row is; None where there is none of this key."""
    for _, ident in _nurseries():
        with scope(ident):
            rows = model._default_manager.filter(pk=key)  # noqa: SLF001  Django's published API
            if key is not None and rows.exists():
                return ident
    return None


def _within(ident: str | None, answer: Callable[[], HttpResponse]) -> HttpResponse:
    """Answer within the scope of a nursery, drawing the page before it closes."""
    with nullcontext() if ident is None else scope(ident), isolation.saying(queue="yes"):
        found = answer()
        return found.render() if isinstance(found, TemplateResponse) else found


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

admin.site.login_form = SignIn
for model, shown in SHOWN.items():
    of_nursery = "nursery" in {field.name for field in model._meta.fields}  # noqa: SLF001  Django's published API
    admin.site.register(model, OfNursery if of_nursery else Window, list_display=shown)
