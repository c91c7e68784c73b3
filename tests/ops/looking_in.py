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


def guesses() -> list[int]:
    """Guess until the account is shut; then nobody is let in, not even by the right password."""
    said = {"username": "op@veshmere.invalid", "password": "guess", "next": "/admin/"}
    client = Client(SERVER_NAME="localhost")
    answers = [client.post("/admin/login/", said).status_code for _ in range(8)]
    right = client.post("/admin/login/", said | {"password": PASSWORD})
    assert b"too many" in right.content.lower(), right.content
    other = said | {"username": "second@veshmere.invalid", "password": PASSWORD}
    Account.objects.create_user(other["username"], PASSWORD, name="second", is_operator=True)
    assert client.post("/admin/login/", other).status_code == 302
    away = other | {"next": "https://elsewhere.invalid/"}
    led = client.post("/admin/login/?next=https://elsewhere.invalid/", away)
    assert "elsewhere" not in led.headers.get("Location", "")
    for path in ("/admin/", "/admin/login/", "/static/admin/css/base.css"):
        answer = client.get(path)
        assert answer.headers["X-Frame-Options"] == "DENY", path
        assert "frame-ancestors 'none'" in answer.headers["Content-Security-Policy"], path
        assert "Cache-Control" in answer.headers, path
    return [*answers, right.status_code]


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
    assert guesses() == [200] * 9, "each is told on the page that it was wrong"
    sys.stdout.write(f"{len(admin.site._registry)} tables looked at\n")
