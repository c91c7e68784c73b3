"""Parts of what a record says in words: each takes a field of the body, and is silent without it.

The phone's twin is `frontend/src/screens/batch/telling.ts`; both say the same of one record.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from nursery.services import words
from nursery.services.word_forms import House, stretch

Body = Mapping[str, Any]
Names = Mapping[str, Mapping[str, Any]]


@dataclass(frozen=True, slots=True)
class Voice:
    """A language, the nursery's manner, and what people call what is named by an id."""

    language: str
    house: House
    names: Names

    def say(self, key: str, **params: object) -> str:
        return words.say(self.language, key, params, self.house)

    def word(self, family: str, code: object, **params: object) -> str | None:
        """Return the word of a code, or None where the catalogue has none."""
        key = f"{family}.{code}"
        return self.say(key, **params) if words.has(self.language, key) else None

    def code(self, family: str, code: object) -> str:
        """Return the word of a code; one that this version does not know, as it was written."""
        return self.word(family, code) or str(code).replace("_", " ")

    def name(self, kind: str, ident: str) -> str:
        found = self.names.get(kind, {}).get(ident)
        return str(found.get("name", ident) if isinstance(found, Mapping) else found or ident)


Part = Callable[[Body, Voice], str | None]


def text(value: object) -> str | None:
    return value if isinstance(value, str) and value else None


def figure(value: object) -> float | None:
    return value if isinstance(value, int | float) and not isinstance(value, bool) else None


def several(value: object) -> Sequence[Body]:
    found = value if isinstance(value, list) else []
    return [one for one in found if isinstance(one, Mapping)]


def texts(value: object) -> list[str]:
    found = value if isinstance(value, list) else []
    return [one for one in found if text(one)]


def joined(parts: Sequence[Part], body: Body, voice: Voice, glue: str = ", ") -> str | None:
    """Return the parts that say something as one sentence; None where none does."""
    said = [words_of for part in parts if (words_of := part(body, voice))]
    return glue.join(said) or None


def because(first: Part, *reasons: Part) -> Part:
    """Make a part of which the later ones are the reason or the content of the first."""

    def told(body: Body, voice: Voice) -> str | None:
        line, reason = first(body, voice), joined(reasons, body, voice)
        if line is None or reason is None:
            return line or reason
        return voice.say("line.reason", text=line, reason=reason)

    return told


def plain(field: str, key: str | None = None) -> Part:
    return lambda body, voice: _phrase(text(body.get(field)), voice, key)


def counted(field: str, key: str) -> Part:
    def told(body: Body, voice: Voice) -> str | None:
        n = figure(body.get(field))
        return None if n is None else voice.say(key, n=n)

    return told


def coded(field: str, family: str, key: str | None = None) -> Part:
    def told(body: Body, voice: Voice) -> str | None:
        code = text(body.get(field))
        return _phrase(code and voice.code(family, code), voice, key)

    return told


def named(field: str, kind: str, key: str | None = None) -> Part:
    def told(body: Body, voice: Voice) -> str | None:
        ident = text(body.get(field))
        return _phrase(ident and voice.name(kind, ident), voice, key)

    return told


def all_of(field: str, key: str, kind: str) -> Part:
    """Make a part of several names, in a phrase with the hole `names` or `labels`."""

    def told(body: Body, voice: Voice) -> str | None:
        names = [voice.name(kind, one) for one in texts(body.get(field))]
        return voice.say(key, n=len(names), names=names, labels=names) if names else None

    return told


def codes(field: str, family: str) -> Part:
    return lambda body, voice: ", ".join(voice.code(family, one) for one in texts(body.get(field)))


def on_day(field: str, key: str) -> Part:
    def told(body: Body, voice: Voice) -> str | None:
        on = text(body.get(field))
        return on and voice.say(key, on=on)

    return told


def on_days(field: str, key: str) -> Part:
    """Make a part of several days, in a phrase with the hole `names`."""

    def told(body: Body, voice: Voice) -> str | None:
        names = [voice.say("line.day", on=on) for on in texts(body.get(field))]
        return voice.say(key, names=names) if names else None

    return told


def at(field: str, key: str) -> Part:
    def told(body: Body, voice: Voice) -> str | None:
        instant = text(body.get(field))
        return instant and voice.say(key, at=instant)

    return told


def flagged(field: str, key: str) -> Part:
    """Make a part that is said where the field is there and is not false."""

    def told(body: Body, voice: Voice) -> str | None:
        value = body.get(field)
        return voice.say(key) if value is True or text(value) else None

    return told


PHOTO = flagged("photo", "line.photo")


def each(field: str, parts: Sequence[Part], glue: str = ", ") -> Part:
    """Make a part of what each of several things says, in the words of its own parts."""

    def told(body: Body, voice: Voice) -> str | None:
        said = [joined(parts, one, voice) for one in several(body.get(field))]
        return glue.join(one for one in said if one) or None

    return told


def inside(field: str, parts: Sequence[Part]) -> Part:
    """Make a part of one thing inside the body."""

    def told(body: Body, voice: Voice) -> str | None:
        value = body.get(field)
        return joined(parts, value, voice) if isinstance(value, Mapping) else None

    return told


def between(start: str, end: str) -> Part:
    """Make a part that says from when to when, and how long."""

    def told(body: Body, voice: Voice) -> str | None:
        first, last = text(body.get(start)), text(body.get(end))
        if first is None or last is None:
            return None
        return stretch(voice.say, first, last, voice.house)

    return told


def shares(body: Body, voice: Voice) -> str | None:
    """Say how many plants of which batches."""
    said = [
        voice.say(
            "line.share",
            n=figure(one.get("count")) or 0,
            label=voice.name("batch", str(one.get("id"))),
        )
        for one in several(body.get("plants"))
    ]
    return ", ".join(said) or None


def _phrase(value: str | None, voice: Voice, key: str | None) -> str | None:
    return voice.say(key, text=value) if value and key else value
