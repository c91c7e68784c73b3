"""Somebody who asks for it is erased: the work stays under a number, and the chain holds."""

import json
from datetime import timedelta
from typing import Any

import pytest

from nursery.domain import chain
from nursery.services import refold, rows, verify
from nursery.store.models import Account, FeedRow, MembershipRow
from nursery.store.scope import scope
from tests.api.conftest import NOW, Cast
from tests.phone import Writer, line

pytestmark = pytest.mark.usefixtures("everybody")

NAME = "Mirren Sall"
NOTE = "Ask Mirren about the blue hose"


def tell(client: Any, method: str, address: str, body: object) -> Any:
    ask = getattr(client, method)
    return ask(f"/api/v1/{address}", json.dumps(body), content_type="application/json")


@pytest.fixture
def mirren(cast: Cast, tray: str, writer: Writer) -> str:
    """A worker of two revisions, with a paper, who counted and left a note and took one back."""
    body = {"name": NAME, "role": "worker"}
    paper = {"what": "spraying", "number": "L-7", "until": "2031-03-20"}
    tell(cast.grower, "put", "rows/person/p-7", {"rev": 0, "body": body})
    tell(cast.grower, "put", "rows/person/p-7", {"rev": 1, "body": {**body, "licences": [paper]}})
    note = json.loads(writer.write("noted", ["b-1"], {"text": "old words"}, NOW))
    note["author"] = "p-7"
    kept = json.loads(writer.write("noted", ["b-1"], {"text": NOTE}, NOW + timedelta(minutes=1)))
    kept["author"] = "p-7"
    later = NOW + timedelta(minutes=2)
    back = json.loads(writer.write("withdrawn", ["b-1"], {}, later))
    back |= {"corrects": note["id"], "author": "p-g"}
    other = writer.write("noted", ["b-1"], {"text": "of somebody else"}, NOW)
    cast.phone.push(json.dumps(note), json.dumps(kept), json.dumps(back), other)
    return "p-7"


def everything_kept(nursery: str) -> str:
    texts = FeedRow.objects.filter(nursery__ident=nursery).values_list("text", flat=True)
    with scope(nursery) as book:
        states = list(book.subjects.values_list("state", flat=True))
        return "\n".join([*texts, *states, *book.refs.values_list("text", flat=True)])


def test_what_is_ahead_is_told_before(cast: Cast, mirren: str) -> None:
    told = cast.grower.get(f"/api/v1/people/{mirren}/erasure").json()
    assert told == {
        "label": "Person 1",
        "erased": None,
        "revisions": 1,
        "notes": 3,
        "account": False,
        "backups": 0,
    }


def test_the_name_and_the_words_are_gone_and_the_chain_holds(cast: Cast, mirren: str) -> None:
    """`cast` verifies the chain and the kept states once more at its end."""
    assert NAME in everything_kept("veshmere")
    answer = tell(cast.grower, "post", f"people/{mirren}/erasure", {"why": "asked", "notes": True})
    assert answer.status_code == 200, answer.content
    assert (answer.json()["erased"], answer.json()["notes"]) == ("2031-03-03", 0)
    kept = everything_kept("veshmere")
    for word in (NAME, NOTE, "L-7", "spraying", "old words"):
        assert word not in kept
    assert "of somebody else" in kept
    assert verify.chain("veshmere") == []
    assert refold.differences("veshmere") == []
    body = rows.one("veshmere", "person", mirren).body
    assert (body["name"], body["until"], "licences" in body) == ("Person 1", "2031-03-02", False)
    state = cast.grower.get("/api/v1/batches/b-1").json()
    assert state["doubts"] == []


def test_notes_stay_where_nobody_wishes_them_gone(cast: Cast, mirren: str) -> None:
    tell(cast.grower, "post", f"people/{mirren}/erasure", {"why": "left", "notes": False})
    kept = everything_kept("veshmere")
    assert NOTE in kept
    assert NAME not in kept


def test_a_phone_hears_of_it_whether_it_pulled_before_or_pulls_anew(
    cast: Cast, mirren: str
) -> None:
    before = cast.phone.pull()
    tell(cast.grower, "post", f"people/{mirren}/erasure", {"why": "asked", "notes": True})
    news = cast.phone.pull(before[-1]["next"])
    row = next(line for line in news if line["t"] == "ref")
    assert (row["id"], row["e"]["name"]) == (mirren, "Person 1")
    gone = {line["id"] for line in news if line["t"] == "mark"}
    assert {line["type"] for line in news if line["t"] == "mark"} == {"erased"}
    assert len(gone) == 3
    for lines in (cast.phone.pull(), cast.phone.pull(f"{cast.phone.epoch}:0")):
        text = json.dumps(lines)
        assert NAME not in text
        assert NOTE not in text
        assert "Person 1" in text


def test_who_pulled_it_all_can_still_prove_the_chain(cast: Cast, mirren: str) -> None:
    """A text gives its hash. Of an erased one nobody could work it out, so the line tells it."""
    tell(cast.grower, "post", f"people/{mirren}/erasure", {"why": "asked", "notes": True})
    answer = cast.phone.get("/api/v1/sync/pull", {"after": f"{cast.phone.epoch}:0"})
    _, *lines, end = b"".join(answer).splitlines()
    link, erased = chain.START, 0
    for seq, content in map(line, lines):
        link = chain.link(link, seq, content.ident, content.hash)
        erased += content.type == "entry" and not content.text
    assert erased == 3
    assert json.loads(end)["hash"] == link


def test_nothing_is_typed_over_somebody_who_is_erased(cast: Cast, mirren: str) -> None:
    tell(cast.grower, "post", f"people/{mirren}/erasure", {"why": "asked", "notes": False})
    body = {"name": NAME, "role": "worker"}
    answer = tell(cast.grower, "put", f"rows/person/{mirren}", {"rev": None, "body": body})
    assert (answer.status_code, answer.json()["code"]) == (409, "person_erased")
    body = {"name": "x", "role": "worker", "erased": "2031-03-03"}
    answer = tell(cast.grower, "put", "rows/person/p-8", {"rev": 0, "body": body})
    assert (answer.status_code, answer.json()["code"]) == (422, "row_impossible")


def test_who_is_signed_in_cannot_erase_themselves(cast: Cast) -> None:
    tell(cast.grower, "put", "rows/person/p-g", {"rev": 0, "body": {"name": "A", "role": "grower"}})
    answer = tell(cast.grower, "post", "people/p-g/erasure", {"why": "asked", "notes": True})
    assert (answer.status_code, answer.json()["code"]) == (409, "erase_yourself")


def test_an_account_goes_with_its_person(cast: Cast, mirren: str) -> None:
    with scope("veshmere") as book:
        account = Account.objects.create_user("mirren@veshmere.invalid", "x", name=NAME)
        MembershipRow.objects.create(
            nursery_id=book.key, account=account, role="grower", person=mirren
        )
    tell(cast.grower, "post", f"people/{mirren}/erasure", {"why": "asked", "notes": False})
    account.refresh_from_db()
    assert (account.name, account.is_active) == ("Person 1", False)
    assert account.email == f"erased-{account.pk}@erased.invalid"
    assert not account.has_usable_password()
