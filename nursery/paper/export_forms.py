"""A book's facts in forms that the trade has agreed on, as far as the book has such facts.

* `mcpd.csv`: FAO/Bioversity Multi-Crop Passport Descriptors V.2.1 (2015), a row for each
  consignment's line. Dates are YYYYMMDD, what is not known stays empty (read in a copy of its
  rules); the names of the descriptors and their order are from memory.
* `positions.geojson`: RFC 7946, every position of every block.
* `plant_passports.csv`: what a plant passport would say (EU 2017/2313, elements A to D), of
  batches that were released. A draft for the authorised operator: nothing here is a passport.
"""

from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from typing import Any

import orjson

from nursery.domain.batch import Batch
from nursery.domain.book import Book
from nursery.domain.field import positions
from nursery.domain.reference.layouts import Layout
from nursery.paper import passport
from nursery.paper.export_cells import Cell, table
from nursery.services import layout, outlook
from nursery.services.errors import Unknown
from nursery.store.scope import scope

MCPD = (
    "PUID", "INSTCODE", "ACCENUMB", "COLLNUMB", "COLLCODE", "COLLNAME", "COLLINSTADDRESS",
    "COLLMISSID", "GENUS", "SPECIES", "SPAUTHOR", "SUBTAXA", "SUBTAUTHOR", "CROPNAME", "ACCENAME",
    "ACQDATE", "ORIGCTY", "COLLSITE", "DECLATITUDE", "LATITUDE", "DECLONGITUDE", "LONGITUDE",
    "COORDUNCERT", "COORDDATUM", "GEOREFMETH", "ELEVATION", "COLLDATE", "BREDCODE", "BREDNAME",
    "SAMPSTAT", "ANCEST", "COLLSRC", "DONORCODE", "DONORNAME", "DONORNUMB", "OTHERNUMB",
    "DUPLSITE", "DUPLINSTNAME", "STORAGE", "MLSSTAT", "REMARKS",
)  # fmt: skip
PASSPORT = (
    "draft for the authorised operator to issue",
    "A botanical name",
    "B registration number",
    "C traceability code",
    "D country of origin",
    "batch",
    "plants",
)
COUNTRY_LETTERS = 3


def every(book: Book) -> Iterator[tuple[str, Iterable[bytes]]]:
    """Yield the name of each form and its content."""
    yield "mcpd.csv", table(MCPD, _accessions(book))
    yield "plant_passports.csv", table(PASSPORT, _passports(book))
    yield "positions.geojson", _geojson(book)


def one(nursery: str, name: str) -> Iterable[bytes]:
    """Return the content of one form.

    Raises:
        Unknown: there is no such form.
    """
    with scope(nursery) as rows:
        found = dict(every(outlook.read_book(rows))).get(name)
    if found is None:
        raise Unknown("form", name[:40])
    return found


def _accessions(book: Book) -> Iterator[list[Cell]]:
    for ident, row in book.rows_of("consignment"):
        for line in row.lines:
            crop = book.row("crop", line.crop)
            told: dict[str, Cell] = {
                "ACCENUMB": f"{ident}/{line.id}",
                **_taxon(crop),
                "CROPNAME": None if crop is None else crop.name,
                "ACCENAME": line.cultivar or (None if crop is None else crop.cultivar),
                "ACQDATE": _day(row.arrived_on),
                "ORIGCTY": _country(row.origin),
                "DONORNAME": row.supplier,
                "REMARKS": _remarks(row),
            }
            yield [told.get(name) for name in MCPD]


def _taxon(crop: Any) -> dict[str, Cell]:
    """Return genus and species of a botanical name of two words or more.

    A third word may be an author or a rank, so what follows is told whole, as a taxon below.
    """
    words = (crop.botanical or "").split() if crop is not None else []
    told: dict[str, Cell] = {}
    if words:
        told["GENUS"] = words[0].capitalize()
    if len(words) > 1:
        told["SPECIES"] = words[1]
    rest = " ".join(words[2:])
    if rest.startswith(("subsp.", "convar.", "var.", "f.", "Group")):
        told["SUBTAXA"] = rest
    elif rest:
        told["SPAUTHOR"] = rest
    return told


def _day(on: date | None) -> str | None:
    return None if on is None else f"{on:%Y%m%d}"


def _country(origin: str | None) -> str | None:
    """Return a country that is told by its three letters (ISO 3166-1); words are no code."""
    is_code = origin is not None and len(origin) == COUNTRY_LETTERS and origin.isupper()
    return origin if is_code else None


def _remarks(row: Any) -> str | None:
    """Return what has no descriptor, as `DESCRIPTOR:words` joined by semicolons."""
    told = []
    if row.origin and _country(row.origin) is None:
        told.append(f"ORIGCTY:{row.origin}")
    if row.certificate:
        told.append(f"Certificate:{row.certificate}")
    return ";".join(told).replace("\n", " ") or None


def _passports(book: Book) -> Iterator[list[Cell]]:
    for ident, batch in book.batches.items():
        if batch.released is not None and not batch.closed:
            yield ["draft", *_elements(book, batch), ident, batch.alive]


def _elements(book: Book, batch: Batch) -> list[Cell]:
    """Return A to D; nobody has typed a registration number, so B stays empty."""
    found = passport.elements(book, batch)
    return [found.botanical, None, found.traceability, found.origin]


def _geojson(book: Book) -> Iterator[bytes]:
    yield b'{"type":"FeatureCollection","features":['
    first = True
    for ident, row in book.rows_of("layout"):
        if isinstance(row, Layout):
            for feature in positions.as_geojson(layout.told(row, book))["features"]:
                yield b"" if first else b",\n"
                yield orjson.dumps(_of_block(feature, ident))
                first = False
    yield b"]}"


def _of_block(feature: Mapping[str, Any], block: str) -> dict[str, Any]:
    return {**feature, "properties": {"block": block, **feature["properties"]}}
