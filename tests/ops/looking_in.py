"""A process of its own, with the operators' window open: tries every page, and tries to change."""

import sys

from django.contrib import admin
from django.core.management import call_command
from django.test import Client

from nursery.services import nurseries
from nursery.store.models import Account

PASSWORD = "three tall kettles"


def signed_in(email: str, *, operator: bool) -> Client:
    account = Account.objects.create_user(email, PASSWORD, name=email, is_operator=operator)
    client = Client(SERVER_NAME="localhost")
    client.force_login(account)
    return client


def main() -> None:
    call_command("migrate", verbosity=0)
    call_command("check")
    nurseries.begin("veshmere", "Veshmere Terraces", "Etc/GMT-10")
    operator = signed_in("op@veshmere.invalid", operator=True)
    grower = signed_in("g@veshmere.invalid", operator=False)
    for model in admin.site._registry:
        page = f"/admin/{model._meta.app_label}/{model._meta.model_name}/"
        assert operator.get(page).status_code == 200, page
        assert grower.get(page).status_code == 302, page
        assert operator.get(f"{page}add/").status_code == 403, page
        row = model._default_manager.first()
        if row is not None:
            one = operator.get(f"{page}{row.pk}/change/")
            assert one.status_code == 200, page
            assert b'name="_save"' not in one.content, page
            assert b"pbkdf2" not in one.content, page
            assert operator.post(f"{page}{row.pk}/change/", {}).status_code == 403, page
            assert operator.post(f"{page}{row.pk}/delete/", {"post": "yes"}).status_code == 403
    sys.stdout.write(f"{len(admin.site._registry)} tables looked at\n")
