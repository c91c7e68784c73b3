"""The photos of one batch, as its records tell of them; and whose photos a reader may see."""

from dataclasses import dataclass
from typing import Any

import orjson

from nursery.domain.entry import Entry, write_instant
from nursery.domain.kinds.common import Photographed
from nursery.domain.timeline import standing
from nursery.services import photos
from nursery.services.errors import Unknown
from nursery.services.people import INSPECTOR, Caller
from nursery.services.photos import HERE, UNREADABLE, WAITING
from nursery.store import lines
from nursery.store.models import PhotoRow, SubjectRow
from nursery.store.scope import Scope, scope

KIND = "photographed"


@dataclass(frozen=True, slots=True)
class Seen:
    """One record of a photo that stands, and what it tells of it."""

    entry: Entry
    body: Photographed


def of_batch(nursery: str, ident: str) -> list[dict[str, Any]]:
    """Return the photos of a batch, oldest first: what the book tells, and what is here of each.

    `state` is `here` (with the sizes that may be asked for), `waiting` (it is on its phone, or on
    its way), or `unreadable` (it came, and nobody can see it).

    Raises:
        Unknown: no entry names such a batch.
    """
    with scope(nursery) as book:
        if not book.subjects.filter(type=SubjectRow.BATCH, ident=ident).exists():
            raise Unknown("batch", ident)
        found = _seen(lines.of_subjects(book, [ident]).get(ident, []))
        rows = photos.states(book, [one.body.sha256 for one in found])
        names = _names(book, found)
    return [_told(one, rows.get(one.body.sha256), names) for one in found]


def _seen(entries: list[Entry]) -> list[Seen]:
    stand = standing(entries).entries
    return [Seen(one, one.body) for one in stand if isinstance(one.body, Photographed)]


def _names(book: Scope, found: list[Seen]) -> dict[str, str]:
    wanted = {one.entry.author for one in found}
    people = book.refs.filter(type="person", ident__in=wanted)
    return {row.ident: orjson.loads(row.text)["name"] for row in people}


def _told(one: Seen, row: PhotoRow | None, names: dict[str, str]) -> dict[str, Any]:
    state = {PhotoRow.HERE: HERE, PhotoRow.UNREADABLE: UNREADABLE}.get(row.state if row else "")
    sizes = row.copies if row is not None and state == HERE else {}
    return {
        "record": one.entry.id,
        "photo": one.body.photo,
        "sha256": one.body.sha256,
        "occurred_at": one.entry.occurred_at,
        "author": one.entry.author,
        "author_name": names.get(one.entry.author),
        "shows": one.body.shows,
        "state": state or WAITING,
        "came_at": row.came_at if row else None,
        "taken_at": row.taken_at if row else None,
        "sizes": [
            {"longest": int(longest), "width": told["width"], "height": told["height"]}
            for longest, told in sorted(sizes.items(), key=lambda size: int(size[0]))
        ],
    }


def copy_for(caller: Caller, digest: str, longest: int) -> photos.Copy:
    """Return a copy of a photo for somebody who may see it.

    Grower and phone see every photo of their nursery. Who reads by a link sees those that a record
    shows which stands and which is about a batch or a place of the book: no photo that was taken
    back, and none that nobody wrote about.

    Raises:
        Unknown: there is none, or none for them.
        PhotosAway: object storage is not to be reached.
    """
    if caller.role == INSPECTOR and not _is_shown(caller.nursery, digest):
        raise Unknown("photo", digest[:80])
    return photos.copy(caller.nursery, digest, longest)


def _is_shown(nursery: str, digest: str) -> bool:
    with scope(nursery) as book:
        named = book.entries.filter(what=KIND, text__contains=digest).values_list(
            "ident", flat=True
        )
        about = {name for ident in named for name in lines.subjects_of(book, ident)}
        known = set(book.subjects.filter(ident__in=about).values_list("ident", flat=True))
        told = lines.of_subjects(book, known)
    entries = {entry.id: entry for of_one in told.values() for entry in of_one}
    return any(one.body.sha256 == digest for one in _seen(list(entries.values())))


def needing_a_look(book: Scope) -> list[dict[str, Any]]:
    """Return the photos that came, cannot be seen, and were not looked at, with their records."""
    rows = [row for row in photos.unreadable(book) if row.looked_at is None]
    named: dict[str, list[Entry]] = {}
    for one in _seen(lines.of_kinds(book, [KIND])) if rows else ():
        named.setdefault(one.body.sha256, []).append(one.entry)
    return [
        {
            "sha256": row.sha256,
            "why": row.fault,
            "came_at": write_instant(row.came_at),
            "records": [_record(one) for one in named.get(row.sha256, ())],
        }
        for row in rows
    ]


def _record(one: Entry) -> dict[str, Any]:
    return {
        "id": one.id,
        "about": list(one.about),
        "author": one.author,
        "occurred_at": write_instant(one.occurred_at),
    }
