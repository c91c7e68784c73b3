"""Reminders of due checks: one for all that is due together, not one for each tray (rule M-5)."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime
from typing import Any, NamedTuple

from nursery.domain.reminders.figures import FIGURES
from nursery.domain.reminders.occurrence import Occurrence, Subject, before, right_at, short
from nursery.domain.reminders.told import MOST_NAMED, Told
from nursery.domain.reminders.wall import instant_of

# By the kind of check: its rule, and the params that part what is due together.
RULES: Mapping[str, tuple[str, tuple[str, ...]]] = {
    "look_over": ("due_look_over", ()),
    "trap": ("due_trap", ()),
    "replace_trap": ("due_replace_trap", ()),
    "reading": ("due_reading", ()),
    "look_elsewhere": ("due_look_elsewhere", ("incident",)),
    "ordered_look": ("due_ordered_look", ("reference",)),
    "ordered_destruction": ("due_ordered_destruction", ("reference",)),
    "treatment": ("due_treatment", ("reference", "number", "of")),
    "notify": ("due_notify", ("event", "whom")),
    "test": ("due_test", ("number", "test")),
}
OTHER = ("due_other", ())
TOUGHEN = ("due_toughen", ())
# Told by rules of their own.
INSPECTION, RESULT = "inspection", "result"
BY_THE_HOUR = "due_notify"


class Together(NamedTuple):
    """What makes checks due together."""

    rule: str
    by: date
    parts: tuple[tuple[str, Any], ...]


def of_checks(told: Told) -> Iterator[Occurrence]:
    """Yield one reminder for all checks of a kind that are due by the same day."""
    found: dict[Together, list[Mapping[str, Any]]] = {}
    for check in told.outlook["checks"]:
        if check["kind"] not in (INSPECTION, RESULT):
            found.setdefault(_together(check, told), []).append(check)
    for together, checks in found.items():
        yield _due(together, checks, told)


def _together(check: Mapping[str, Any], told: Told) -> Together:
    rule, names = RULES.get(
        check["kind"], TOUGHEN if check["kind"].startswith("toughen_") else OTHER
    )
    parts = tuple((name, check["params"].get(name)) for name in names)
    return Together(rule, told.day(moment(check["due_by"])), parts)


def _due(together: Together, checks: Sequence[Mapping[str, Any]], told: Told) -> Occurrence:
    rule, by, parts = together
    left = [one for one in checks if is_open(one)]
    subjects = [one["subject"] for one in left or checks]
    due_by = max(moment(one["due_by"]) for one in checks)
    opens_at = min(moment(one["opens_at"]) for one in checks)
    wall, at = _falls(rule, by, opens_at, told)
    said: dict[str, Any] = {**told.named(subjects), **dict(parts), "by": by.isoformat()}
    if rule == BY_THE_HOUR:
        said["by_moment"] = min(one["due_by"] for one in checks)
    key = short(rule, by.isoformat(), *(str(value) for _, value in parts))
    alone = subjects[0] if len(set(subjects)) == 1 else None
    return Occurrence(
        rule=rule,
        key=key,
        cause=key,
        code=rule if said["n"] <= MOST_NAMED else f"{rule}_many",
        params=said,
        subject=Subject("", "") if alone is None else Subject(told.kind(alone), alone),
        wall=wall,
        at=at,
        on=by,
        until=due_by,
        answered=not left,
        checks=tuple(sorted(one["id"] for one in checks)),
    )


def _falls(rule: str, by: date, opens_at: datetime, told: Told) -> tuple[datetime, datetime | None]:
    """Return when a check's reminder falls: never before the check opens, and an urgent one then.

    What opens later than its days of lead falls at the usual hour of the day on which it opens.
    """
    wall = before(rule, by, told.timing)
    opening = datetime.combine(told.day(opens_at), told.timing.at)
    if FIGURES[rule].urgent:
        return right_at(opens_at, told.zone)
    if instant_of(wall, told.zone) < opens_at:
        wall = opening
    if instant_of(wall, told.zone) < opens_at:
        return right_at(opens_at, told.zone)
    return wall, None


def visits(told: Told) -> Iterator[Occurrence]:
    """Yield when the days for an official visit begin, and when they are nearly over (M-6)."""
    found: dict[tuple[int, date, date], list[Mapping[str, Any]]] = {}
    for check in told.outlook["checks"]:
        if check["kind"] == INSPECTION:
            first, last = (told.day(moment(check[at])) for at in ("opens_at", "due_by"))
            found.setdefault((check["params"]["number"], first, last), []).append(check)
    for (number, first, last), checks in found.items():
        left = [one for one in checks if is_open(one)]
        said = {
            **told.named([one["subject"] for one in left or checks]),
            "number": number,
            "first": first.isoformat(),
            "last": last.isoformat(),
        }
        for rule, on in (("visit_opens", first), ("visit_closes", last)):
            yield Occurrence(
                rule=rule,
                key=short(str(number), first.isoformat(), last.isoformat()),
                cause=short(str(number)),
                code=rule,
                params=said,
                subject=Subject("", ""),
                wall=before(rule, on, told.timing),
                on=on,
                until=told.end_of(last),
                answered=not left,
                checks=tuple(sorted(one["id"] for one in checks)),
            )


def results(told: Told) -> Iterator[Occurrence]:
    """Yield each result that was to be here the day before, and stays till it comes (C-14, M-6)."""
    for check in told.outlook["checks"]:
        if check["kind"] == RESULT:
            on = date.fromisoformat(check["params"]["on"])
            laboratory = check["params"]["laboratory"]
            yield Occurrence(
                rule="result_overdue",
                key=short(check["id"]),
                cause=short(check["params"]["sample"]),
                code="result_overdue_at" if laboratory else "result_overdue",
                params={
                    "sample": check["params"]["sample"],
                    "laboratory": laboratory,
                    "on": on.isoformat(),
                },
                subject=Subject(told.kind(check["subject"]), check["subject"]),
                wall=before("result_overdue", on, told.timing),
                on=on,
                answered=not is_open(check),
                checks=(check["id"],),
            )


def is_open(check: Mapping[str, Any]) -> bool:
    return check["answered_by"] is None and check["skipped_by"] is None


def moment(text: str) -> datetime:
    return datetime.fromisoformat(text)
