"""What becomes of a photo that came whole: a job has its copies drawn, and the row says the rest.

What a phone sent is kept sealed: its record vouches for those bytes, so they must stay provable,
and nobody is ever given them as they are. What is shown and handed over are the copies that
`darkroom` drew: upright, without anything beside the picture. One that cannot be drawn stays
sealed, its record stands, and it needs a look.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from nursery.services import darkroom, jobs, kept_photos
from nursery.services.errors import Unknown
from nursery.store.models import PhotoRow
from nursery.store.scope import Scope, scope

KIND = "photo"
# The states of a photo that a record names.
HERE, WAITING, UNREADABLE = "here", "waiting", "unreadable"
MOST_ASKED = 500


@dataclass(frozen=True, slots=True)
class Copy:
    """One copy as it is handed out, with the hash of its bytes."""

    sha256: str
    content: bytes


def came(book: Scope, digest: str, size: int, now: datetime) -> None:
    """Note in the caller's transaction that a photo is here whole, and have its copies drawn."""
    row, made = book.photos.get_or_create(
        nursery_id=book.key, sha256=digest, defaults={"bytes": size, "came_at": now}
    )
    if not made:
        # It was here before, and its bytes were bent or lost meanwhile.
        row.state, row.came_at, row.safe_at = PhotoRow.NEW, now, None
        row.save(update_fields=["state", "came_at", "safe_at"])
    key = f"{digest} {now.isoformat()}"
    jobs.write(KIND, key, now, {"sha256": digest}, nursery=book.key)


def draw(nursery: str, digest: str) -> str:
    """Draw the copies of a photo and keep them; return its state.

    Raises:
        Unknown: its bytes are not here.
        PhotosAway: object storage is not to be reached; try again.
    """
    content = kept_photos.read(nursery, digest)
    if content is None:
        raise Unknown("photo", digest)
    drawn = darkroom.draw(content)
    copies = {
        str(one.longest): {
            "sha256": kept_photos.keep_copy(nursery, one.content),
            "width": one.width,
            "height": one.height,
        }
        for one in drawn.copies
    }
    with scope(nursery, write=True) as book:
        book.photos.filter(sha256=digest).update(
            state=PhotoRow.UNREADABLE if drawn.fault else PhotoRow.HERE,
            fault=drawn.fault,
            bytes=len(content),
            copies=copies,
            taken_at=drawn.taken_at(book.zone),
        )
    return UNREADABLE if drawn.fault else HERE


def copy(nursery: str, digest: str, longest: int) -> Copy:
    """Return a copy of a photo, with its longest side so many dots.

    Raises:
        Unknown: there is no such photo, it cannot be read, or its copies are not drawn yet.
        PhotosAway: object storage is not to be reached.
    """
    with scope(nursery) as book:
        row = book.photos.filter(sha256=digest, state=PhotoRow.HERE).first()
    told = {} if row is None else row.copies.get(str(longest), {})
    content = kept_photos.read_copy(nursery, told["sha256"]) if told else None
    if content is None:
        raise Unknown("photo", digest[:80])
    return Copy(told["sha256"], content)


def largest(nursery: str, digest: str | None) -> bytes | None:
    """Return the largest copy of a photo, drawn now where that was not done yet; None of none."""
    if digest is None:
        return None
    try:
        return copy(nursery, digest, darkroom.LONGEST[0]).content
    except Unknown:
        content = kept_photos.read(nursery, digest)
    drawn = None if content is None else darkroom.draw(content)
    return drawn.copies[0].content if drawn and drawn.copies else None


def states(book: Scope, digests: Iterable[str]) -> dict[str, PhotoRow]:
    """Return the rows of those photos that came whole, by hash."""
    found = book.photos.filter(sha256__in=set(digests))
    return {row.sha256: row for row in found}


def safe(nursery: str, digests: Iterable[str]) -> list[str]:
    """Return which of these can be read and lie in a tested backup: a phone may let them go."""
    with scope(nursery) as book:
        held = book.photos.filter(sha256__in=set(digests), state=PhotoRow.HERE)
        return sorted(held.exclude(safe_at=None).values_list("sha256", flat=True))


def unreadable(book: Scope) -> list[PhotoRow]:
    """Return the photos that could not be drawn, the latest first."""
    return list(book.photos.filter(state=PhotoRow.UNREADABLE).order_by("-came_at", "-pk"))


def looked_at(nursery: str, digest: str, now: datetime) -> None:
    """Note that a person saw that a photo cannot be read; it stays sealed, and leaves the list.

    Raises:
        Unknown: no such photo waits for a look.
    """
    with scope(nursery, write=True) as book:
        waiting = book.photos.filter(state=PhotoRow.UNREADABLE, looked_at=None)
        if not waiting.filter(sha256=digest).update(looked_at=now):
            raise Unknown("photo", digest[:80])


def adopt(nursery: str, now: datetime) -> int:
    """Hold the rows against what is kept; return how many of them had to change.

    Photos may lie here that no row tells of (they came before there were rows, or a restored book
    is older than they are), and a row may tell of one that is gone; then a phone may send it again.
    """
    with scope(nursery) as book:
        rows = {row.sha256: row for row in book.photos}
    # A photo is kept before its row is written, so that none of these rows is ahead of its photo.
    kept, copies = set(kept_photos.every(nursery)), set(kept_photos.every_copy(nursery))
    gone = [digest for digest in rows if digest not in kept]
    new = sorted(kept - set(rows))
    bare = [row for row in rows.values() if row.sha256 in kept and _lacks_a_copy(row, copies)]
    with scope(nursery, write=True) as book:
        book.photos.filter(sha256__in=gone).delete()
        for digest in new:
            came(book, digest, 0, now)
        for row in bare:
            _draw_anew(book, row, now)
    return len(gone) + len(new) + len(bare)


def _lacks_a_copy(row: PhotoRow, copies: set[str]) -> bool:
    told = {one["sha256"] for one in row.copies.values()}
    return row.state == PhotoRow.HERE and not (told and told <= copies)


def _draw_anew(book: Scope, row: PhotoRow, now: datetime) -> None:
    row.state = PhotoRow.NEW
    row.save(update_fields=["state"])
    key = f"{row.sha256} again {now.isoformat()}"
    jobs.write(KIND, key, now, {"sha256": row.sha256}, nursery=book.key)
