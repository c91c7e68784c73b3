"""Today's round on paper: three boxes a batch, in the order in which it is safely walked."""

from collections.abc import Collection
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from nursery.domain.entry import write_instant
from nursery.paper import typeset
from nursery.paper.errors import NothingToPrint
from nursery.paper.label_words import sign_of
from nursery.paper.telling import Voice
from nursery.services import round_sheet, words
from nursery.services.round_sheet import Line, Room, Sheet

TEMPLATE = "round.typ"
BOXES = ("nothing", "found", "not_looked")


def pdf(
    nursery: str, rooms: Collection[str], now: datetime, language: str | None, *, every: bool
) -> bytes:
    """Return the sheet as a PDF, in a language or in the nursery's first.

    Raises:
        Unknown: one of `rooms` is no room with anything to look at.
        NothingToPrint: nothing is asked for today.
    """
    found = round_sheet.read(nursery, rooms, now, every=every)
    return typeset.pdf(TEMPLATE, composed(found, language), found.house.today or now.date())


def composed(sheet: Sheet, language: str | None) -> dict[str, Any]:
    """Return what the template is given.

    Raises:
        NothingToPrint: nothing is asked for.
    """
    if not sheet.rooms:
        raise NothingToPrint
    spoken = (one for one in (language, *sheet.languages) if one in words.languages())
    voice = Voice(next(spoken, "en"), sheet.house, {})
    on = sheet.house.today or sheet.at.date()
    columns = ("batch", "stands", "alive", "plants", "dead", "trap", "caught")
    return {
        "language": voice.language,
        "date": {"year": on.year, "month": on.month, "day": on.day},
        "title": voice.say("roundsheet.title", on=on.isoformat(), year=str(on.year)),
        "nursery": sheet.nursery,
        "drawn": voice.say("roundsheet.drawn", at=write_instant(sheet.at)),
        "blanks": [voice.say(f"roundsheet.{key}") for key in ("who", "from", "until", "typed")],
        "boxes": [voice.say(f"answer.{code}") for code in BOXES],
        "trap_boxes": [voice.say("roundsheet.zero"), voice.say("answer.not_readable")],
        "columns": {key: voice.say(f"roundsheet.{key}") for key in columns},
        "caution": voice.say("roundsheet.caution"),
        "rooms": [_room(one, voice) for one in sheet.rooms],
        "number": voice.say("roundsheet.number", text=number(sheet)),
        "count": voice.say("roundsheet.page", n="{n}", of="{of}"),
    }


def number(sheet: Sheet) -> str:
    """Return what the sheet is called: its day and hour, so that two of a day are told apart."""
    return sheet.at.astimezone(ZoneInfo(sheet.house.zone)).strftime("%Y-%m-%d %H%M")


def _room(room: Room, voice: Voice) -> dict[str, Any]:
    shut = [
        voice.say("roundsheet.shut_unknown")
        if until is None
        else voice.say("roundsheet.shut", at=write_instant(until))
        for until in room.shut
    ]
    by = [
        *room.held,
        *(voice.say("roundsheet.incident", on=on.isoformat()) for on in room.incidents),
    ]
    held = [voice.say("roundsheet.holds", names=by)] if by else []
    return {
        "name": room.name or voice.say("roundsheet.nowhere"),
        "warnings": shut + held,
        "lines": [_line(one, voice) for one in room.lines],
        "whole": voice.say("roundsheet.whole") if room.whole else "",
        "traps": list(room.traps),
    }


def _line(line: Line, voice: Voice) -> dict[str, Any]:
    doubt = line.turn.doubt
    return {
        "sign": sign_of(line.batch),
        "label": line.turn.label,
        "stands": line.stands,
        "alive": "" if line.turn.alive is None else voice.say("figure", figure=line.turn.alive),
        "doubt": voice.say(f"status.{doubt}") if doubt else "",
    }
