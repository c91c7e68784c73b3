"""Proof of looking as a strip of cells, one a week: its first day, its answer, its minutes."""

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any, NamedTuple

from nursery.paper import svg
from nursery.paper.release_voice import Facts
from nursery.paper.telling import Voice

LEAF = "<path d='M5 22C3 12 10 5 23 5C24 17 17 24 7.5 22.5M4 25L15.5 13'/>"
SPOTTED = (
    "<path d='M5 22C3 12 10 5 23 5C24 17 17 24 7.5 22.5'/><g fill='#000' stroke='none'>"
    "<circle cx='11' cy='16' r='2.1'/><circle cx='17' cy='10.5' r='2.1'/>"
    "<circle cx='17.5' cy='17' r='2.1'/></g>"
)
DONE = ("found", "nothing")
# Room above a row of cells for the name of a month, and below it.
ABOVE, BELOW = 16, 4
# Room for the signs with their words.
KEY = 24


class Cell(NamedTuple):
    """How large a cell is, and how many stand in a row."""

    across: int
    tall: int
    leaf: float


LARGE, SMALL = Cell(19, 64, 0.72), Cell(27, 46, 0.43)
FEW_WEEKS = 57


def drawn(facts: Facts, voice: Voice) -> dict[str, str]:
    """Return the drawing and the same in words; both are empty where nothing was owed."""
    told = facts["looks"]["weeks"]
    if not told:
        return {"svg": "", "alt": ""}
    cell = LARGE if len(told) <= FEW_WEEKS else SMALL
    step, tall = svg.WIDTH / cell.across, cell.tall + ABOVE + BELOW
    parts, month = [], None
    for at, week in enumerate(told):
        left, top = at % cell.across * step, at // cell.across * tall + ABOVE
        first = date.fromisoformat(week["from"])
        if first.month != month or (at % cell.across == 0 and _lasts(told[at + 1 : at + 2], first)):
            month = first.month
            parts.append(svg.words(left + 1, top - 4, voice.say(f"date.month.{month}"), bold=True))
        parts.append(_cell(week, cell, left, top, step - 2))
    looks = facts["looks"]
    over, done, missing = (looks[key] for key in ("over", "done", "not_done"))
    bottom = ((len(told) - 1) // cell.across + 1) * tall
    parts.append(_key(told, bottom + KEY - 6, voice))
    return {
        "svg": svg.picture(bottom + KEY, parts),
        "alt": voice.say("release_file.looks_sum", n=over, done=done, missing=missing),
    }


def _lasts(following: Sequence[Mapping[str, Any]], first: date) -> bool:
    """Whether the next cell is of the same month, so that its name has room."""
    return all(date.fromisoformat(one["from"]).month == first.month for one in following)


def _cell(week: Mapping[str, Any], cell: Cell, left: float, top: float, wide: float) -> str:
    middle, answer = left + 1 + wide / 2, week["answer"]
    sure = answer in DONE
    edge = "stroke-width='1'" if sure else "stroke-width='2' stroke-dasharray='4 3'"
    day = str(date.fromisoformat(week["from"]).day)
    parts = [svg.box(left + 1, top, wide, cell.tall, edge)]
    parts.append(svg.words(middle, top + 13, day, bold=True, at="middle"))
    if sure or answer == "part":
        leaf = SPOTTED if week["found_in"] else LEAF
        place = f"translate({middle - 14 * cell.leaf:.1f} {top + 17}) scale({cell.leaf})"
        parts.append(f"<g transform='{place}' stroke-width='2.4'>{leaf}</g>")
        minutes = str(round(week["minutes"]))
        parts.append(svg.words(middle, top + cell.tall - 6, minutes, at="middle"))
    if answer == "not_done":
        rise = f"M{left + 5:.1f} {top + cell.tall - 5}L{left + wide - 3:.1f} {top + 18}"
        parts.append(svg.path(rise, 2))
    return "".join(parts)


def _key(told: Sequence[Mapping[str, Any]], y: float, voice: Voice) -> str:
    """Set each sign beside its word, so that none is left without one."""
    drawn, x = "", 1.0
    for answer in dict.fromkeys(one["answer"] for one in told):
        word = voice.say(f"release_file.week.{answer}")
        drawn += _sign(answer, x, y - 11) + svg.words(x + 20, y, word)
        x += 20 + len(word) * svg.LETTER + 3 * svg.LETTER
    return drawn


def _sign(answer: str, x: float, y: float) -> str:
    if answer in DONE:
        leaf = SPOTTED if answer == "found" else LEAF
        place = f"translate({x:.1f} {y - 2:.1f}) scale(.58)"
        return f"<g transform='{place}' stroke-width='2.4'>{leaf}</g>"
    stroke = svg.path(f"M{x + 2:.1f} {y + 11:.1f}l11 -9", 2) if answer == "not_done" else ""
    return svg.box(x, y, 15, 13, "stroke-width='2' stroke-dasharray='4 3'") + stroke
