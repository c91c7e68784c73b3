"""What a user reads: the Python reader of the word catalogue.

One file per language stands in `nursery/words/`; its README.md gives the form. The phone's twin is
`frontend/src/words/`; `tests/vectors/words.json` keeps the two alike. Pure functions over files
read once: the zone, the day and the decimal mark come in as a `House`.
"""

import json
import re
from collections.abc import Callable, Mapping, Sequence
from functools import cache
from importlib import resources

from nursery.services import word_forms
from nursery.services.word_forms import House

Forms = str | Mapping[str, str]
Catalogue = Mapping[str, Forms]

_HOLE = re.compile(r"\{(\w+)(?:\|(\w+))?\}")
# Codes of the domain that a sentence may carry: the hole's form names the family of keys.
_FAMILIES = frozenset(
    [
        "cause",
        "gate",
        "grade",
        "kind",
        "look",
        "method",
        "order",
        "result",
        "stage",
        "status",
        "term",
    ]
)


PLAIN = House()


class WordMissing(KeyError):
    """The catalogue of `language` has no sentence `key`: a fault of the program, not of a user."""

    def __init__(self, language: str, key: str) -> None:
        super().__init__(f"{language}: {key}")


@cache
def languages() -> tuple[str, ...]:
    """Return the codes of the languages that have a catalogue, in alphabetical order."""
    files = resources.files("nursery").joinpath("words").iterdir()
    return tuple(sorted(file.name[:-5] for file in files if file.name.endswith(".json")))


@cache
def catalogue(language: str) -> Catalogue:
    """Return the whole catalogue of a language, as its file holds it."""
    file = resources.files("nursery").joinpath("words", f"{language}.json")
    read: Catalogue = json.loads(file.read_text(encoding="utf-8"))
    return read


def has(language: str, key: str) -> bool:
    """Tell whether the catalogue holds the sentence."""
    return key in catalogue(language)


def choose(wished: str | None) -> str:
    """Return the first known language of an Accept-Language header, or `en`.

    >>> choose("es-PE,es;q=0.9,en;q=0.5"), choose("xx"), choose(None)
    ('es', 'en', 'en')
    """
    for part in (wished or "").split(","):
        code = part.split(";")[0].strip().lower().split("-")[0]
        if code in languages():
            return code
    return "en"


def say(
    language: str, key: str, params: Mapping[str, object] | None = None, house: House = PLAIN
) -> str:
    """Return the sentence `key` in a language, its holes filled with `params`.

    The plural form follows the parameter `n`. A hole `{x}` takes a text as it is and a number in
    the nursery's manner; `{x|day}` and the other forms of README.md say how a code, a day (ISO
    text) or an instant (ISO text in UTC) is put into words.

    Raises:
        WordMissing: the language lacks the sentence or a code that a hole names.
        KeyError: a hole has no parameter.
    """
    params = params or {}
    sentence = _sentence(language, key, params.get("n"))

    def fill(hole: re.Match[str]) -> str:
        return _fill(language, params[hole[1]], hole[2], house)

    return _HOLE.sub(fill, sentence)


def plural_form(language: str, n: object) -> str:
    """Return the name of the plural form that the figure `n` takes in a language.

    >>> plural_form("en", 1), plural_form("en", 0), plural_form("es", 1_000_000)
    ('one', 'other', 'many')
    """
    if n == 1:
        return "one"
    if language == "es" and isinstance(n, int) and n != 0 and n % 1_000_000 == 0:
        return "many"
    return "other"


def join(language: str, items: Sequence[str], word: str = "and") -> str:
    """Return the items as one list in words: `T1, T2 and T3`; `word` is `and` or `or`."""
    if len(items) < 2:
        return "".join(items)
    key = f"list.{word}"
    if language == "es":
        key = word_forms.before_same_sound(key, items[-1])
    first = items[0]
    for item in items[1:-1]:
        first = say(language, "list.comma", {"first": first, "last": item})
    return say(language, key, {"first": first, "last": items[-1]})


def _sentence(language: str, key: str, n: object) -> str:
    found = catalogue(language).get(key)
    if found is None:
        raise WordMissing(language, key)
    if isinstance(found, str):
        return found
    return found.get(plural_form(language, n), found["other"])


def _fill(language: str, value: object, form: str | None, house: House) -> str:
    if form is None:
        return word_forms.number(value, house.mark) if _is_number(value) else str(value)
    if form in _FAMILIES:
        key = f"{form}.{value}"
        return say(language, key if has(language, key) else f"{form}.other")
    if form in ("and", "or"):
        return join(language, [_fill(language, item, None, house) for item in _items(value)], form)
    put: Callable[..., str] = _FORMS[form]
    return put(lambda key, **params: say(language, key, params, house), str(value), house)


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _items(value: object) -> Sequence[object]:
    return value if isinstance(value, list | tuple) else [value]


_FORMS: Mapping[str, Callable[..., str]] = {
    "day": word_forms.day,
    "bare_day": word_forms.bare_day,
    "long_day": word_forms.long_day,
    "month_part": word_forms.month_part,
    "moment": word_forms.moment,
    "hour": word_forms.hour,
    "since": word_forms.since,
    "days": word_forms.days,
    "minutes": word_forms.minutes,
    "ms": word_forms.milliseconds,
}
