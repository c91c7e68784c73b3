"""The catalogue is complete in every language, and says what its twin on the phone says."""

import ast
import json
import re
from datetime import date
from pathlib import Path

import pytest

from nursery.domain import doubts, kinds
from nursery.domain.kinds.count import Fate
from nursery.domain.kinds.health import Answer, Verdict
from nursery.domain.kinds.law import Act
from nursery.domain.kinds.life import CountMethod
from nursery.services import word_forms, words

CASES = json.loads((Path(__file__).parents[1] / "vectors/words.json").read_text(encoding="utf-8"))
LANGUAGES = words.languages()

# Words that a user never reads: names of the machine, blame, and pardon.
CODE_WORDS = {
    "en": (
        r"(?<!-)(?<!point of )\b(entry|entries|doubt|doubts|plugged|readied)\b"
        r"|\b(error|invalid|failed|lot|window)\b"
    ),
    "es": r"\b(error|inválid[oa]|incorrect[oa]|falló|olvidó|enviado|aceptar|vosotros|vos)\b",
}


def doubted_with() -> dict[str, set[str]]:
    """Return the params that the rules give with each doubt, read from their calls."""
    given: dict[str, set[str]] = {}
    for file in (Path(doubts.__file__).parent).glob("*.py"):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if not isinstance(node, ast.Call) or not node.args:
                continue
            code = getattr(node.args[0], "value", None)
            if getattr(node.func, "attr", "") == "doubt" and isinstance(code, str):
                names = {keyword.arg for keyword in node.keywords if keyword.arg}
                given[code] = given.get(code, names) & names
    return given


LISTS = {
    "kinds of entry": ("kind", kinds.KINDS),
    "fates": ("fate", Fate),
    "fates without a figure": ("fate_word", Fate),
    "count methods": ("method", CountMethod),
    "answers of a look": ("look", Answer),
    "verdicts": ("result", Verdict),
    "acts of an order": ("order", Act),
    "doubts": ("doubt", doubts.WEIGHTS),
    "answers of a gate": ("gate", ["yes", "wait", "no", "cannot_tell"]),
}


def sentences(language: str) -> dict[str, list[str]]:
    found = words.catalogue(language).items()
    return {
        key: [forms] if isinstance(forms, str) else list(forms.values()) for key, forms in found
    }


def holes(text: str) -> set[str]:
    return set(re.findall(r"\{([^}]*)\}", text))


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_a_sentence_is_said_as_its_vector_has_it(case: dict[str, object]) -> None:
    today = date.fromisoformat(str(case["today"])) if "today" in case else None
    house = word_forms.House(str(case.get("zone", "UTC")), str(case.get("mark", ".")), today)
    params = case["params"]
    assert isinstance(params, dict)
    assert words.say(str(case["language"]), str(case["key"]), params, house) == case["said"]


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_language_has_the_same_keys(language: str) -> None:
    assert set(words.catalogue(language)) == set(words.catalogue("en"))


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_language_fills_the_same_holes(language: str) -> None:
    english = sentences("en")
    for key, forms in sentences(language).items():
        wanted = set[str]().union(*map(holes, english[key]))
        assert set[str]().union(*map(holes, forms)) == wanted, key


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_plural_has_its_forms_and_can_be_asked_for_a_million(language: str) -> None:
    for key, forms in words.catalogue(language).items():
        assert isinstance(forms, str) or {"one", "other"} <= set(forms) <= {"one", "other", "many"}
        if not isinstance(forms, str) and holes(forms["other"]) <= {"n"}:
            assert words.say(language, key, {"n": 1_000_000}), key


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize(("family", "codes"), LISTS.values(), ids=LISTS.keys())
def test_every_code_has_a_word(language: str, family: str, codes: list[str]) -> None:
    missing = [f"{family}.{code}" for code in codes if not words.has(language, f"{family}.{code}")]
    assert missing == []


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_code_word_reaches_a_user(language: str) -> None:
    for key, forms in sentences(language).items():
        for text in forms:
            said = re.sub(r"\{[^}]*\}", "", text)
            assert not re.search(CODE_WORDS.get(language, "$^"), said, re.IGNORECASE), (key, text)
            assert "_" not in said, (key, text)


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_doubt_fills_its_sentence_with_what_the_rules_give(language: str) -> None:
    wanting = {}
    for code, names in doubted_with().items():
        wanted = {hole.split("|")[0] for hole in holes(sentences(language)[f"doubt.{code}"][0])}
        if wanted - names:
            wanting[code] = wanted - names
    assert wanting == {}


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_button_fits_its_line(language: str) -> None:
    buttons = {k: v[0] for k, v in sentences(language).items() if k.startswith("button.")}
    assert {key: text for key, text in buttons.items() if len(text) > 24} == {}


