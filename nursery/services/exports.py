"""Taking a book away: the lines of its file as they are stored, and the files that were made.

A file is made by a job and lies as `exports/NURSERY/NAME.zip` in the data folder. It is the
grower's own copy: it holds the people's rows with the hashes of their PINs, since the chain is
over their exact text. It holds no password and no secret of a phone.
"""

import re
from base64 import b64encode
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any
from urllib.parse import quote

import orjson
from django.conf import settings
from django.db.models import Q

from nursery.domain.entry import write_instant
from nursery.services import book_file, clock, jobs, kept_photos, verify
from nursery.services.errors import Unknown
from nursery.services.verify import Line
from nursery.store.models import AboutRow, FeedRow, JobRow
from nursery.store.scope import Scope, scope

KIND = "export"
KEPT_FOR = timedelta(days=7)
MAKING = ".making"
NAME = re.compile(r"\d{8}T\d{12}")
NOT_IN_NAMES = re.compile(r"[^a-z0-9-]")
PRIVATE_FOLDER = 0o700
# As a photo stands in a record.
_DIGEST = re.compile(r'"sha256":\s*"([0-9a-f]{64})"')


def ask(nursery: str, now: datetime) -> None:
    """Have a file of the whole book made, unless one is being made."""
    with scope(nursery, write=True) as book:
        book.lock_head()
        if _making(book) is None:
            jobs.write(KIND, f"asked {write_instant(clock.unshifted())}", now, nursery=book.key)


def report(nursery: str) -> dict[str, Any]:
    """Return since when a file is being made, why the last try ended, and the files there are."""
    with scope(nursery) as book:
        last = JobRow.objects.filter(kind=KIND, nursery_id=book.key).order_by("-made_at").first()
        return {
            "making": _making(book),
            "trouble": last.told if last is not None and last.state == JobRow.FAILED else None,
            "kept_days": KEPT_FOR.days,
            "files": [_told(file) for file in _files(nursery)],
        }


def _making(book: Scope) -> datetime | None:
    at_work = JobRow.objects.filter(
        Q(state__in=(JobRow.NEW, JobRow.RUNNING)), kind=KIND, nursery_id=book.key
    )
    return at_work.order_by("made_at").values_list("made_at", flat=True).first()


def _told(file: Path) -> dict[str, Any]:
    made_at = _made_at(file)
    ends_at = made_at + KEPT_FOR
    return {"id": file.stem, "made_at": made_at, "bytes": file.stat().st_size, "ends_at": ends_at}


def _made_at(file: Path) -> datetime:
    return datetime.strptime(file.stem + "+0000", "%Y%m%dT%H%M%S%f%z")


def _files(nursery: str) -> list[Path]:
    """Return the whole files of a nursery, the newest first."""
    found = [one for one in _folder(nursery).glob("*.zip") if NAME.fullmatch(one.stem)]
    return sorted(found, reverse=True)


def file_of(nursery: str, ident: str) -> Path:
    """Return a file that was made.

    Raises:
        Unknown: there is none of this name, or not any more.
    """
    file = _folder(nursery) / f"{ident}.zip"
    if not NAME.fullmatch(ident) or not file.is_file():
        raise Unknown("export", ident[:40])
    return file


def next_file(nursery: str) -> Path:
    """Return where the next file will lie."""
    folder = _folder(nursery)
    folder.mkdir(mode=PRIVATE_FOLDER, parents=True, exist_ok=True)
    return folder / f"{clock.unshifted():%Y%m%dT%H%M%S%f}.zip"


def clear_old() -> None:
    """Delete files that were made long ago, and what a worker left that died over one."""
    before = clock.unshifted() - KEPT_FOR
    for file in Path(settings.DATA / "exports").glob("*/*"):
        stem, _, rest = file.name.partition(".")
        if NAME.fullmatch(stem) and rest and _made_at(Path(f"{stem}.x")) < before:
            file.unlink(missing_ok=True)


def _folder(nursery: str) -> Path:
    return Path(settings.DATA) / "exports" / quote(nursery, safe="")


