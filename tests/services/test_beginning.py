"""Two first pages opened at once begin one nursery."""

import threading
from dataclasses import replace

import pytest
from django.db import connection

from nursery.services import beginning, clock, nurseries
from nursery.services.beginning import Beginning
from nursery.services.errors import NurseryThere

ASKED = Beginning("Veshmere", "Etc/GMT-10", "Ana", "ana@veshmere.invalid", "three tall kettles")


@pytest.mark.django_db(transaction=True)
def test_of_several_who_begin_at_once_one_does() -> None:
    told: list[str] = []
    start = threading.Barrier(4)

    def begin(number: int) -> None:
        asked = replace(ASKED, name=f"Nursery {number}", email=f"a{number}@veshmere.invalid")
        start.wait()
        try:
            beginning.first(asked, clock.now())
            told.append("begun")
        except NurseryThere:
            told.append("there")
        finally:
            connection.close()

    threads = [threading.Thread(target=begin, args=(number,)) for number in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(told) == ["begun", "there", "there", "there"]
    assert len(nurseries.every()) == 1