def test_spanish_opens_what_it_closes() -> None:
    for key, forms in sentences("es").items():
        for text in forms:
            assert text.count("?") == text.count("¿"), key
            assert text.count("!") == text.count("¡"), key


def test_a_missing_sentence_names_its_language_and_key() -> None:
    with pytest.raises(words.WordMissing, match=r"es: no\.such"):
        words.say("es", "no.such")


LIST_CASES = {
    "nothing": ("en", [], "and", ""),
    "one": ("en", ["T1"], "and", "T1"),
    "three": ("en", ["T1", "T2", "T3"], "and", "T1, T2 and T3"),
    "y before a consonant": ("es", ["trampas", "pozos"], "and", "trampas y pozos"),
    "e before i": ("es", ["trampas", "incidentes"], "and", "trampas e incidentes"),
    "y before hie": ("es", ["agua", "hielo"], "and", "agua y hielo"),
    "u before o": ("es", ["una", "otra"], "or", "una u otra"),
    "o elsewhere": ("es", ["T3", "T5"], "or", "T3 o T5"),
}


@pytest.mark.parametrize(("language", "items", "word", "said"), LIST_CASES.values(), ids=LIST_CASES)
def test_a_list_is_joined_in_words(language: str, items: list[str], word: str, said: str) -> None:
    assert words.join(language, items, word) == said


def test_a_code_in_a_hole_is_said_in_words(monkeypatch: pytest.MonkeyPatch) -> None:
    own = {**words.catalogue("es"), "x": "{what|kind} de {places|and}"}
    monkeypatch.setattr(words, "catalogue", lambda _language: own)
    said = words.say("es", "x", {"what": "counted", "places": ["T1", "T2"]})
    assert said == "conteo de T1 y T2"


HOUSE = word_forms.House("Etc/GMT-10", ",", date(2031, 8, 13))


def speak(key: str, **params: object) -> str:
    return words.say("en", key, params, HOUSE)


SPANS = {
    "days up to sixty": (word_forms.days(speak, "60", HOUSE), "60 days"),
    "weeks beyond": (word_forms.days(speak, "63", HOUSE), "9 weeks"),
    "one day": (word_forms.days(speak, "1", HOUSE), "1 day"),
    "minutes": (word_forms.minutes(speak, "25", HOUSE), "25 min"),
    "hours": (word_forms.minutes(speak, "780", HOUSE), "13 h"),
    "days and hours": (word_forms.minutes(speak, "12149", HOUSE), "8 d 10 h"),
    "hours and minutes": (word_forms.minutes(speak, "805", HOUSE), "13 h 25 min"),
    "spoken": (word_forms.long_day(speak, "2031-08-13", HOUSE), "Wednesday 13 August"),
    "early": (word_forms.month_part(speak, "2032-01-03", HOUSE), "early JAN"),
    "mid": (word_forms.month_part(speak, "2032-01-15", HOUSE), "mid JAN"),
    "late": (word_forms.month_part(speak, "2032-01-26", HOUSE), "late JAN"),
    "milliseconds either way": (word_forms.milliseconds(speak, "-780000", HOUSE), "13 min"),
    "hour": (word_forms.hour(speak, "2031-08-12T06:30:00.000Z", HOUSE), "16:30"),
    "today": (word_forms.since(speak, "2031-08-13", HOUSE), "today"),
    "yesterday": (word_forms.since(speak, "2031-08-12", HOUSE), "yesterday"),
    "ago": (word_forms.since(speak, "2031-08-10", HOUSE), "3 days ago"),
    "ahead": (word_forms.since(speak, "2031-08-16", HOUSE), "in 3 days"),
    "a stretch over midnight": (
        word_forms.stretch(speak, "2031-08-12T06:30:00.000Z", "2031-08-12T19:55:00.000Z", HOUSE),
        "12 AUG 16:30 → 13 AUG 05:55, 13 h 25 min",
    ),
}


@pytest.mark.parametrize(("said", "wanted"), SPANS.values(), ids=SPANS.keys())
def test_days_and_spans_are_said_in_words(said: str, wanted: str) -> None:
    assert said == wanted


def test_the_wished_language_is_found_in_a_header() -> None:
    assert [words.choose(w) for w in ("es-PE,en;q=0.5", "xx, es", "", None)] == [
        "es",
        "es",
        "en",
        "en",
    ]
