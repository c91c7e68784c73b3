"""The whole release file of a consignment, worked out from the book and its records."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import Any

from nursery.domain import exposure, families, holds, ledger, licences, notices
from nursery.domain.batch import Batch
from nursery.domain.book import Book
from nursery.domain.doubtful import beyond
from nursery.domain.kinds.health import Treated
from nursery.domain.release_file.admitted import admitted
from nursery.domain.release_file.changes import changes
from nursery.domain.release_file.counted_days import counted_days
from nursery.domain.release_file.looks import tally, weeks
from nursery.domain.release_file.readings import readings
from nursery.domain.release_file.season import season
from nursery.domain.release_file.shared_clocks import clocks
from nursery.domain.release_file.told import Records
from nursery.domain.release_file.under_permits import asked_of, of_permits

# Rows of reference data as they were typed, by type and id.
Rows = Mapping[tuple[str, str], Mapping[str, Any]]

NO_ROW: Mapping[str, Any] = {}
# A photo that nobody described has no time; such stand last.
UNDATED = "9999"

# What is listed together, by the kinds of its records. `noted` is in none: free words may have to
# be blanked one day, and a file that was handed over cannot be.
LISTS: Mapping[str, tuple[str, ...]] = {
    "arrivals": ("received", "taken_on", "opened"),
    "counts": ("counted", "settled"),
    "losses": ("lost",),
    "finds": ("found",),
    "samples": ("sampled", "resulted"),
    "orders": ("ordered",),
    "treatments": ("treated",),
    "inspections": ("inspected",),
    "acceptances": ("accepted",),
    "notified": ("told",),
    "bag": ("shown", "disposed"),
    "ways": ("potted", "pricked", "split", "mixed", "joined", "moved", "relabelled", "pruned",
             "worked", "sent", "returned", "planted"),
    "room": ("breached", "repaired", "described", "cleaned", "emptied", "readied", "dosed"),
    "not_done": ("skipped",),
    "exceptions": ("signed",),
    "releases": ("released",),
}  # fmt: skip
VISITS = ("entered", "left")
TRAPS = ("trapped",)

NAMED = ("person", "place", "crop", "pest", "permit", "consignment")
# Of a person no more is told than the record needs.
OF_A_PERSON = ("name", "role")


def compose(records: Records, consignment: str, rows: Rows, on: date) -> dict[str, Any]:
    """Return the release file of a consignment as of a day, in JSON.

    `records` are those that concern the batches of its account. A consignment that nobody has
    typed has an empty row.
    """
    book = records.book
    account = notices.account(consignment, book)
    batches = [book.batches[name] for name in account.batches]
    periods = weeks(book, account.batches, on)
    facts: dict[str, Any] = {
        "on": on.isoformat(),
        "nursery": _house(rows),
        "consignment": {"id": consignment, **rows.get(("consignment", consignment), NO_ROW)},
        "permits": of_permits(_permits(batches, book, rows), account, book, on),
        **asked_of(account, book),
        "admitted": admitted(batches, book, on),
        "account": account.as_json(),
        "ledger": _lines(batches),
        "batches": [_batch(one, book) for one in batches],
        "clocks": clocks(batches, book, on),
        "season": season(batches, book, on),
        "looks": tally(periods) | {"weeks": periods},
        "incidents": _incidents(records),
        **{name: records.standing(*kinds) for name, kinds in LISTS.items()},
        "licences": _licences(records),
        "visits": records.standing(*VISITS),
        "traps": records.standing(*TRAPS),
        "readings": readings(records),
        "counted_days": counted_days(batches, book, on),
        "corrections": changes(records),
        "photos": _photos(records),
        "notices": [one.as_json() for one in _notices(consignment, book)],
        "open": _open(batches, book),
    }
    return {**facts, "names": _names(facts, book, rows)}


def _licences(records: Records) -> dict[str, Any]:
    """Return for each treatment which licence of its operator was good on its day (rule O-6)."""
    book = records.book
    found = {}
    for entry in records.line.entries:
        if isinstance(entry.body, Treated) and entry.body.operator is not None:
            on = book.day(entry.body.started_at)
            good = licences.in_date(entry.body.operator, on, book)
            found[entry.id] = {"on": on.isoformat(), "licence": good}
    return found


def _house(rows: Rows) -> dict[str, Any]:
    found = [(ident, body) for (kind, ident), body in sorted(rows.items()) if kind == "nursery"]
    wanted = ("name", "country", "zone", "languages", "decimal_mark", "planting")
    return {
        key: value
        for ident, body in found
        for key, value in {"id": ident, **body}.items()
        if key in ("id", *wanted)
    }


def _permits(batches: Sequence[Batch], book: Book, rows: Rows) -> list[dict[str, Any]]:
    names = {book.permit_of(one) for one in batches}
    known = sorted(name for name in names if name is not None)
    return [{"id": name, **rows.get(("permit", name), NO_ROW)} for name in known]


def _lines(batches: Sequence[Batch]) -> list[dict[str, Any]]:
    """Return a line of the account for each batch, or for those that balance only together."""
    mixed = {one.id for one in batches if one.one_of_parents}
    known = {one.id: one for one in batches}
    together = [family for family in families.families(known) if mixed.intersection(family.batches)]
    grouped = {name for family in together for name in family.batches}
    lines = [(family.batches, family.ledger) for family in together]
    lines += [((one.id,), one.ledger) for one in batches if one.id not in grouped]
    return [
        {"batches": list(names), **whole.as_json()}
        for names, whole in sorted(lines, key=lambda line: _by_label(line, known))
    ]


def _by_label(
    line: tuple[tuple[str, ...], ledger.Ledger], known: Mapping[str, Batch]
) -> tuple[str, str]:
    return min((known[name].label or name, name) for name in line[0])


def _batch(batch: Batch, book: Book) -> dict[str, Any]:
    state = batch.as_json()
    del state["record"]
    return {**state, "held": [one.as_json() for one in book.once(holds.of_book).get(batch.id, ())]}


def _incidents(records: Records) -> list[dict[str, Any]]:
    """Return the finds and breaches that concern the batches, with whom they exposed."""
    ours, lines = set(records.batches), {one.line for one in records.line.entries}
    return [
        one.as_json()
        for one in records.book.once(exposure.incidents)
        if one.id in lines or ours.intersection(one.exposed)
    ]


def _notices(consignment: str, book: Book) -> tuple[notices.Notice, ...]:
    permit = getattr(book.row("consignment", consignment), "permit", None)
    subjects = (consignment, permit)
    return tuple(one for one in notices.of_book(book) if one.subject in subjects)


def _open(batches: Sequence[Batch], book: Book) -> list[dict[str, Any]]:
    """Return what needs a look and was not settled: the reader must know that it is open."""
    found = {
        doubt.id: {"batch": one.id, **doubt.as_json()}
        for one in batches
        for doubt in (*one.doubts, *beyond(one, book))
        if doubt.settled_by is None
    }
    return [found[name] for name in sorted(found)]


def _photos(records: Records) -> list[dict[str, Any]]:
    """Return the photos that the records name, each with what its own record says of the file."""
    files = {str(one["body"].get("photo")): one for one in records.standing("photographed")}
    named: dict[str, list[dict[str, Any]]] = {name: [] for name in files}
    for entry in records.line.entries:
        told = records.by_id[entry.id]
        by = {"entry": entry.id, "seq": told.seq, "kind": entry.kind}
        for name in _photos_in(told.body):
            named.setdefault(name, []).extend([by] if entry.kind != "photographed" else [])
    found = [
        {
            "name": name,
            "sha256": files[name]["body"].get("sha256") if name in files else None,
            "shows": files[name]["body"].get("shows") if name in files else None,
            "at": files[name]["at"] if name in files else None,
            "by": files[name]["by"] if name in files else None,
            "about": files[name]["about"] if name in files else [],
            "seq": files[name]["seq"] if name in files else None,
            "named_by": named[name],
        }
        for name in sorted(named)
    ]
    return sorted(found, key=lambda one: one["at"] or UNDATED)


def _photos_in(body: Mapping[str, Any]) -> Iterator[str]:
    several = body.get("photos")
    for name in (body.get("photo"), *(several if isinstance(several, list) else ())):
        if isinstance(name, str):
            yield name


def _names(facts: Mapping[str, Any], book: Book, rows: Rows) -> dict[str, dict[str, Any]]:
    """Return what people call everything that the file mentions, by type and id."""
    said = set(_texts(facts))
    names: dict[str, dict[str, Any]] = {
        kind: {
            ident: _called(kind, body)
            for (of, ident), body in sorted(rows.items())
            if of == kind and ident in said
        }
        for kind in NAMED
    }
    labels = {name: batch.label for name, batch in sorted(book.batches.items())}
    names["batch"] = {name: label for name, label in labels.items() if name in said and label}
    return names


def _called(kind: str, body: Mapping[str, Any]) -> Any:
    if kind == "person":
        return {key: body[key] for key in OF_A_PERSON if key in body}
    return body.get("reference") if kind == "permit" else body.get("name")


def _texts(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, Mapping):
        for one in value.values():
            yield from _texts(one)
    elif isinstance(value, list | tuple):
        for one in value:
            yield from _texts(one)
