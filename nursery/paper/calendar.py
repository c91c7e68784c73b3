"""The calendar that people subscribe to, as iCalendar (RFC 5545, with the names of RFC 7986).

What has days is all-day, without a zone, so that it stays on its day wherever it is read; what has
an hour stands in UTC. Folding, escapes and order are the library's.
"""

import re
from datetime import timedelta
from hashlib import sha256
from typing import Any

from icalendar import Alarm, Calendar, Event

from nursery.domain.diary import Told
from nursery.services import words
from nursery.services.calendars import Feed
from nursery.services.word_forms import House

MEDIA = "text/calendar; charset=utf-8"
PRODUCT = "-//Lathhouse//Calendar 1//EN"
# A hint; calendars read as often as they like.
AGAIN = timedelta(hours=6)
# A whole day begins at midnight: so many days before it, an alarm rings at seven in the morning.
RINGS_AT = timedelta(hours=7)
DAY = timedelta(days=1)
# Some readers take these for the end of a line, and what follows for a line of ours.
UNSAYABLE = re.compile("[\x00-\x09\x0b-\x1f\x7f\x85\u2028\u2029]")


def ics(feed: Feed) -> bytes:
    """Return the calendar of a feed, in its language."""
    house = House(feed.zone, today=feed.today)
    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("method", "PUBLISH")
    name = words.say(feed.language, "calendar.name", {"nursery": feed.name}, house)
    name = " ".join(name.split())
    calendar.add("name", name)
    calendar.add("x-wr-calname", name)
    calendar.add("refresh-interval", AGAIN, {"VALUE": "DURATION"})
    calendar.add("x-published-ttl", "PT6H")
    for told in feed.events:
        calendar.add_component(_event(told, feed, house))
    made: bytes = calendar.to_ical()
    return made


def _event(told: Told, feed: Feed, house: House) -> Event:
    event, one = Event(), told.event
    event.add("uid", f"{sha256(f'{feed.nursery}:{one.uid}'.encode()).hexdigest()[:32]}@lathhouse")
    event.add("dtstamp", told.changed_at)
    event.add("last-modified", told.changed_at)
    event.add("sequence", told.sequence)
    title, text = map(_of_lines, _said(told, feed, house))
    event.add("summary", title, {"LANGUAGE": feed.language})
    event.add("description", text, {"LANGUAGE": feed.language})
    if one.at is not None:
        event.add("dtstart", one.at)
    else:
        event.add("dtstart", one.first)
        event.add("dtend", one.last + DAY)  # the day after the last (RFC 5545, 3.6.1)
    event.add("transp", "TRANSPARENT")
    if told.cancelled:
        event.add("status", "CANCELLED")
        return event
    event.add("status", "TENTATIVE" if one.forecast else "CONFIRMED")
    if one.at is not None:
        event.add_component(_alarm(title, timedelta()))
    elif one.rings is not None:
        event.add_component(_alarm(title, RINGS_AT - one.rings * DAY))
    return event


def _of_lines(text: str) -> str:
    """Return a text whose lines are parted by the one sign that the form can say (3.3.11)."""
    return UNSAYABLE.sub(" ", text.replace("\r\n", "\n"))


def _alarm(title: str, trigger: timedelta) -> Alarm:
    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", title)
    alarm.add("trigger", trigger)
    return alarm


def _said(told: Told, feed: Feed, house: House) -> tuple[str, str]:
    """Return what an event is called, and what is said of it."""
    one = told.event

    def say(key: str, **params: Any) -> str:
        return words.say(feed.language, f"calendar.{key}", params, house)

    params = dict(one.params)
    if one.code in ("check", "visit"):
        key = f"check.{params['check']}"
        params["what"] = words.say(feed.language, key, {}, house)
    where = "_at" if params.get("place") else ""
    title = say(f"{one.code}{where if one.code in PLACED else ''}", **params)
    lines = []
    if params.get("labels"):
        more = params["n"] - len(params["labels"])
        lines.append(say("labels_more" if more else "labels", names=params["labels"], n=more))
    if one.opens is not None:
        lines.append(say("from", on=one.opens.isoformat(), last=one.last.isoformat()))
    if one.forecast:
        lines.append(say("forecast", on=feed.today.isoformat()))
    lines.append(say(f"{one.code}_text", **params))
    title = title[:1].upper() + title[1:]
    return (say("cancelled", text=title) if told.cancelled else title), "\n".join(lines)


# Whose names tell where.
PLACED = frozenset({"check", "visit", "reentry", "release"})
