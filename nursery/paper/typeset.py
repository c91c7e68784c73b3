"""From a template and data to a file: the one place that calls Typst.

Data reaches a template as JSON and is never pasted into its text, so nothing that a person wrote
is read as markup. Fonts come with the product and the machine's are not looked at, so the same
data give the same bytes everywhere; only where a name has letters that ours lack does the
machine's help out.
"""

import shutil
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from datetime import date
from importlib import resources
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, Literal

import orjson

# A PDF that a screen reader can read: ISO 14289-1. It shows every letter or it is not made.
ACCESSIBLE = "ua-1"


NO_FILES: Mapping[str, bytes] = {}


def pdf(
    template: str, data: Mapping[str, Any], day: date, files: Mapping[str, bytes] = NO_FILES
) -> bytes:
    """Return the PDF that `template`, a file of this package, makes of `data` as of `day`.

    `files` are what the template reads beside its data: pictures, by the names that it gives them.
    """
    import typst  # noqa: PLC0415  # tens of megabytes, which only a process that prints should load

    try:
        made = _compiled(template, data, day, "pdf", files, pdf_standards=[ACCESSIBLE])
    except typst.TypstError:
        made = _compiled(template, data, day, "pdf", files, ignore_system_fonts=False)
    return made[0]


def pictures(
    template: str,
    data: Mapping[str, Any],
    day: date,
    dots_per_inch: float,
    files: Mapping[str, bytes] = NO_FILES,
) -> list[bytes]:
    """Return each page as a PNG."""
    return _compiled(template, data, day, "png", files, ppi=dots_per_inch)


def _compiled(
    template: str,
    data: Mapping[str, Any],
    day: date,
    form: Literal["pdf", "png"],
    files: Mapping[str, bytes],
    **more: Any,
) -> list[bytes]:
    import typst  # noqa: PLC0415  # as above

    with (
        resources.as_file(resources.files("nursery.paper")) as folder,
        _beside(folder, template, files) as root,
    ):
        told = {
            "root": str(root),
            "font_paths": [str(folder / "fonts")],
            "ignore_system_fonts": True,
            "format": form,
            "sys_inputs": {"sheet": orjson.dumps(data).decode()},
            "timestamp": _noon(day),
        }
        made = typst.compile(str(root / template), **{**told, **more})
    return made if isinstance(made, list) else [made]


@contextmanager
def _beside(folder: Path, template: str, files: Mapping[str, bytes]) -> Iterator[Path]:
    """Yield a folder with the template and the files; a template reads nothing outside it."""
    if not files:
        yield folder
        return
    with TemporaryDirectory(prefix="typeset-") as name:
        place = Path(name)
        shutil.copy(folder / template, place)
        for one, content in files.items():
            (place / one).write_bytes(content)
        yield place


def _noon(day: date) -> int:
    """Return seconds since 1970 at noon UTC of a day."""
    return (day.toordinal() - date(1970, 1, 1).toordinal()) * 86_400 + 43_200
