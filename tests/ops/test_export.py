"""The commands that take a book away and bring it in."""

import io
import sys
from pathlib import Path
from typing import Any

import pytest
from django.core.management import CommandError, call_command

from nursery.services import nurseries
from nursery.store.models import Account, NurseryRow

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture(autouse=True)
def place(settings: Any, tmp_path: Path) -> None:
    settings.SIGNING_KEYS, settings.DATA = ["a secret of this test"], tmp_path
    nurseries.begin("one", "One", "UTC")


def said(*words: str) -> str:
    out = io.StringIO()
    call_command(*words, stdout=out)
    return out.getvalue()


def test_a_book_goes_and_comes_and_its_grower_is_let_in(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = str(tmp_path / "one.zip")
    assert "easily guessed" in said("export", "--out", file)
    told = said("import", file, "--as", "Two")
    assert "nursery let_in two --email" in told
    monkeypatch.setattr(sys, "stdin", io.StringIO("laths-let-half-the-sun-in\n"))
    assert "Sign in to two" in said("let_in", "two", "--email", "g@two.example")
    assert Account.objects.get().membershiprow_set.get().nursery.ident == "two"


def test_what_stands_in_the_way_is_said(tmp_path: Path) -> None:
    file = tmp_path / "one.zip"
    said("export", "--out", str(file))
    with pytest.raises(CommandError, match="is there already"):
        said("export", "--out", str(file))
    with pytest.raises(CommandError, match="Nothing was brought in"):
        said("import", str(file))
    file.write_bytes(b"PK")
    with pytest.raises(CommandError, match=r"one\.zip is no whole file"):
        said("import", str(file), "--as", "two")
    nurseries.begin("three", "Three", "UTC")
    with pytest.raises(CommandError, match="Which nursery"):
        said("export")
    assert NurseryRow.objects.count() == 2
