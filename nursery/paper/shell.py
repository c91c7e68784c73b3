"""The page around a release file: its form, its words and the program that verifies and shows it.

Put together from the files of `release_page/` and the word catalogues; the same for every bundle of
one version of the product. Its policy lets nothing in from anywhere and nothing out.
"""

import json
import re
from base64 import b64encode
from collections.abc import Mapping
from functools import cache
from hashlib import sha256
from html import escape
from importlib import resources

from nursery.services import words

PROGRAM = ("numbers.js", "signature.js", "check.js", "show.js")
STYLE = "page.css"
FORM = "page.html"
# Where the payload stands in the form.
PLACE = "{payload}"
FAMILY = "proof."


@cache
def halves() -> tuple[bytes, bytes]:
    """Return what stands before the payload and what stands behind it."""
    style, program = _file(STYLE), f"\n'use strict';\nconst WORDS = {_words()};\n"
    program += "".join(map(_file, PROGRAM))
    put = {
        "style": style,
        "style_hash": _hash(style),
        "program": program,
        "program_hash": _hash(program),
        "title": _in_all_languages("title", " / "),
        "unchecked": _unchecked(),
    }
    before, after = _file(FORM).split(PLACE)
    return _filled(before, put), _filled(after, put)


@cache
def digest() -> str:
    """Return the SHA-256 of both halves together, by which a manifest names its shell."""
    return sha256(b"".join(halves())).hexdigest()


def _file(name: str) -> str:
    return resources.files("nursery.paper").joinpath("release_page", name).read_text("utf-8")


def _filled(form: str, put: Mapping[str, str]) -> bytes:
    """Fill the form's holes at one go, so that nothing that was put in is read as a hole."""
    return re.sub(r"\{(\w+)\}", lambda hole: put[hole[1]], form).encode()


def _in_all_languages(key: str, glue: str) -> str:
    return escape(glue.join(words.say(one, FAMILY + key) for one in words.languages()))


def _unchecked() -> str:
    """Return the verdict before the program has run, and for good where the policy stops it."""
    said = ((one, words.say(one, f"{FAMILY}unchecked")) for one in words.languages())
    return "".join(f'<p lang="{language}">{escape(text)}</p>' for language, text in said)


def _words() -> str:
    """Return the page's sentences in every language, as JSON that can stand in a script."""
    said = {
        language: {
            key.removeprefix(FAMILY): text
            for key, text in sorted(words.catalogue(language).items())
            if key.startswith(FAMILY)
        }
        for language in words.languages()
    }
    return json.dumps(said, ensure_ascii=False).replace("<", "\\u003c")


def _hash(text: str) -> str:
    """Return how a content security policy names a script or a style."""
    return "sha256-" + b64encode(sha256(text.encode()).digest()).decode()
