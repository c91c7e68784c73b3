"""What people and phones read: batches, places, consignments, what is due, what needs a look.

Everything here is a value, made from kept states; a state that is stale is folded on the fly.
Whether something is overdue is never kept: it is compared when asked.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any

import orjson
from django.db.models import Value
from django.db.models.functions import Coalesce

from nursery.domain import propagation, stored
from nursery.domain.entry import write_instant
from nursery.domain.place import Place
from nursery.services import kept_raw, outlook, photo_story, qualified, refold, rows, unconfirmed
from nursery.services.errors import CursorUnreadable, Unknown
from nursery.services.outlook import Outlook
from nursery.store import lines
from nursery.store.models import SubjectRow
from nursery.store.scope import Scope, scope

PAGE = 100
SILENT = timedelta(hours=48)
# A check whose last day nobody can tell yet comes after all others.
NO_DAY = datetime(2999, 12, 31, tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class Page:
    """At most 100 items, and the cursor of the next page if there is one."""

    items: list[dict[str, Any]]
    next: str | None

    def as_json(self) -> dict[str, Any]:
        return {"items": self.items, "next": self.next}


def batches(nursery: str, after: str, now: datetime, *, closed: bool) -> Page:
    """Return a page of batches in order of their labels, each with what follows for it."""
    page = _subjects(nursery, SubjectRow.BATCH, after, closed=closed)
    ahead = outlook.latest(nursery, now)
    with scope(nursery) as book:
        names = _names(book, page.items)
    for item in page.items:
        # All that ever happened to it: a list needs none of it, and it is most of the text.
        del item["record"]
    items = [_told(item, ahead, names) for item in page.items]
    return Page(items, page.next)


NAMED = {"place": "place_name", "crop": "crop_name", "consignment": "consignment_name"}


def _names(book: Scope, states: list[dict[str, Any]]) -> dict[tuple[str, str], str]:
    """Return what people call the places, crops and consignments that the states name."""
    wanted = {state[kind] for state in states for kind in NAMED if state[kind] is not None}
    found = book.refs.filter(type__in=NAMED, ident__in=wanted)
    return {(row.type, row.ident): orjson.loads(row.text)["name"] for row in found}


def _told(
    state: dict[str, Any], ahead: Outlook, names: dict[tuple[str, str], str]
) -> dict[str, Any]:
    """Return a batch's state with names for what it names, and with its forecasts."""
    called = {field: names.get((kind, state[kind])) for kind, field in NAMED.items()}
    forecast = ahead.body["batches"].get(state["id"])
    return {**state, **called, "outlook": forecast, "as_of_seq": ahead.as_of_seq}


def places(nursery: str, after: str) -> Page:
    """Return a page of the places that something was written about."""
    return _subjects(nursery, SubjectRow.PLACE, after, closed=True)


def _subjects(nursery: str, kind: str, after: str, *, closed: bool) -> Page:
    label, ident = _two(after)
    with scope(nursery) as book:
        found = book.subjects.filter(type=kind).order_by("label", "ident")
        if not closed:
            found = found.filter(closed=False)
        if after:
            found = found.filter(label__gte=label).exclude(label=label, ident__lte=ident)
        some = list(found[: PAGE + 1])
        states = _fresh(book, some[:PAGE])
    more = f"{some[PAGE - 1].label}|{some[PAGE - 1].ident}" if len(some) > PAGE else None
    return Page(states, more)


def _two(after: str) -> tuple[str, str]:
    label, bar, ident = after.rpartition("|")
    if after and not bar:
        raise CursorUnreadable(after[:80])
    return label, ident


def _fresh(book: Scope, found: Sequence[SubjectRow]) -> list[dict[str, Any]]:
    stale = [row.ident for row in found if row.stale_from is not None]
    entries = lines.of_subjects(book, stale)
    seats = refold.places_among(book, stale)
    growers = refold.growers(book)
    states = []
    for row in found:
        if row.stale_from is None:
            states.append(orjson.loads(row.state))
        else:
            told = entries.get(row.ident, [])
            state = refold.state_of(row.ident, told, growers, place=row.ident in seats)
            states.append(orjson.loads(orjson.dumps(state.as_json())))
    return states


def batch(nursery: str, ident: str, now: datetime) -> dict[str, Any]:
    """Return one batch: its state, its timeline with corrections, and what follows for it.

    `propagation` tells how its seed came up and how its grafts took.

    Raises:
        Unknown: no entry names such a batch.
    """
    state, timeline = _one(nursery, SubjectRow.BATCH, ident)
    ahead = outlook.latest(nursery, now)
    with scope(nursery) as book:
        names = _names(book, [state])
    raised = propagation.of_batch(stored.batch(state), book.zone)
    return {**_told(state, ahead, names), "timeline": timeline, "propagation": raised}


def place(nursery: str, ident: str, now: datetime) -> dict[str, Any]:
    """Return one place: its state, its timeline, and what follows for it.

    A place that is described and of which nobody has written anything is empty.

    Raises:
        Unknown: nobody has described such a place, and no entry names it.
    """
    try:
        state, timeline = _one(nursery, SubjectRow.PLACE, ident)
    except Unknown:
        rows.one(nursery, "place", ident)
        state, timeline = Place(ident).as_json(), []
    forecast = outlook.latest(nursery, now).body["places"].get(ident)
    return {**state, "timeline": timeline, "outlook": forecast}


