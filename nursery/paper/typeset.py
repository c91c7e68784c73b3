"""From a template and data to a file: the one place that calls Typst.

Data reaches a template as JSON and is never pasted into its text, so nothing that a person wrote
is read as markup. Fonts come with the product and the machine's are not looked at, so the same
data give the same bytes everywhere; only where a name has letters that ours lack does the
machine's help out.
"""

from collections.abc import Mapping
from datetime import date
from importlib import resources
from typing import Any, Literal

import orjson

# A PDF that a screen reader can read: ISO 14289-1. It shows every letter or it is not made.
ACCESSIBLE = "ua-1"


def pdf(template: str, data: Mapping[str, Any], day: date) -> bytes:
    """Return the PDF that `template`, a file of this package, makes of `data` as of `day`."""
    import typst  # noqa: PLC0415  # tens of megabytes, which only a process that prints should load

    try:
        made = _compiled(template, data, day, "pdf", pdf_standards=[ACCESSIBLE])
    except typst.TypstError:
        made = _compiled(template, data, day, "pdf", ignore_system_fonts=False)
    return made[0]


def pictures(
    template: str, data: Mapping[str, Any], day: date, dots_per_inch: float
) -> list[bytes]:
    """Return each page as a PNG."""
    return _compiled(template, data, day, "png", ppi=dots_per_inch)


def _compiled(
    template: str, data: Mapping[str, Any], day: date, form: Literal["pdf", "png"], **more: Any
) -> list[bytes]:
    import typst  # noqa: PLC0415  # as above

    with resources.as_file(resources.files("nursery.paper")) as folder:
        told = {
            "root": str(folder),
            "font_paths": [str(folder / "fonts")],
            "ignore_system_fonts": True,
            "format": form,
            "sys_inputs": {"sheet": orjson.dumps(data).decode()},
            "timestamp": _noon(day),
        }
        made = typst.compile(str(folder / template), **{**told, **more})
    return made if isinstance(made, list) else [made]


def _noon(day: date) -> int:
    """Return seconds since 1970 at noon UTC of a day."""
    return (day.toordinal() - date(1970, 1, 1).toordinal()) * 86_400 + 43_200
