"""Who is reminded, how each of them wants it, and where they can be reached."""

from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass, replace
from datetime import date, datetime, time
from typing import Any

from django.core.exceptions import ValidationError
from django.core.validators import validate_email

from nursery.domain import reference
from nursery.domain.reminders import figures
from nursery.domain.reminders.figures import FIGURES, Timing, To, Waits
from nursery.domain.reminders.quiet import Quiet
from nursery.services import clock, rows
from nursery.services.errors import ReminderSettingUnusable, Unknown
from nursery.services.people import GROWER
from nursery.store.models import MembershipRow, ReminderSettingRow
from nursery.store.scope import Scope

MOST_DIGEST = 100
WAITS = ("mail_after_hours", "grower_after_hours")
MOST_WAIT_HOURS = 72
MOST_GAP_MIN = 240
OF_THE_NURSERY = ("at", "lead_days", *WAITS)
OF_A_PERSON = ("address",)
KEPT = ("quiet_from", "quiet_to", "push", "mail", "digest_from", "gap_minutes")


@dataclass(frozen=True, slots=True)
class Wishes:
    """How somebody wants to be reminded: the nursery's words under their own."""

    quiet_from: time = figures.QUIET_FROM
    quiet_to: time = figures.QUIET_TO
    push: bool = True
    mail: bool = True
    digest_from: int = figures.DIGEST_FROM
    gap_minutes: int = figures.GAP_MIN

    @property
    def quiet(self) -> Quiet:
        return Quiet(self.quiet_from, self.quiet_to)

    def as_json(self) -> dict[str, Any]:
        hours = {name: f"{getattr(self, name):%H:%M}" for name in ("quiet_from", "quiet_to")}
        return {**asdict(self), **hours}


@dataclass(frozen=True, slots=True)
class Somebody:
    """One who is reminded; `person` is a row's id, or `account-N` of an account without one."""

    person: str
    name: str
    role: To
    language: str
    until: date | None
    address: str
    wishes: Wishes


def every(book: Scope) -> list[Somebody]:
    """Return all people of a nursery and its growers' accounts, in order of id."""
    said = dict(book.reminder_settings.values_list("person", "said"))
    house = _under(Wishes(), said.get("", {}))
    accounts = [
        (part.person or f"account-{part.account.pk}", part.account)
        for part in MembershipRow.objects.filter(nursery_id=book.key, role=GROWER)
        .exclude(until__lte=clock.now())
        .select_related("account")
        .order_by("pk")
    ]
    mails = {person: account.email for person, account in accounts if account.is_active}
    found = {}
    for row in rows.every(book, "person"):
        one = reference.read(row.type, row.id, row.body)
        if isinstance(one, reference.Person):
            found[row.id] = Somebody(
            row.id, one.name, To(one.role.value), one.language, one.until,
            mails.get(row.id, ""), house,
        )  # fmt: skip
    for person, account in accounts:
        if person not in found and account.is_active:
            found[person] = Somebody(
                person, account.name, To.GROWER, account.language, None, account.email, house
            )
    return [_own(found[name], said.get(name, {})) for name in sorted(found)]


def _own(one: Somebody, said: Mapping[str, Any]) -> Somebody:
    return replace(one, wishes=_under(one.wishes, said), address=said.get("address") or one.address)


def _under(wishes: Wishes, said: Mapping[str, Any]) -> Wishes:
    own = {name: said[name] for name in KEPT if name in said}
    for name in ("quiet_from", "quiet_to"):
        if name in own:
            own[name] = time.fromisoformat(own[name])
    return replace(wishes, **own)


def timing(book: Scope) -> Timing:
    """Return the nursery's own hour, days of lead and waits.

    Papers are told as many days ahead as they are listed, unless the nursery says other days here.
    """
    own = said(book, "")
    at = time.fromisoformat(own["at"]) if "at" in own else figures.AT
    ends = next((row.body.get("ends_days") for row in rows.every(book, "nursery")), None)
    leads = {} if ends is None else {"paper_ends": int(ends)}
    waits = Waits(**{name: own[name] for name in WAITS if name in own})
    return Timing(at, {**leads, **own.get("lead_days", {})}, waits)


def said(book: Scope, person: str) -> dict[str, Any]:
    """Return what somebody, or the nursery itself, has set."""
    row = book.reminder_settings.filter(person=person).first()
    return {} if row is None else dict(row.said)


def put(book: Scope, person: str, wanted: Mapping[str, Any]) -> None:
    """Keep what a person, or the nursery (``), wants; an empty wish takes it back.

    Raises:
        ReminderSettingUnusable: a field that cannot be; named.
        Unknown: nobody is called so.
    """
    if person and person not in {one.person for one in every(book)}:
        raise Unknown("person", person)
    kept = {name: _read(name, value, person) for name, value in wanted.items()}
    ReminderSettingRow.objects.update_or_create(
        nursery_id=book.key, person=person, defaults={"said": kept}
    )


def _read(name: str, value: Any, person: str) -> Any:
    known = (*KEPT, *(OF_A_PERSON if person else OF_THE_NURSERY))
    if name not in known or not _fits(name, value):
        raise ReminderSettingUnusable(field=name[:40], value=str(value)[:80])
    return value.strip() if name == "address" else value


def _fits(name: str, value: Any) -> bool:
    match name:
        case "push" | "mail":
            return isinstance(value, bool)
        case "digest_from":
            return _whole(value) and 2 <= value <= MOST_DIGEST
        case "gap_minutes":
            return _whole(value) and 0 <= value <= MOST_GAP_MIN
        case "mail_after_hours" | "grower_after_hours":
            return _whole(value) and 1 <= value <= MOST_WAIT_HOURS
        case "lead_days":
            return isinstance(value, Mapping) and _leads(value.items())
        case "address":
            return isinstance(value, str) and _address(value.strip())
        case _:
            return isinstance(value, str) and _hour(value)


def _leads(items: Iterable[tuple[Any, Any]]) -> bool:
    return all(
        rule in FIGURES and _whole(days) and abs(days) <= figures.MOST_LEAD_DAYS
        for rule, days in items
    )


def _whole(value: Any) -> bool:
    return isinstance(value, int) and not isinstance(value, bool)


def _address(text: str) -> bool:
    if not text:
        return True
    try:
        validate_email(text)
    except ValidationError:
        return False
    return True


def _hour(text: str) -> bool:
    try:
        datetime.strptime(text, "%H:%M")  # noqa: DTZ007  # an hour of the wall clock, of no day
    except ValueError:
        return False
    return len(text) == len("07:00")