def _one(nursery: str, kind: str, ident: str) -> tuple[dict[str, Any], list[dict[str, Any]]]:
    with scope(nursery) as book:
        row = book.subjects.filter(type=kind, ident=ident).first()
        if row is None:
            raise Unknown(kind, ident)
        state = _fresh(book, [row])[0]
        timeline = [
            {"seq": seq, "received_at": received_at, "set_aside": aside, "entry": raw}
            for seq, received_at, aside, raw in lines.raw_of_subject(book, ident)
        ]
    return state, timeline


def due(nursery: str, until: datetime, after: str) -> Page:
    """Return a page of open checks that open before `until`, the most pressing first."""
    with scope(nursery) as book:
        open_checks = book.checks.filter(answered_by="", opens_at__lte=until)
        found = open_checks.annotate(by=Coalesce("due_by", Value(NO_DAY))).order_by("by", "ident")
        if after:
            moment, ident = _moment(after)
            found = found.filter(by__gte=moment).exclude(by=moment, ident__lte=ident)
        some = list(found[: PAGE + 1])
    more = None
    if len(some) > PAGE:
        last = some[PAGE - 1]
        more = f"{write_instant(last.due_by or NO_DAY)}|{last.ident}"
    return Page([orjson.loads(row.text) for row in some[:PAGE]], more)


def _moment(after: str) -> tuple[datetime, str]:
    moment, ident = _two(after)
    try:
        return datetime.fromisoformat(moment), ident
    except ValueError:
        raise CursorUnreadable(after[:80]) from None


def consignments(nursery: str, now: datetime) -> list[dict[str, Any]]:
    """Return each consignment with its group's ledger, its batches and its notices."""
    ahead = outlook.latest(nursery, now)
    found: list[dict[str, Any]] = ahead.body["consignments"]
    return found


def doubts(nursery: str, after: str) -> Page:
    """Return a page of subjects that have open doubts."""
    with scope(nursery) as book:
        found = book.subjects.filter(doubts__gt=0, ident__gt=after).order_by("ident", "type")
        some = list(found[: PAGE + 1])
        states = _fresh(book, some[:PAGE])
    items = [
        {
            "subject": state["id"],
            "label": state.get("label"),
            "doubts": [doubt for doubt in state["doubts"] if doubt["settled_by"] is None],
        }
        for state in states
    ]
    return Page(items, some[PAGE - 1].ident if len(some) > PAGE else None)


def needs_a_look(nursery: str, now: datetime) -> dict[str, Any]:
    """Return all that a person must look at: doubts, what was set aside or kept raw, phones."""
    with scope(nursery) as book:
        kept = list(kept_raw.open_ones(book, PAGE))
        aside = [
            {"id": ident, "seq": seq, "kind": kind, "occurred_at": at}
            for ident, seq, kind, at in lines.set_aside(book)
        ]
        phones = list(_phones(book, now))
        unseen = photo_story.needing_a_look(book)
    ahead = outlook.latest(nursery, now)
    open_doubts = doubts(nursery, "").items
    with scope(nursery) as book:
        without_pin = unconfirmed.among(book, open_doubts)
    return {
        "doubts": _with_wide(open_doubts, {**ahead.body["batches"], **_places(ahead.body)}),
        "unconfirmed": without_pin,
        "kept_raw": kept,
        "set_aside": aside,
        "phones": phones,
        "photos": unseen,
        "notices": ahead.body["notices"],
        "papers": [one.as_json() for one in qualified.ends(nursery, now)],
    }


def _places(body: Mapping[str, Any]) -> dict[str, dict[str, Any]]:
    """Return what is told of the places; they have no label."""
    return {ident: {**told, "label": None} for ident, told in body["places"].items()}


def _with_wide(
    items: Iterable[dict[str, Any]], forecasts: Mapping[str, dict[str, Any]]
) -> list[dict[str, Any]]:
    """Add the open doubts that no subject's own entries show: they follow from the whole book."""
    found = {item["subject"]: item for item in items}
    for ident, forecast in forecasts.items():
        own = {doubt["id"] for doubt in found[ident]["doubts"]} if ident in found else set()
        wide = [
            doubt
            for doubt in forecast["doubts"]
            if doubt["settled_by"] is None and doubt["id"] not in own
        ]
        if wide:
            empty = {"subject": ident, "label": forecast["label"], "doubts": []}
            item = found.setdefault(ident, empty)
            item["doubts"] = [*item["doubts"], *wide]
    return list(found.values())


def _phones(book: Scope, now: datetime) -> Iterable[dict[str, Any]]:
    """Yield what is odd about installs: lost numbers, silence with records on board."""
    for row in book.installs.order_by("ident"):
        about = {"install": row.ident, "device": row.device, "unsent": row.unsent}
        if row.n_missing:
            yield {**about, "code": "records_missing", "numbers": row.n_missing}
        if row.unsent and row.replaced_at is not None:
            yield {**about, "code": "joined_anew", "since": row.replaced_at}
        elif row.unsent and row.last_seen_at is not None and now - row.last_seen_at >= SILENT:
            yield {**about, "code": "silent", "since": row.last_seen_at}


def reference_rows(nursery: str, kind: str, role: str) -> list[dict[str, Any]]:
    """Return the latest revision of every row of one type, as somebody of this role sees it."""
    with scope(nursery) as book:
        return [rows.shown_to(role, row) for row in rows.every(book, kind)]
