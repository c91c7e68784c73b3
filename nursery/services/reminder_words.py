"""What a reminder says, in the language of whoever reads it: a title and one sentence."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any, NamedTuple

from nursery.services import rows, words
from nursery.services.word_forms import House
from nursery.store.scope import Scope

# What fits on one page beside the greeting.
MOST_LINES = 30
# A banner shows few lines.
MOST_ON_A_BANNER = 3


class Said(NamedTuple):
    """A reminder as it is told; `instead_of` names the worker who did not see it.

    `asked` says whether something went out to them, or nothing could.
    """

    code: str
    params: Mapping[str, Any]
    instead_of: str = ""
    asked: bool = True


class Text(NamedTuple):
    """A title of a few words, and what follows."""

    title: str
    body: str


def house(book: Scope, now: datetime) -> House:
    """Return the manner in which a nursery writes days and figures."""
    own = next((row.body for row in rows.every(book, "nursery")), {})
    mark = str(own.get("decimal_mark", "."))
    return House(book.nursery.zone, mark, now.astimezone(book.zone).date())


def sentence(language: str, said: Said, manner: House) -> Text:
    """Return what one reminder says."""
    tongue = words.choose(language)
    title = words.say(tongue, f"remind_title.{said.code}", said.params, manner)
    body = words.say(tongue, f"remind.{said.code}", said.params, manner)
    if said.instead_of:
        key = "remind_say.escalated" if said.asked else "remind_say.not_reached"
        body = words.say(tongue, key, {"name": said.instead_of, "text": body})
    return Text(title, body)


def banner(language: str, some: Sequence[Said], manner: House) -> Text:
    """Return what a push says: of one reminder its sentence, of many how many and the first."""
    if len(some) == 1:
        return sentence(language, some[0], manner)
    return _digest(language, some, manner, MOST_ON_A_BANNER)


def mail(language: str, name: str, some: Sequence[Said], manner: House) -> Text:
    """Return subject and plain text of an e-mail of at most one page."""
    tongue = words.choose(language)
    if len(some) == 1:
        told = sentence(language, some[0], manner)
    else:
        told = _digest(language, some, manner, MOST_LINES)
    subject = words.say(tongue, "remind_say.subject", {"nursery": name, "title": told.title})
    end = words.say(tongue, "remind_say.mail_end", {"nursery": name})
    return Text(" ".join(subject.split()), f"{told.body}\n\n{end}\n")


def _digest(language: str, some: Sequence[Said], manner: House, most: int) -> Text:
    tongue = words.choose(language)
    lines = [sentence(language, one, manner).body for one in some[:most]]
    if len(some) > most:
        lines.append(words.say(tongue, "remind_say.more", {"n": len(some) - most}, manner))
    title = words.say(tongue, "remind_say.digest", {"n": len(some)}, manner)
    return Text(title, "\n".join(f"- {line}" for line in lines))
