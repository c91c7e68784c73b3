"""Reminders of what ends, opens or stays undone: rooms, papers, weeks, phones, backups (M-6)."""

from collections.abc import Iterator, Mapping
from datetime import date, datetime, timedelta
from typing import Any

from nursery.domain import people_ends, seasons
from nursery.domain.reminders import figures
from nursery.domain.reminders.occurrence import Occurrence, Subject, before, right_at, short
from nursery.domain.reminders.told import Told

# Days are told so far ahead, as the outlook is.
AHEAD = timedelta(days=60)
# Who missed the end of a re-entry time by more than this, reads the sign on the door.
OVER_FOR = timedelta(hours=12)


def reentries(told: Told) -> Iterator[Occurrence]:
    """Yield when nobody need stay out of a room any more: at the instant itself (P-6, M-2)."""
    for room, place in told.outlook["places"].items():
        if place["reentry_until"] is not None:
            over = datetime.fromisoformat(place["reentry_until"])
            wall, at = right_at(over, told.zone)
            yield Occurrence(
                rule="reentry_over",
                key=short(room, place["reentry_until"]),
                cause=short(room),
                code="reentry_over",
                params={"place": told.name(room), "at": place["reentry_until"]},
                subject=Subject("place", room),
                wall=wall,
                at=at,
                on=told.day(over),
                ends_at=over,
                until=over + OVER_FOR,
            )


def permits(told: Told) -> Iterator[Occurrence]:
    """Yield the end of each permit, long before and shortly before it."""
    for ident, row in told.rows_of("permit"):
        if row.valid_to is not None:
            for rule in ("permit_ends", "permit_ends_soon"):
                yield Occurrence(
                    rule=rule,
                    key=short(ident, row.valid_to.isoformat()),
                    cause=short(ident),
                    code=rule,
                    params={"reference": row.reference, "on": row.valid_to.isoformat()},
                    subject=Subject("permit", ident),
                    wall=before(rule, row.valid_to, told.timing),
                    on=row.valid_to,
                    until=told.end_of(row.valid_to),
                )


def papers(told: Told) -> Iterator[Occurrence]:
    """Yield the end of each training and licence of who works here, one for each paper (O-6)."""
    people = [row for _, row in told.rows_of("person")]
    for one in people_ends.ends(people, told.today):
        cause = short(one.person, one.kind.value, one.what.strip().casefold())
        yield Occurrence(
            rule="paper_ends",
            key=short(cause, one.until.isoformat()),
            cause=cause,
            code=f"{one.kind.value}_ends",
            params={"name": one.name, "what": one.what, "on": one.until.isoformat()},
            subject=Subject("person", one.person),
            wall=before("paper_ends", one.until, told.timing),
            on=one.until,
            until=told.end_of(one.until),
        )


def lapses(told: Told) -> Iterator[Occurrence]:
    """Yield the last day on which an inspection or a test still carries a notice (Q-8, Q-13)."""
    found: dict[tuple[str, int, str, str], tuple[Mapping[str, Any], list[str]]] = {}
    for batch, forecast in told.outlook["batches"].items():
        for one in (forecast["clock"] or {}).get("lapses", ()):
            said = one["params"]
            about = (one["code"], said["number"], said["on"], said["last"])
            found.setdefault(about, (said, []))[1].append(batch)
    for (rule, number, on, last), (said, batches) in found.items():
        day = date.fromisoformat(last)
        yield Occurrence(
            rule=rule,
            key=short(str(number), on, last),
            cause=short(str(number)),
            code=rule,
            params={**said, **told.named(batches)},
            subject=Subject("batch", batches[0]) if len(batches) == 1 else Subject("", ""),
            wall=before(rule, day, told.timing),
            on=day,
            until=told.end_of(day),
        )


def weeks(told: Told) -> Iterator[Occurrence]:
    """Yield when planting weeks begin and end, where anything lives that could be planted (S-1)."""
    if not told.outlook["batches"]:
        return
    for one in seasons.after(told.today, told.book()):
        if one.first > told.today + AHEAD:
            continue
        said = {"first": one.first.isoformat(), "last": one.last.isoformat()}
        for rule, on in (("weeks_open", one.first), ("weeks_close", one.last)):
            yield Occurrence(
                rule=rule,
                key=short(one.first.isoformat(), one.last.isoformat()),
                cause=short(one.first.isoformat()),
                code=rule,
                params=said,
                subject=Subject("nursery", ""),
                wall=before(rule, on, told.timing),
                on=on,
                until=told.end_of(one.last),
            )


def phones(told: Told) -> Iterator[Occurrence]:
    """Yield each phone that holds unsent records and was not heard of for two days."""
    for one in told.phones:
        wall, at = right_at(one.heard_at + figures.SILENT_FOR, told.zone)
        yield Occurrence(
            rule="phone_silent",
            key=short(one.install, one.heard_at.isoformat()),
            cause=short(one.install),
            code="phone_silent",
            params={"phone": one.name, "n": one.unsent, "since": one.heard_at.isoformat()},
            subject=Subject("install", one.install),
            wall=wall,
            at=at,
        )


def differences(told: Told) -> Iterator[Occurrence]:
    """Yield once a week, on its Monday, how much still shuts the release gate (B-9, M-6)."""
    open_ones = {
        doubt["id"]
        for about in (told.outlook["batches"], told.outlook["places"])
        for one in about.values()
        for doubt in (*one["doubts"], *one.get("own_doubts", ()))
        if doubt["settled_by"] is None and doubt["weight"] == "blocking"
    }
    if open_ones:
        today = told.today
        monday = today + timedelta(days=-today.weekday() % 7)
        yield Occurrence(
            rule="differences_open",
            key=short(monday.isoformat()),
            cause=short("differences"),
            code="differences_open",
            params={"n": len(open_ones)},
            subject=Subject("nursery", ""),
            wall=before("differences_open", monday, told.timing),
            on=monday,
            until=told.end_of(monday),
        )


def backup(told: Told) -> Iterator[Occurrence]:
    """Yield that there is no tested backup, and again each week for as long as there is none."""
    if told.backup is None:
        return
    first = told.backup.since + figures.BACKUP_OLD_AFTER
    again = max(0, (told.now - first) // figures.BACKUP_AGAIN_AFTER)
    wall, at = right_at(first + again * figures.BACKUP_AGAIN_AFTER, told.zone)
    yield Occurrence(
        rule="no_backup",
        key=short(told.backup.key, str(again)),
        cause=short("backup"),
        code="no_backup",
        params={"since": told.day(told.backup.since).isoformat()},
        subject=Subject("backup", ""),
        wall=wall,
        at=at,
    )
