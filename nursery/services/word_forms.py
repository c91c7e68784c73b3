"""Days, hours, spans and figures in words, as the catalogue has them.

Each function gets `speak(key, **params)`, which says a sentence of the catalogue, so that no
language is known here. The built-in short names of months and weekdays are not used: in Spanish
`mar` is a Tuesday and a month.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

Speak = Callable[..., str]

NO_BREAK = "\u00a0"
DAYS_IN_WORDS = 60  # longer spans are told in weeks


@dataclass(frozen=True, slots=True)
class House:
    """The manner of one nursery: its zone (IANA name), decimal mark and present local day."""

    zone: str = "UTC"
    mark: str = "."
    today: date | None = None


def number(value: object, mark: str) -> str:
    r"""Return a figure: no mark up to 9999, from 10 000 a no-break space, and the decimal mark.

    >>> number(9999, "."), number(20000.5, ","), number(-3, ".")
    ('9999', '20\xa0000,5', '−3')
    """
    text = f"{Decimal(str(value)).normalize():f}"
    sign = "−" if text.startswith("-") else ""
    whole, _, part = text.lstrip("-").partition(".")
    if len(whole) > 4:
        whole = f"{int(whole):,}".replace(",", NO_BREAK)
    return sign + whole + (mark + part if part else "")


def day(speak: Speak, value: str, house: House) -> str:
    """`TUE 9 MAR`; with its year where that is not the present one."""
    return _dated(speak, "date.short", date.fromisoformat(value), house)


def bare_day(speak: Speak, value: str, house: House) -> str:
    """`9 MAR`, without the weekday."""
    return _dated(speak, "date.bare", date.fromisoformat(value), house)


def long_day(speak: Speak, value: str, house: House) -> str:
    """`Tuesday 9 March`, as spoken."""
    return _dated(speak, "date.long", date.fromisoformat(value), house, "_long")


def month_part(speak: Speak, value: str, _house: House) -> str:
    """`early`, `mid` or `late JAN`."""
    on = date.fromisoformat(value)
    part = "early" if on.day <= 10 else "mid" if on.day <= 20 else "late"
    return speak(f"date.part.{part}", month=speak(f"date.month.{on.month}"))


def moment(speak: Speak, value: str, house: House) -> str:
    """`WED 28 MAY 04:50`, in the nursery's zone."""
    local = _local(value, house)
    when = _dated(speak, "date.short", local.date(), house)
    return speak("date.moment", day=when, hour=f"{local:%H:%M}")


def hour(_speak: Speak, value: str, house: House) -> str:
    """`04:50`, in the nursery's zone."""
    return f"{_local(value, house):%H:%M}"


def since(speak: Speak, value: str, house: House) -> str:
    """`3 days ago`, `yesterday`, `in 3 days`, counted from the present day of the nursery."""
    ahead = 0 if house.today is None else (date.fromisoformat(value) - house.today).days
    near = {-1: "date.yesterday", 0: "date.today", 1: "date.tomorrow"}.get(ahead)
    if near is not None:
        return speak(near)
    return speak("date.ago", n=-ahead) if ahead < 0 else speak("date.ahead", n=ahead)


def days(speak: Speak, value: str, _house: House) -> str:
    """`45 days`; above 60 days in weeks."""
    n = int(value)
    return speak("span.weeks", n=n // 7) if n > DAYS_IN_WORDS else speak("span.days", n=n)


# From so many hours on nobody counts in hours.
IN_DAYS = 72


def minutes(speak: Speak, value: str, _house: House) -> str:
    """`25 min`, `13 h`, `13 h 25 min`, and from three days on `8 d 10 h`."""
    hours, rest = divmod(int(value), 60)
    if hours >= IN_DAYS:
        return speak("span.days_hours", days=hours // 24, hours=hours % 24)
    if hours and rest:
        return speak("span.hours_minutes", hours=hours, minutes=rest)
    return speak("span.hours", n=hours) if hours else speak("span.minutes", n=rest)


def milliseconds(speak: Speak, value: str, house: House) -> str:
    """A span in milliseconds, however directed, in minutes and hours."""
    return minutes(speak, str(round(abs(int(value)) / 60_000)), house)


def before_same_sound(key: str, last: str) -> str:
    """Return the key of `y` or `o` as Spanish says it: `e` before i-, `u` before o-."""
    word = last.lower()
    if key == "list.and" and word.startswith(("i", "í", "hi", "hí")):
        return key if word.startswith(("hia", "hie")) else "list.and_i"
    if key == "list.or" and word.startswith(("o", "ó", "ho", "hó", "8")):
        return "list.or_o"
    return key


def _local(value: str, house: House) -> datetime:
    return datetime.fromisoformat(value).astimezone(ZoneInfo(house.zone))


def _dated(speak: Speak, key: str, on: date, house: House, names: str = "") -> str:
    other_year = house.today is not None and on.year != house.today.year
    return speak(
        key + "_year" if other_year else key,
        weekday=speak(f"date.weekday{names}.{on.isoweekday()}"),
        date=str(on.day),
        month=speak(f"date.month{names}.{on.month}"),
        year=str(on.year),
    )


def stretch(speak: Speak, start: str, end: str, house: House) -> str:
    """`12 AUG 16:30 → 13 AUG 05:55, 13 h 25 min`."""
    first, last = _local(start, house), _local(end, house)
    length = int((last.astimezone(UTC) - first.astimezone(UTC)) / timedelta(minutes=1))

    def named(at: datetime) -> str:
        return speak(
            "date.moment", day=_dated(speak, "date.bare", at.date(), house), hour=f"{at:%H:%M}"
        )

    length_in_words = minutes(speak, str(length), house)
    return speak("date.stretch", start=named(first), end=named(last), length=length_in_words)
