"""A process of its own, with the operators' window open: tries every page, and tries to change."""

import sys

from django.contrib import admin
from django.core.management import call_command
from django.test import Client

from nursery.services import nurseries
from nursery.store.models import Account, HeadRow
from nursery.store.scope import scope

PASSWORD = "three tall kettles"


def signed_in(email: str, *, operator: bool) -> Client:
    account = Account.objects.create_user(email, PASSWORD, name=email, is_operator=operator)
    client = Client(SERVER_NAME="localhost")
    client.force_login(account)
    return client


def shown_of_each(operator: Client) -> None:
    """Each list shows one nursery's rows: the first one's, or those of the one asked for."""
    for number, ident in enumerate(("veshmere", "elsewhere")):
        with scope(ident) as book:
            asked = {"nursery__id__exact": book.key} if number else {}
            epoch, page = book.head.epoch, f"/admin/store/{HeadRow._meta.model_name}/"
            change = f"{page}{book.head.pk}/change/"
        found = operator.get(page, asked).content.decode()
        assert epoch in found, ident
        assert operator.get(change).status_code == 200, change


def main() -> None:
    call_command("migrate", verbosity=0)
    call_command("check")
    nurseries.begin("veshmere", "Veshmere Terraces", "Etc/GMT-10")
    nurseries.begin("elsewhere", "Elsewhere", "Etc/GMT-10")
    operator = signed_in("op@veshmere.invalid", operator=True)
    grower = signed_in("g@veshmere.invalid", operator=False)
    for model in admin.site._registry:
        page = f"/admin/{model._meta.app_label}/{model._meta.model_name}/"
        assert operator.get(page).status_code == 200, page
        assert grower.get(page).status_code == 302, page
        assert operator.get(f"{page}add/").status_code == 403, page
        with scope("veshmere"):
            row = model._default_manager.first()
        if row is not None:
            one = operator.get(f"{page}{row.pk}/change/")
            assert one.status_code == 200, page
            assert b'name="_save"' not in one.content, page
            assert b"pbkdf2" not in one.content, page
            assert operator.post(f"{page}{row.pk}/change/", {}).status_code == 403, page
            assert operator.post(f"{page}{row.pk}/delete/", {"post": "yes"}).status_code == 403
    shown_of_each(operator)
    sys.stdout.write(f"{len(admin.site._registry)} tables looked at\n")