def head_of(book: Scope) -> dict[str, Any]:
    """Return what the file says of the nursery and of the line up to which it tells."""
    head, row = book.head, book.nursery
    return {
        "format": book_file.FORMAT,
        "nursery": {"id": row.ident, "name": row.name, "zone": row.zone, "demo": row.demo},
        "lines": head.last_seq,
        "link": head.chain,
    }


def feed(book: Scope, until: int, after: int = 0) -> Iterator[bytes]:
    """Yield every line of the feed with `after < number <= until`, each as one line of JSON."""
    seq = after
    while page := verify.page(book, seq):
        for line in page:
            seq = line.seq
            if seq > until:
                return
            yield orjson.dumps(_line(book, line), option=orjson.OPT_APPEND_NEWLINE)


def _line(book: Scope, line: Line) -> dict[str, Any]:
    told: dict[str, Any] = {
        "number": line.seq,
        "type": line.type,
        "what": line.what,
        "id": line.ident,
        "revision": line.rev,
        "received_at": write_instant(line.received_at),
        "hash": line.hash,
        "link": line.link,
    }
    if line.type == FeedRow.ENTRY:
        told["occurred_at"] = line.occurred_at and write_instant(line.occurred_at)
        told |= {"install": line.install, "n": line.n, "set_aside": line.set_aside}
        if not line.text:
            # Its text was erased, and with it what says whom it is about.
            named = AboutRow.objects.filter(nursery_id=book.key, seq=line.seq).order_by("pk")
            told["about"] = [*named.values_list("subject", flat=True)]
    return {**told, "text": line.text}


def photos(book: Scope, line: bytes) -> Iterator[str]:
    """Yield the hashes of the photos that a line of the file names and the office has."""
    # Texts stand in the line with their quotes escaped.
    for digest in _DIGEST.findall(line.decode().replace('\\"', '"')):
        if kept_photos.has(book.ident, digest):
            yield digest


def kept_raw(book: Scope) -> Iterator[bytes]:
    """Yield the texts that nobody could take as entries, byte for byte."""
    for row in book.kept_raw.order_by("pk").iterator(500):
        raw = bytes(row.raw)
        told = {
            "id": row.ident,
            "code": row.code,
            "field": row.field,
            "install": row.install,
            "device": row.device,
            "received_at": write_instant(row.received_at),
            "looked_at": row.looked_at and write_instant(row.looked_at),
            "hash": row.hash,
        }
        yield _written({**told, "base64": b64encode(raw).decode()})


def phones(book: Scope) -> Iterator[bytes]:
    """Yield the phones and what is known of each install's numbers; nothing to come in with."""
    for device in book.devices.order_by("pk"):
        at = {"joined_at": device.joined_at, "revoked_at": device.revoked_at}
        yield _written({"device": device.ident, "name": device.name, **_instants(at)})
    for one in book.installs.order_by("pk"):
        at = {name: getattr(one, name) for name in ("last_seen_at", "replaced_at")}
        numbers = {"n_max": one.n_max, "n_missing": one.n_missing, "unsent": one.unsent}
        yield _written(
            {"install": one.ident, "of": one.device, "app": one.app, **numbers, **_instants(at)}
        )


def weather(book: Scope) -> Iterator[bytes]:
    """Yield each series of weather, and after it its years."""
    for row in book.weather_series.order_by("ident"):
        told = {name: getattr(row, name) for name in ("name", "source", "invented", "sha256")}
        who = {"taken_at": write_instant(row.taken_at), "taken_by": row.taken_by}
        yield _written({"series": row.ident, **told, **who})
        for year in book.weather_years.filter(series=row.ident).order_by("year").iterator(50):
            yield _written({"of": row.ident, "year": year.year, "text": year.text})


def _instants(of: dict[str, datetime | None]) -> dict[str, str | None]:
    return {name: None if at is None else write_instant(at) for name, at in of.items()}


def _written(told: dict[str, Any]) -> bytes:
    return orjson.dumps(told, option=orjson.OPT_APPEND_NEWLINE)
