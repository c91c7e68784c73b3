"""The operators' commands that prove a book and work its states out again."""

import io

import pytest
from django.core.management import CommandError, call_command
from django.db import connection

from nursery.services import log, nurseries
from nursery.services.installs import Outbox
from nursery.store import append_only
from nursery.store.models import FeedRow, SubjectRow
from tests.phone import Writer
from tests.story.reading import there

NOW = there("2031-03-03T12:00")

pytestmark = pytest.mark.django_db


@pytest.fixture
def book() -> str:
    nurseries.begin("veshmere", "Veshmere Terraces", "Etc/GMT-10")
    phone = Writer("a")
    new = {"id": "b-1", "label": "T1"}
    texts = [
        phone.write("received", ["b-1"], {"consignment": "c-1", "batches": [new]}, NOW),
        phone.write("counted", ["b-1"], {"method": "full", "alive": 54}, NOW),
    ]
    log.receive("veshmere", Outbox("i-a", "d-a"), texts, NOW)
    return "veshmere"


def said(command: str, **options: object) -> str:
    out = io.StringIO()
    try:
        call_command(command, **options, stdout=out)
    except CommandError as error:
        return f"{out.getvalue()}{error}"
    return out.getvalue()


def test_a_book_that_holds_is_said_to_hold(book: str) -> None:
    assert said("verify") == "veshmere: the chain holds.\n"
    assert said("refold", check=True) == "veshmere: all is as the book says.\n"


def test_a_kept_state_that_is_wrong_is_named_and_put_right(book: str) -> None:
    SubjectRow.objects.filter(ident="b-1").update(state='{"alive": 55}')
    with pytest.raises(CommandError, match="1 differ"):
        call_command("refold", check=True, stdout=io.StringIO())
    assert "b-1" in said("refold", check=True)
    assert "1 batches and places worked out anew" in said("refold")
    assert said("refold", check=True) == "veshmere: all is as the book says.\n"


def test_a_text_that_was_changed_under_the_book_is_found(book: str) -> None:
    append_only.remove(connection)
    line = FeedRow.objects.get(seq=2)
    FeedRow.objects.filter(seq=2).update(text=line.text.replace("54", "55"))
    append_only.install(connection)
    with pytest.raises(CommandError, match="Restore a backup"):
        call_command("verify", stdout=io.StringIO())
    assert "line 2: its text is not the one that was stored" in said("verify")


@pytest.mark.parametrize("command", ["verify", "refold"])
def test_a_nursery_that_is_not_there_is_named_with_those_that_are(book: str, command: str) -> None:
    assert said(command, nursery="elsewhere") == (
        "No nursery is called 'elsewhere'. This book holds: veshmere."
    )
