"""What lies beside a book that is taken away: which file is what, and how the chain is proved."""

import re
from collections.abc import Iterator
from typing import Any

from nursery.paper import export_records
from nursery.paper.export_tables import HEADERS
from nursery.services import book_file, words

# Short enough to be typed from paper; holds the chain without any program of ours.
PROOF = """\
import hashlib, json

link = "0" * 64
for line in open("feed.jsonl", encoding="utf-8"):
    one = json.loads(line)
    digest = hashlib.sha256(one["text"].encode()).hexdigest()
    if one["text"] and digest != one["hash"]:
        raise SystemExit(f"line {one['number']}: its text was changed")
    told = f"{link}\\n{one['number']}\\n{one['id']}\\n{one['hash']}"
    link = hashlib.sha256(told.encode()).hexdigest()
    if link != one["link"]:
        raise SystemExit(f"line {one['number']}: its link does not hold")
print("the chain holds up to", link)
"""
FILES = (
    book_file.SETTINGS, book_file.FEED, book_file.RAW, book_file.PHONES, book_file.WEATHER,
    "photos", "mcpd.csv", "plant_passports.csv", "positions.geojson", book_file.MANIFEST,
    book_file.SIGNATURE,
)  # fmt: skip


def text(head: dict[str, Any]) -> bytes:
    """Return the page in every language, one after the other."""
    pages = [_page(language, head) for language in words.languages()]
    return "\n\n".join(["\n".join(page) for page in pages]).encode()


def _page(language: str, head: dict[str, Any]) -> Iterator[str]:
    def say(key: str, **params: Any) -> str:
        return words.say(language, f"away.{key}", params)

    yield say("readme_title", name=head["nursery"]["name"], lines=head["lines"])
    yield "=" * 72
    yield say("readme_what")
    yield say("caution")
    yield ""
    for name in FILES:
        stem = name.partition(".")[0]
        yield f"* {name}: {say(f'file_{stem}')}"
    yield ""
    yield say("readme_tables")
    yield ""
    yield say("readme_records")
    yield from (f"    {name}: {meaning(language, '', name)}" for name in export_records.COMMON)
    for table, header in HEADERS.items():
        yield f"* tables/{table}.csv"
        own = header[len(export_records.COMMON) :] if table in export_records.SHEETS else header
        yield from (f"    {name}: {meaning(language, table, name)}" for name in own)
    yield ""
    yield say("readme_proof")
    yield ""
    yield from (f"    {line}" for line in PROOF.splitlines())
    yield ""
    yield say("readme_back")


def meaning(language: str, table: str, column: str) -> str:
    """Return what a column of a table says; what one means in one table alone goes first."""
    plain = re.sub(r"[^a-z]+", "_", column.partition("(")[0].strip())
    own = f"export_column.{table}_{plain}"
    return words.say(language, own if words.has(language, own) else f"export_column.{plain}")
