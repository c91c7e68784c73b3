"""A condition in words: each field of its rule by the sentence that the catalogue has for it.

The phone's twin is `frontend/src/screens/permits/inwords.ts`; both say the same of one condition.
"""

from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from typing import Any

from nursery.paper.telling import Voice
from nursery.services import templates, words
from nursery.services.word_forms import number

Field = Mapping[str, Any]

# Fields that people read in per cent; the book keeps shares.
SHARES = frozenset(("share", "prevalence", "confidence", "efficacy"))
FAMILIES = {"acts": "act", "fates": "fate_word", "what": "reading", "whom": "term", "test": "test"}
OF_PESTS = frozenset(("pest", "pests"))


def title_of(rule: str, voice: Voice) -> str:
    return voice.word("rule", rule) or voice.say("rule.other")


def said_by(rule: str, says: Mapping[str, Any], voice: Voice) -> str:
    """Return what a condition says, field after field; one that says nothing is left out.

    Of a rule that this version does not know, its code and figures are told as they stand.
    """
    fields = _shapes().get(rule)
    if fields is None:
        return ", ".join((_plain(rule), *(f"{_plain(name)}: {says[name]}" for name in says)))
    return ", ".join(_parts(rule, fields, says, voice))


@cache
def _shapes() -> Mapping[str, Sequence[Field]]:
    return {one["rule"]: one["fields"] for one in templates.every()["rules"]}


def _parts(
    rule: str, fields: Sequence[Field], says: Mapping[str, Any], voice: Voice
) -> Iterator[str]:
    for field in fields:
        value = says.get(field["name"])
        told = _part(rule, field, field["default"] if value is None else value, voice)
        if told is not None:
            yield told


def _part(rule: str, field: Field, value: Any, voice: Voice) -> str | None:
    name = field["name"]

    def said(more: str, **params: object) -> str | None:
        of_rule = voice.word(f"rule_part.{rule}", name + more, **params)
        return of_rule or voice.word("rule_part", name + more, **params)

    if value is None or value is False or value in ([], ()):
        return said("_not")
    if value is True:
        return said("")
    items = value if isinstance(value, list | tuple) else [value]
    v = words.join(voice.language, [_one_of(field, one, voice) for one in items])
    first = items[0]
    if isinstance(first, int | float):
        told = said("", v=v, n=_percent(first) if name in SHARES else first)
    else:
        told = said("", v=v)
    return told or f"{_label(rule, name, voice)}: {v}"


def _percent(share: float) -> float:
    """Return a share in per cent, rounded to what a person typed.

    >>> _percent(0.05), _percent(0.123)
    (5, 12.3)
    """
    percent = round(share * 100, 6)
    return int(percent) if percent == int(percent) else percent


def _label(rule: str, name: str, voice: Voice) -> str:
    own = voice.word(f"rule_field.{rule}", name) or voice.word("rule_field", name)
    return own or _plain(name)


def _one_of(field: Field, value: Any, voice: Voice) -> str:
    if field["kind"] == "count" and field["many"]:
        return voice.word("date.weekday_long", value) or ""
    if isinstance(value, int | float):
        return number(value, voice.house.mark)
    if field["kind"] == "day":
        return voice.say("on_day", on=value)
    if field["kind"] == "choice":
        return voice.code("rule_choice", value)
    if field["name"] in OF_PESTS:
        return voice.name("pest", value)
    family = FAMILIES.get(field["name"])
    return (family and voice.word(family, value)) or str(value)


def _plain(code: str) -> str:
    return str(code).replace("_", " ")
