"""Kinds of conditions that a form is filled from: each figure with its source, all of it editable.

A template is no rule. Nothing is worked out from it until somebody has typed the permit's own text
over it; where `source` is null its figures are common practice without one.
"""

import json
import types
from collections.abc import Iterator
from dataclasses import MISSING, fields
from datetime import date
from functools import cache
from importlib import resources
from typing import Any, Union, get_args, get_origin, get_type_hints

from nursery.domain.kinds.shape import Count, Name
from nursery.domain.terms import RULES

FILE = "templates.json"
CROPS = "crops.json"
KINDS = {
    Count: "count",
    Name: "name",
    float: "number",
    bool: "flag",
    date: "day",
}


@cache
def every() -> dict[str, Any]:
    """Return the templates, and every rule that a condition may state with its fields."""
    return {
        "items": _shipped(FILE),
        "rules": [{"rule": code, "fields": list(_fields(cls))} for code, cls in RULES.items()],
    }


@cache
def crop_profiles() -> list[dict[str, Any]]:
    """Return the crops that a grower may start from, each figure with its source (rule X-1)."""
    found: list[dict[str, Any]] = _shipped(CROPS)
    return found


def _shipped(name: str) -> Any:
    text = resources.files("nursery.domain.reference").joinpath(name).read_text(encoding="utf-8")
    return json.loads(text)


def _fields(cls: type) -> Iterator[dict[str, Any]]:
    hints = get_type_hints(cls)
    for field in fields(cls):
        kind, many = _kind(hints[field.name])
        default = None if field.default is MISSING else field.default
        choices = None if kind in KINDS else [one.value for one in kind]
        yield {
            "name": field.name,
            "kind": "choice" if choices else KINDS[kind],
            "many": many,
            "needed": field.default is MISSING,
            "default": list(default) if isinstance(default, tuple) else default,
            "choices": choices,
        }


def _kind(hint: Any) -> tuple[Any, bool]:
    """Return what a field holds, and whether it holds several."""
    if get_origin(hint) in (Union, types.UnionType):
        hint = next(arm for arm in get_args(hint) if arm is not type(None))
    if get_origin(hint) is tuple:
        return get_args(hint)[0], True
    return hint, False
