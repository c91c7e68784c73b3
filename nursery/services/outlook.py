"""What follows from the book for the next weeks: worked out once, kept, and shipped to phones.

Forecasts are never truth: each is dated by the line of the feed that it rests on. The due checks
are kept as rows as well, so that a list of what is due never waits for a forecast.
"""

from collections import OrderedDict, defaultdict
from dataclasses import dataclass
from datetime import datetime
from hashlib import sha256
from typing import Any

import orjson

from nursery.domain import exposure, outlook, reference
from nursery.domain.planting import Risks, dry_spell
from nursery.services import clock, collector, effects, rows, states
from nursery.store import lines
from nursery.store.models import CheckRow, OutlookRow
from nursery.store.scope import Scope, scope

DAYS = 60
# The kind of forecast that the season's job keeps for planting days.
DRY_SPELL = "dry_spell"
# And that of when plants are grown.
READINESS = "readiness"
# Rows in one writing transaction, which nobody should wait for.
AT_ONCE = 500


@dataclass(frozen=True, slots=True)
class Outlook:
    """The outlook as it was made, as of feed number `as_of_seq`."""

    as_of_seq: int
    etag: str
    made_at: datetime
    body: dict[str, Any]

    def as_json(self) -> dict[str, Any]:
        return {"as_of_seq": self.as_of_seq, "made_at": self.made_at, **self.body}


def latest(nursery: str, now: datetime) -> Outlook:
    """Return the outlook, made anew if something was written since or its day is over."""
    with scope(nursery) as book:
        row = book.outlooks.first()
        today = now.astimezone(book.zone).date()
        made_on = None if row is None else row.made_at.astimezone(book.zone).date()
    if row is None or row.stale_from is not None or made_on != today:
        return materialise(nursery, now)
    return Outlook(row.as_of_seq, row.etag, row.made_at, _parsed(row.etag, row.text))


def renewed(nursery: str, now: datetime) -> Outlook:
    """Return the outlook as `latest` does, for the job that keeps it.

    Who wrote under the head's lock while the job waited relied on it (`jobs.is_waiting`). Their
    commits are waited for; whoever writes later finds the job begun, and asks for another.
    """
    with scope(nursery, write=True) as book:
        book.lock_head()
    return latest(nursery, now)


# An outlook of thousands of batches is read for every list; its tag is a hash of its text.
_read: OrderedDict[str, dict[str, Any]] = OrderedDict()
MOST_READ = 8


def _parsed(etag: str, text: str) -> dict[str, Any]:
    """Return what a kept outlook says, parsed once by each process. Nobody may change it."""
    body = _read.get(etag)
    if body is None:
        body = _read[etag] = orjson.loads(text)
        while len(_read) > MOST_READ:
            _read.popitem(last=False)
    return body


def materialise(nursery: str, now: datetime) -> Outlook:
    """Work the outlook out, and keep it with its due checks.

    Reading and composing hold no lock. What was written meanwhile leaves the kept outlook stale.
    """
    with scope(nursery) as book, collector.put_off():
        seq = book.head.last_seq
        body = outlook.compose(read_book(book), now, DAYS, _risks(book), _readiness(book))
    # The tag tells phones whether anything changed, so the instant of making is not part of it.
    del body["made_at"]
    text = orjson.dumps(body, option=orjson.OPT_SORT_KEYS).decode()
    made = Outlook(seq, sha256(text.encode()).hexdigest()[:32], now, orjson.loads(text))
    _keep_checks(nursery, made)
    with scope(nursery, write=True) as book:
        head = book.lock_head()
        if book.outlooks.filter(as_of_seq__gt=seq).exists():
            return made
        OutlookRow.objects.update_or_create(
            nursery_id=book.key,
            defaults={
                "as_of_seq": seq,
                "stale_from": None,
                "made_at": now,
                "etag": made.etag,
                "text": text,
            },
        )
        if head.last_seq > seq:
            # Not as of `now`, which was before it was made: the pause begins here.
            effects.outlook_is_stale(book, head.last_seq, clock.now())
    return made


def _risks(book: Scope) -> Risks | None:
    """Return the risks of a dry spell as they were last worked out; None where nothing tells."""
    row = book.forecasts.filter(kind=DRY_SPELL).first()
    told = None if row is None else orjson.loads(row.text)["risks"]
    return None if told is None else dry_spell.read(told)


def _readiness(book: Scope) -> dict[str, Any]:
    """Return when plants are grown, as it was last worked out."""
    kept = book.forecasts.filter(kind=READINESS)
    return {row.subject: orjson.loads(row.text) for row in kept}


def read_book(book: Scope) -> outlook.Book:
    """Return the states and rows of a nursery as the rules take them; stale ones folded anew."""
    with collector.put_off():
        batches, places = states.read(book)
        grouped: dict[str, dict[str, Any]] = defaultdict(dict)
        for row in rows.every(book):
            grouped[row.type][row.id] = reference.read(row.type, row.id, row.body)
        finds = lines.of_kinds(book, exposure.KINDS)
    return outlook.Book(book.zone, batches, places, grouped, finds)


def _keep_checks(nursery: str, made: Outlook) -> None:
    """Keep the checks as rows, in short transactions: what is new or changed, and what goes."""
    wanted = {check["id"]: orjson.dumps(check).decode() for check in made.body["checks"]}
    with scope(nursery) as book:
        kept = dict(book.checks.values_list("ident", "text"))
        changed = [
            _row(book.key, check)
            for check in made.body["checks"]
            if kept.get(check["id"]) != wanted[check["id"]]
        ]
        over = sorted(kept.keys() - wanted.keys())
    for start in range(0, len(over), AT_ONCE):
        with scope(nursery, write=True) as book:
            book.checks.filter(ident__in=over[start : start + AT_ONCE]).delete()
    for start in range(0, len(changed), AT_ONCE):
        with scope(nursery, write=True):
            CheckRow.objects.bulk_create(
                changed[start : start + AT_ONCE],
                update_conflicts=True,
                unique_fields=["nursery", "ident"],
                update_fields=["kind", "subject", "opens_at", "due_by", "answered_by", "text"],
            )


def _row(key: int, check: dict[str, Any]) -> CheckRow:
    return CheckRow(
        nursery_id=key,
        ident=check["id"],
        kind=check["kind"],
        subject=check["subject"],
        opens_at=datetime.fromisoformat(check["opens_at"]),
        due_by=None if check["due_by"] is None else datetime.fromisoformat(check["due_by"]),
        answered_by=check["answered_by"] or check["skipped_by"] or "",
        text=orjson.dumps(check).decode(),
    )
